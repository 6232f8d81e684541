//! What parts are usually called, to be tapped instead of typed.

use super::field::of_form;
use crate::device::motion::go_on;
use crate::state::Desk;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::words::{Word, t, word};
use leptos::prelude::*;

/// What weights, and what parts with a shape, are usually called; the words of keys.
const WEIGHTS: [Word; 8] = [
    word!("given.battery"),
    word!("given.motor"),
    word!("given.receiver"),
    word!("given.servos"),
    word!("given.pump"),
    word!("given.speed_controllers"),
    word!("given.propeller"),
    word!("given.trim_lead"),
];
const SHAPES: [Word; 8] = [
    word!("given.outer_hull"),
    word!("given.dry_cylinder"),
    word!("given.keel_lead"),
    word!("given.foam"),
    word!("given.sail"),
    word!("given.stern_plane"),
    word!("given.rudder"),
    word!("given.propeller_shaft"),
];
/// So many are offered: more than two rows would push the fields off the screen.
const OFFERED: usize = 6;

/// Names to tap while none is typed: those that no part of the boat has.
#[component]
pub(super) fn Names(
    /// Whether it is a mere weight.
    weight: bool,
) -> Node {
    let desk = expect_context::<Desk>();
    let named = of_form(desk, |f| f.texts.has("name"));
    let of_boat = desk.derived.record.with_untracked(|r| {
        let parts = r.iter().flat_map(|r| &r.parts);
        parts.map(|part| part.name.clone()).collect::<Vec<_>>()
    });
    let keys = if weight { WEIGHTS } else { SHAPES };
    let free = keys.map(|key| t!(key)).into_iter().filter(|name| !of_boat.contains(name));
    let chips = free
        .take(OFFERED)
        .enumerate()
        .map(|(k, name)| {
            let words = text::upper_first(&name);
            let take = move |_| {
                desk.type_in("name", name.clone());
                request_animation_frame(|| go_on("form-name"));
            };
            view! {
                <button
                    type="button"
                    class="quiet-button"
                    data-testid=format!("name-{k}")
                    on:click=take
                >
                    {words}
                </button>
            }
        })
        .collect_node();
    view! {
        <div class="acts names" role="group" aria-label=t!("form.name") hidden=move || named.get()>
            {chips}
        </div>
    }
}
