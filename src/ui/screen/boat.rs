//! Boat: the bench for a boat of parts, the figures of a quick boat, the list of boats.

use super::bench::{BoatBench, NewBoat};
use super::boats::{Boats, Datums};
use super::quick::QuickBoatForm;
use crate::signal::{Memo, memo};
use crate::state::{BoatInHand, Desk, Editing};
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::ui::text;
use crate::ui::widget::{Drawing, Scene, drawn_of};
use crate::words::t;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::ballast::forecast;
use trimwright::float::Basin;
use trimwright::reading::Condition;

/// What the screen holds.
#[derive(Debug, Clone, Copy, PartialEq)]
enum BoatContent {
    QuickForm,
    NewBoat,
    Bench,
    Boats,
}

/// The screen of the boats.
#[component]
pub(crate) fn BoatScreen() -> Node {
    let desk = expect_context::<Desk>();
    let holds = memo(move || {
        let new = desk.form.with(|f| f.as_ref().is_some_and(|f| f.of == Editing::Boat(None)));
        let parts = desk.derived.record.with(|r| r.as_ref().is_some_and(|r| r.quick.is_none()));
        match (desk.quick_form.with(Option::is_some), new, parts) {
            (true, ..) => BoatContent::QuickForm,
            (_, true, _) => BoatContent::NewBoat,
            (_, _, true) => BoatContent::Bench,
            _ => BoatContent::Boats,
        }
    });
    view! {
        <main class="screen boats" class:bench-screen=move || holds.get() == BoatContent::Bench>
            {move || match holds.get() {
                BoatContent::QuickForm => view! { <QuickBoatForm /> },
                BoatContent::NewBoat => view! { <NewBoat /> },
                BoatContent::Bench => view! { <BoatBench /> },
                BoatContent::Boats => view! { <QuickAndBoats /> },
            }}
        </main>
    }
}

/// The list of boats, and the boat of six numbers that is in hand.
#[component]
fn QuickAndBoats() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        {move || match desk.derived.boat.get() {
            Some(Ok(hand)) => view! { <QuickInHand hand /> },
            Some(Err(why)) => view! { <p class="problem">"✕ " {why}</p> },
            None => ().into_node(),
        }}
        <Boats />
    }
}

/// The quick boat in hand: drawn as it would float, and its figures.
#[component]
fn QuickInHand(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let density = desk.derived.density.get_untracked();
    let basin = Basin::deep(density);
    let model = forecast(&hand.model, basin, Condition::Afloat, None, &hand.boat.marks);
    let Ok(model) = model else { return ().into_node() };
    let afloat = model.outcome.afloat().cloned();
    let lies = text::lies(&model, &[]);
    let words = t!("boats.drawn", boat = hand.boat.name, lies = lies);
    let reserve = afloat.as_ref().map(|a| text::grams(a.reserve * density));
    let facts = vec![
        (t!("sheet.mass"), Some(text::grams(hand.boat.dry_mass()))),
        (t!("boats.as_modelled"), Some(lies)),
        (t!("figures.reserve"), reserve),
        (
            t!("boats.gm_across"),
            afloat.as_ref().map(|a| text::fine_millimetres(a.stiffness.across)),
        ),
        (t!("dive.gm_along"), afloat.as_ref().map(|a| text::millimetres(a.stiffness.along))),
    ];
    let marks = hand.boat.marks.iter().map(|mark| {
        let above = text::millimetres(mark.at.z());
        (
            text::upper_first(&t!("widget.mark", mark = mark.name)),
            t!("boats.mark_at", along = text::along(mark.at.x(), hand.datum), height = above),
        )
    });
    let rows = facts
        .into_iter()
        .filter_map(|(name, value)| value.map(|v| (name, v)))
        .chain(marks)
        .map(|(name, value)| view! { <div><dt>{name}</dt><dd>{value}</dd></div> })
        .collect_node();
    view! {
        <h1>{hand.boat.name.clone()}</h1>
        <Drawing
            hand=Memo::fixed(Arc::clone(&hand))
            scene=Memo::fixed(Scene::of(&model))
            words=Memo::fixed(words)
            parts=Memo::fixed(drawn_of(&hand))
            zoomable=true
        />
        <dl class="facts">{rows}</dl>
        <p class="note">{t!("boats.made_from_six")}</p>
        <Datums />
    }
}
