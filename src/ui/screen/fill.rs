//! How full the tanks are under water: blown, full, or so much between.

use crate::signal::memo;
use crate::state::{BoatInHand, Desk};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::widget::{Choice, Chosen, NumberField};
use crate::words::speech::speech;
use crate::words::{t, word};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::answer::{Field, fill_units, read_fill, set_fill, turn_fill};
use trimwright::diary::FillUnit;
use trimwright::unit::Unit;

/// How full the tanks are: a tap for blown or full, a figure for anything between.
#[component]
pub(super) fn FillEntry(
    /// The boat.
    hand: Arc<BoatInHand>,
) -> Node {
    let desk = expect_context::<Desk>();
    let draft = desk.derived.draft;
    let is_assumed = memo(move || draft.with(|d| d.fill.trim().is_empty()));
    let of_share = Arc::clone(&hand);
    let share = memo(move || draft.with(|d| read_fill(d, &of_share).ok()));
    let end = |full: bool, testid: &'static str| {
        let hand = Arc::clone(&hand);
        let to = if full { 1.0 } else { 0.0 };
        let is_it = move || share.get().is_some_and(|s| if full { s >= 1.0 } else { s <= 0.0 });
        let words = move || match (full, is_assumed.get()) {
            (false, _) => t!("reading.blown"),
            (true, true) => t!("reading.full_assumed"),
            (true, false) => t!("reading.full"),
        };
        view! {
            <button
                type="button"
                class="choice"
                data-testid=testid
                aria-pressed=move || is_it().to_string()
                on:click=move |_| desk.edit(|d| set_fill(d, &hand, to, speech().decimal))
            >
                {words}
            </button>
        }
    };
    let mut units = fill_units(&hand);
    let chosen = memo(move || draft.with(|d| d.fill_in));
    // What stands typed in a unit that the boat has no more can be seen to be so.
    let kept = chosen.get_untracked();
    if !units.contains(&kept) {
        units.push(kept);
    }
    let options =
        units.iter().map(|unit| Chosen { name: sign(*unit).to_owned(), testid: testid(*unit) });
    let options: Vec<Chosen> = options.collect();
    let all = units.clone();
    let now = memo(move || {
        let chosen = chosen.get();
        all.iter().position(|unit| *unit == chosen)
    });
    let ends = [end(false, "fill-blown"), end(true, "fill-full")];
    let choose = move |k: usize| {
        if let Some(unit) = units.get(k) {
            desk.edit(|d| turn_fill(d, &hand, *unit, speech().decimal));
        }
    };
    let field = move || {
        let unit = chosen.get();
        let key = if unit == FillUnit::Seconds {
            word!("reading.flooded_for")
        } else {
            word!("reading.tank_filled")
        };
        view! {
            <NumberField
                label=t!(key)
                testid="fill-value"
                unit=sign(unit)
                value=memo(move || draft.with(|d| d.fill.clone()))
                change=move |text: String| desk.edit(|d| d.fill = text)
                problem=memo(move || desk.derived.problem(&Field::Fill))
            />
        }
    };
    view! {
        <div class="choices" role="group" aria-label=t!("reading.how_full")>
            {ends.into_iter().collect_node()}
        </div>
        <div class="fill-entry">{field} <Choice label=t!("reading.fill_in") options now choose /></div>
    }
}

/// What stands behind a figure in a unit.
fn sign(unit: FillUnit) -> &'static str {
    match unit {
        FillUnit::Percent => Unit::PERCENT.sign,
        FillUnit::Volume => speech().liquid_unit().sign,
        FillUnit::Seconds => Unit::SECONDS.sign,
    }
}

fn testid(unit: FillUnit) -> String {
    let word = match unit {
        FillUnit::Percent => "percent",
        FillUnit::Volume => "volume",
        FillUnit::Seconds => "seconds",
    };
    format!("fill-in-{word}")
}
