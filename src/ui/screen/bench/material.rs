//! What a part is made of.

use super::field::{Field, FormSelect, Group, text_of};
use crate::signal::memo;
use crate::state::{Desk, OWN};
use crate::ui::node::{Node, view};
use crate::words::speech::speech;
use crate::words::{self, Word, t, word};
use leptos::prelude::*;
use trimwright::material::{MATERIALS, MaterialKind};

/// Kinds of materials in the order in which they are offered, with the keys of their names.
const KINDS: [(MaterialKind, Word); 6] = [
    (MaterialKind::Metal, word!("bench_part.metal")),
    (MaterialKind::Plastic, word!("bench_part.plastic")),
    (MaterialKind::Composite, word!("bench_part.composite")),
    (MaterialKind::Wood, word!("bench_part.wood")),
    (MaterialKind::Foam, word!("bench_part.foam")),
    (MaterialKind::Other, word!("bench_part.other")),
];

/// What a part is made of; a mere weight is of nothing, and has none.
#[component]
pub(super) fn MaterialChoice() -> Node {
    let desk = expect_context::<Desk>();
    let now = text_of(desk, "material");
    let named = |name: &str| (name.to_owned(), words::material::shown(name));
    let of_kind = |kind: MaterialKind| MATERIALS.iter().filter(move |m| m.kind == kind);
    let mut groups: Vec<Group> = KINDS
        .into_iter()
        .map(|(kind, heading)| (t!(heading), of_kind(kind).map(|m| named(m.name)).collect()))
        .collect();
    let mut mine: Vec<_> =
        desk.diary.with_untracked(|d| d.materials.iter().map(|m| named(&m.name)).collect());
    mine.push((OWN.to_owned(), t!("bench_part.another_material")));
    groups.push((t!("bench_part.my_own"), mine));
    let is_own = memo(move || now.with(|n| n == OWN));
    view! {
        <FormSelect key="material" label=t!("bench_part.made_of") none="–" groups />
        <AsBefore />
        {move || {
            is_own
                .get()
                .then(|| {
                    view! {
                        <Field key="own-name" label=t!("bench_part.own_name") />
                        <Field
                            key="density"
                            label=t!("water.density")
                            unit=speech().density_unit().sign
                        />
                    }
                })
        }}
    }
}

/// Parts are often made of what the one before was: that is a tap, and not taken to be so.
#[component]
fn AsBefore() -> Node {
    let desk = expect_context::<Desk>();
    let now = text_of(desk, "material");
    let before = desk.material_before();
    view! {
        {before
            .map(|name| {
                view! {
                    <button
                        type="button"
                        class="quiet-button"
                        data-testid="material-as-before"
                        hidden=move || !now.with(String::is_empty)
                        on:click=move |_| desk.made_as_before()
                    >
                        {t!("bench_part.as_before", material = name)}
                    </button>
                }
            })}
    }
}
