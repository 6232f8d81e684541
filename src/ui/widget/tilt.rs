//! The button that takes list and trim from the phone while it is held.

use crate::device::tilt::{SensorState, TiltSensor};
use crate::ui::text;
use leptos::prelude::*;
use std::time::Duration;
use trimwright::reading::Tilt;

/// A tap shorter than this starts a reading that ends by itself.
const TAP_MS: f64 = 500.0;
/// How long such a reading takes.
const TAP_READING: Duration = Duration::from_secs(2);

/// Holding it reads; letting go keeps. A short tap, or a key, reads for two seconds.
#[component]
pub(crate) fn TiltButton(
    /// List and trim as they are now, in words.
    #[prop(into)]
    now: Signal<String>,
    /// Called with what was read.
    #[prop(into)]
    keep: Callback<Tilt>,
) -> impl IntoView {
    let sensor = TiltSensor::new();
    let pressed_at = StoredValue::new(None::<f64>);
    let finish = move || {
        let read = sensor.tilt.try_get_untracked().flatten();
        let was_reading = sensor.state.try_get_untracked() == Some(SensorState::Reading);
        sensor.stop();
        if let (true, Some(tilt)) = (was_reading, read) {
            keep.run(tilt);
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
        (true, Some(tilt)) => format!("{}, {}", text::list(tilt.list), text::trim(tilt.trim)),
        (true, None) => "Reading …".to_owned(),
        (false, _) => now.get(),
    };
    let hint = move || match (is_reading(), sensor.tilt.get()) {
        (true, Some(tilt)) if !tilt.is_still() => "hold still".to_owned(),
        (true, Some(tilt)) => format!("±\u{202f}{}", text::degrees(tilt.list_spread)),
        (true, None) => String::new(),
        (false, _) => "hold to read".to_owned(),
    };
    let note = move || match sensor.state.get() {
        SensorState::Absent => "! This phone or browser gives no tilt here. Type the list below.",
        SensorState::Refused => {
            "! The browser did not allow the tilt sensor. Type the list below, or allow motion in its settings."
        }
        SensorState::Idle | SensorState::Reading => "",
    };
    view! {
        <button
            type="button"
            class="tilt"
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
