//! The phone aboard: whether it is, where it lies, how well it tells angles.

use crate::signal::memo;
use crate::state::{Datum, Desk, Phone};
use crate::ui::node::{Node, view};
use crate::ui::text;
use crate::words::{t, word};
use leptos::prelude::*;
use trimwright::reading::{ANGLE_SPREAD, UNZEROED_SPREAD};
use trimwright::unit::MILLIMETRE;

/// The tick, and while it is set what it means.
#[component]
pub(crate) fn PhoneEntry(
    /// The phone.
    phone: Phone,
    /// Where the boat's lengths are measured from.
    datum: Datum,
) -> Node {
    let desk = expect_context::<Desk>();
    let is_aboard = memo(move || desk.derived.draft.with(|d| d.phone_aboard));
    let counts = memo(move || phone.place().is_some());
    view! {
        <label class="tick">
            <input
                type="checkbox"
                data-testid="phone-aboard"
                prop:checked=move || is_aboard.get()
                on:change=move |ev| desk.edit(|d| d.phone_aboard = event_target_checked(&ev))
            />
            {move || {
                let mass = text::whole_grams(desk.derived.phone_mass.get());
                t!("reading.phone_aboard", mass = mass)
            }}
        </label>
        {move || counts.get().then(|| view! { <PhonePlace phone datum /> })}
        {move || is_aboard.get().then(|| view! { <PhoneZero /> })}
    }
}

/// Where it lies, and a way back to amidships.
#[component]
fn PhonePlace(
    /// The phone.
    phone: Phone,
    /// Where the boat's lengths are measured from.
    datum: Datum,
) -> Node {
    let off = memo(move || {
        let [x, y, _] = phone.place()?;
        (x.abs().max(y.abs()) > 0.5 * MILLIMETRE).then_some([x, y])
    });
    let words = move || match off.get() {
        Some([x, y]) => {
            t!("reading.phone_lay", along = text::along(x, datum), across = text::across(y))
        }
        None => t!("reading.phone_lay_amidships"),
    };
    view! {
        <div class="phone-place">
            <p class="note" data-testid="phone-place">
                {words}
            </p>
            <button
                type="button"
                class="quiet-button"
                data-testid="phone-amidships"
                hidden=move || off.get().is_none()
                on:click=move |_| phone.lay_amidships()
            >
                {t!("reading.lay_amidships")}
            </button>
        </div>
    }
}

/// How well the phone that lies aboard tells angles.
#[component]
fn PhoneZero() -> Node {
    let desk = expect_context::<Desk>();
    let words = move || {
        let is_zeroed = desk.tilt_zero().is_some();
        let (key, spread) = if is_zeroed {
            (word!("reading.phone_zeroed"), ANGLE_SPREAD)
        } else {
            (word!("reading.phone_unzeroed"), UNZEROED_SPREAD)
        };
        t!(key, angle = text::degrees(spread))
    };
    view! { <p class="note" data-testid="phone-zero">{words}</p> }
}
