//! The ledger's list: groups, parts, what each weighs and whether it is aboard.

use super::import::MeshFile;
use crate::device::language::in_small_letters;
use crate::signal::{RwSignal, memo};
use crate::state::{Desk, Editing};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::row_text;
use crate::ui::text::grams;
use crate::words::{self, t};
use leptos::prelude::*;
use trimwright::boat::{Displacer, SharedVolume};
use trimwright::diary::PartRecord;

/// A list that is longer than this can be searched.
const SHORT: usize = 8;

/// Pairs of which it is said by name that they count twice.
const NAMED: usize = 3;

/// One line as it is shown.
#[derive(Debug, Clone, PartialEq)]
struct PartLine {
    /// Its number in the ledger.
    line: usize,
    /// The heading over it, where a group begins, and what of the group is aboard weighs.
    heading: Option<[String; 2]>,
    name: String,
    mass: String,
    status: String,
    /// Whether it displaces, where that is not plain.
    displaces: Option<String>,
    bad: bool,
}

/// The parts.
#[component]
pub(crate) fn Parts() -> Node {
    let desk = expect_context::<Desk>();
    let search = RwSignal::new(String::new());
    let rows = memo(move || {
        let wanted = search.with(|s| in_small_letters(s.trim()));
        desk.derived.record.with(|r| {
            let parts = r.as_ref().map(|r| r.parts.as_slice()).unwrap_or_default();
            rows(desk, parts, &wanted)
        })
    });
    let n_parts =
        memo(move || desk.derived.record.with(|r| r.as_ref().map_or(0, |r| r.parts.len())));
    let row = move |row: PartLine| {
        let open = move |_| desk.open_form(Editing::Part(Some(row.line)));
        view! {
            {row
                .heading
                .map(|[name, sum]| {
                    view! {
                        <li class="group-name line" data-testid=format!("group-of-{}", row.line)>
                            <span>{name}</span>
                            <span>{sum}</span>
                        </li>
                    }
                })}
            <li class="row">
                <button
                    class="row-main line"
                    data-testid=format!("part-{}", row.line)
                    on:click=open
                >
                    <span>
                        {row.name} " "
                        <span class=if row.bad { "bad" } else { "quiet" }>{row.status}</span>
                        {row.displaces.map(|words| view! { <span class="row-more">{words}</span> })}
                    </span>
                    <span class="row-figure">{row.mass}</span>
                </button>
            </li>
        }
    };
    view! {
        <button
            class="main"
            data-testid="add-part"
            on:click=move |_| desk.open_form(Editing::Part(None))
        >
            {t!("bench.add_part")}
        </button>
        <div class="field" hidden=move || n_parts.get() <= SHORT>
            <label for="part-search">{t!("bench.search")}</label>
            <div class="entry">
                <input
                    id="part-search"
                    data-testid="part-search"
                    type="search"
                    autocomplete="off"
                    prop:value=search
                    on:input=move |ev| search.set(event_target_value(&ev))
                />
            </div>
        </div>
        <p class="quiet" hidden=move || { n_parts.get() > 0 }>
            {t!("bench.no_parts")}
        </p>
        <p class="quiet" hidden=move || { n_parts.get() == 0 || !rows.with(Vec::is_empty) }>
            {t!("bench.none_found")}
        </p>
        <CountsTwice />
        <ul class="rows parts">
            {move || rows.get().into_iter().map(row).collect_node()}
        </ul>
        <MeshFile />
    }
}

/// What counts twice, the most first.
#[component]
pub(super) fn CountsTwice(
    /// Only where a tank is one of the two.
    #[prop(optional)]
    of_tanks: bool,
) -> Node {
    let desk = expect_context::<Desk>();
    let words = memo(move || {
        let Some(Ok(hand)) = desk.derived.boat.get() else { return Vec::new() };
        let mut twice = hand.model.nesting().twice().to_vec();
        let is_of_tank =
            |t: &SharedVolume| t.of.iter().any(|what| matches!(what, Displacer::Tank(_)));
        twice.retain(|t| !of_tanks || is_of_tank(t));
        twice.sort_by(|a, b| b.volume.total_cmp(&a.volume));
        let named = twice.iter().take(NAMED).map(|t| row_text::twice_words(&hand.boat, t));
        let others = twice.len().saturating_sub(NAMED);
        let others = (others > 0).then(|| t!("inside.more_twice", count = others));
        named.chain(others).collect::<Vec<_>>()
    });
    let line = |words: String| view! { <p class="after warn">"! " {words}</p> };
    view! {
        <div data-testid="counts-twice">
            {move || words.get().into_iter().map(line).collect_node()}
        </div>
    }
}

/// Lines by group, groups in the order in which they first appear.
fn rows(desk: Desk, parts: &[PartRecord], wanted: &str) -> Vec<PartLine> {
    let mut groups: Vec<&str> = Vec::new();
    for part in parts {
        if !groups.contains(&part.group.as_str()) {
            groups.push(&part.group);
        }
    }
    let matches = |part: &PartRecord| {
        let of = part.material.as_ref().map_or("", |m| m.name.as_str());
        let shown = words::material::shown(of);
        [part.name.as_str(), part.group.as_str(), of, shown.as_str()]
            .iter()
            .any(|text| in_small_letters(text).contains(wanted))
    };
    let made = desk.derived.parts.get();
    let boat = desk.derived.boat.get().and_then(Result::ok);
    let mut rows = Vec::new();
    for group in groups {
        let lines = parts.iter().enumerate().filter(|(_, p)| p.group == group && matches(p));
        let name = if group.is_empty() { t!("bench.no_group") } else { group.to_owned() };
        let of_group = parts.iter().enumerate().filter(|(_, p)| p.group == group);
        let masses = of_group.filter_map(|(line, _)| made.get(line)?.ok().map(|m| &m.part));
        let sum = masses.filter(|part| part.status.is_aboard()).map(|part| part.mass).sum();
        let mut heading = Some([name, grams(sum)]);
        for (line, part) in lines {
            let (mass, bad) = match made.get(line) {
                Some(Ok(made)) => (row_text::part_mass(made), false),
                _ => (String::new(), true),
            };
            let status =
                if bad { t!("bench.cannot_be_made") } else { row_text::status_words(part.status) };
            let displaces = boat
                .as_ref()
                .and_then(|hand| row_text::displaces_words(&hand.boat, hand.model.nesting(), line));
            let name = part.name.clone();
            rows.push(PartLine {
                line,
                heading: heading.take(),
                name,
                mass,
                status,
                displaces,
                bad,
            });
        }
    }
    rows
}
