//! The button that takes list and trim from the phone while it is held.

use crate::device::motion::focus;
use crate::device::tilt::{SensorState, TiltSensor};
use crate::signal::{Callback, Memo, RwSignal, StoredValue};
use crate::ui::node::{Node, view};
use crate::ui::text;
use crate::words::{t, word};
use leptos::prelude::*;
use std::time::Duration;
use trimwright::reading::{Reversal, Tilt};

/// A tap shorter than this starts a reading that ends by itself.
const TAP_MS: f64 = 500.0;
/// How long such a reading takes.
const TAP_READING: Duration = Duration::from_secs(2);

/// How far the search for the phone's zero has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Zeroing {
    /// Not looking.
    Off,
    /// Waiting for the first reading.
    First,
    /// Waiting for the one turned end for end.
    Turned(Tilt),
}

/// Holding it reads; letting go keeps. A short tap, or a key, reads for two seconds.
#[component]
pub(crate) fn TiltButton(
    /// List and trim as they are now, in words.
    #[prop(into)]
    now: Memo<String>,
    /// Called with what was read, the phone's zero taken off.
    #[prop(into)]
    keep: Callback<Tilt>,
    /// What the phone reads lying level, radians, if it is known.
    #[prop(into)]
    zero: Memo<Option<[f64; 2]>>,
    /// How far the search for the phone's zero has come; [`ZeroButton`] begins it.
    zeroing: RwSignal<Zeroing>,
    /// Called with the phone's zero once it is found.
    #[prop(into)]
    keep_zero: Callback<[f64; 2]>,
) -> Node {
    let take = move |tilt: Tilt| match zeroing.get_untracked() {
        Zeroing::Off => keep.run(tilt.without(zero.get_untracked().unwrap_or_default())),
        Zeroing::First => zeroing.set(Zeroing::Turned(tilt)),
        Zeroing::Turned(first) => {
            let found = Reversal::of(first, tilt);
            zeroing.set(Zeroing::Off);
            keep_zero.run(found.zero);
            keep.run(found.tilt);
        }
    };
    let sensor = TiltSensor::new();
    let pressed_at = StoredValue::new(None::<f64>);
    let finish = move || {
        let read = sensor.tilt.try_get_untracked().flatten();
        let was_reading = sensor.state.try_get_untracked() == Some(SensorState::Reading);
        sensor.stop();
        if let (true, Some(tilt)) = (was_reading, read) {
            take(tilt);
        }
    };
    // Ends this reading after a while, unless another has begun.
    let finish_later = move || {
        let turn = sensor.turn();
        let end = move || {
            if sensor.turn() == turn {
                finish();
            }
        };
        set_timeout(end, TAP_READING);
    };
    let press = move |ev: leptos::ev::PointerEvent| {
        if !sensor.must_ask() {
            pressed_at.set_value(Some(ev.time_stamp()));
            sensor.start();
        }
    };
    let release = move |ev: leptos::ev::PointerEvent| {
        let Some(since) = pressed_at.try_update_value(Option::take).flatten() else { return };
        if ev.time_stamp() - since < TAP_MS {
            finish_later();
        } else {
            finish();
        }
    };
    // From a keyboard or a screen reader, and on iOS while the person has still to be asked.
    let click = move |ev: leptos::ev::MouseEvent| {
        if ev.detail() == 0 || sensor.must_ask() {
            sensor.start();
            finish_later();
        }
    };
    let is_reading = move || sensor.state.get() == SensorState::Reading;
    let words = move || match (is_reading(), sensor.tilt.get()) {
        (true, Some(tilt)) => {
            let tilt = tilt.without(zero.get().unwrap_or_default());
            format!("{}, {}", text::list(tilt.list), text::trim(tilt.trim))
        }
        (true, None) => t!("widget.reading"),
        (false, _) => now.get(),
    };
    let hint = move || match (is_reading(), sensor.tilt.get()) {
        (true, Some(tilt)) if !tilt.is_still() => t!("widget.hold_still"),
        (true, Some(tilt)) => format!("±\u{202f}{}", text::degrees(tilt.list_spread)),
        (true, None) => String::new(),
        (false, _) => t!("widget.hold_to_read"),
    };
    let note = move || note_words(sensor.state.get(), zeroing.get(), zero.get().is_some());
    view! {
        <button
            type="button"
            class="tilt"
            id="tilt-hold"
            class:reading=is_reading
            data-testid="tilt-hold"
            on:pointerdown=press
            on:pointerup=release
            on:pointercancel=release
            on:contextmenu=move |ev| ev.prevent_default()
            on:click=click
        >
            <span class="angle">{words}</span>
            <span class="hint">{hint}</span>
        </button>
        <p class="note" role="status" data-testid="tilt-note">
            {note}
        </p>
    }
}

/// Begins the search for the phone's zero, or gives it up.
#[component]
pub(crate) fn ZeroButton(
    /// How far the search has come.
    zeroing: RwSignal<Zeroing>,
) -> Node {
    let find_zero = move |_| {
        zeroing.update(|z| *z = if *z == Zeroing::Off { Zeroing::First } else { Zeroing::Off });
        focus("tilt-hold");
    };
    view! {
        <button type="button" class="quiet-button" data-testid="find-zero" on:click=find_zero>
            {move || {
                t!(match zeroing.get() {
                    Zeroing::Off => word!("widget.find_zero"),
                    Zeroing::First | Zeroing::Turned(_) => word!("widget.leave_zero"),
                })
            }}
        </button>
    }
}

/// What has to be said under the button.
fn note_words(sensor: SensorState, zeroing: Zeroing, is_zeroed: bool) -> String {
    t!(match (sensor, zeroing) {
        (SensorState::Absent, _) => word!("widget.no_tilt"),
        (SensorState::Refused, _) => word!("widget.tilt_refused"),
        (_, Zeroing::First) => word!("widget.zero_first"),
        (_, Zeroing::Turned(_)) => word!("widget.zero_turned"),
        (_, Zeroing::Off) if is_zeroed => word!("widget.zero_off"),
        (_, Zeroing::Off) => return String::new(),
    })
}
