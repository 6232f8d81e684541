//! The boat itself: its first figures, where it is measured from, its file; and the other boats.

use super::field::Field;
use crate::state::{Desk, Editing};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::readout;
use crate::ui::screen::boats::{Boats, Datums};
use crate::ui::text;
use crate::words::{self, t};
use leptos::prelude::*;
use trimwright::material::{MATERIALS, Material};

/// The form of a new boat, or of the name and length of the one in hand.
#[component]
pub(crate) fn NewBoat() -> Node {
    let desk = expect_context::<Desk>();
    let is_new =
        desk.form.with_untracked(|f| f.as_ref().is_some_and(|f| f.of == Editing::Boat(None)));
    // What no mark stands at is no waterline.
    let has_water = is_new
        || desk.form.with_untracked(|f| f.as_ref().is_some_and(|f| f.texts.has("waterline")));
    let submit = move |ev: leptos::ev::SubmitEvent| {
        ev.prevent_default();
        desk.finish_form();
    };
    view! {
        <form class="quick" on:submit=submit novalidate>
            {if is_new {
                view! { <h1>{t!("bench.new_boat")}</h1> }
            } else {
                view! { <h2 class="form-head">{t!("bench.name_and_length")}</h2> }
            }}
            <Field key="name" label=t!("form.name") />
            <Field key="length" label=t!("quick.length") unit=text::length_sign() />
            {has_water
                .then(|| {
                    view! {
                        <Field
                            key="waterline"
                            label=t!("quick.waterline")
                            unit=text::length_sign()
                        />
                    }
                })}
            {if is_new { view! { <Begin /> } } else { view! { <Followed /> } }}
        </form>
    }
}

/// The buttons of a new boat.
#[component]
fn Begin() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <button type="submit" class="main on" data-testid="boat-begin">
            {t!("bench.begin")}
        </button>
        <button
            type="button"
            class="quiet-button"
            data-testid="boat-leave"
            on:click=move |_| desk.not_now()
        >
            {t!("quick.not_now")}
        </button>
    }
}

/// What followed the figures of a boat that is there.
#[component]
fn Followed() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <p class="message" role="status" data-testid="boat-followed">
            {move || desk.message.get().unwrap_or_default()}
        </p>
    }
}

/// The boat's own figures and file, and the other boats.
#[component]
pub(super) fn BoatFacts() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <button
            type="button"
            class="quiet-button"
            data-testid="edit-boat"
            on:click=move |_| desk.open_form(Editing::Boat(Some(0)))
        >
            {t!("bench.name_and_length")}
        </button>
        <Datums />
        <Boats />
        <Materials />
    }
}

/// The table of materials, folded away.
#[component]
fn Materials() -> Node {
    let row = |m: &Material| {
        view! {
            <div>
                <dt>{text::upper_first(&words::material::name(m))}</dt>
                <dd>{readout::material_words(m)}</dd>
            </div>
        }
    };
    view! {
        <details class="more" data-testid="materials">
            <summary>{t!("bench.materials")}</summary>
            <dl>{MATERIALS.iter().map(row).collect_node()}</dl>
        </details>
    }
}
