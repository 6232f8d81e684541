//! Why: what takes the metacentric height, and what leans the boat, each adding up to the whole.

use crate::signal::memo;
use crate::state::{Desk, Dived};
use crate::ui::dive_text;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text::{degrees, fine_millimetres, list};
use crate::words::t;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::unit::{DEGREE, MILLIMETRE};

/// Causes shown one by one; the rest is one line.
const SHOWN: usize = 5;

/// A list of figures that adds up to its last line.
#[derive(Debug, Clone, PartialEq, Default)]
struct Sum {
    title: String,
    rows: Vec<(String, String)>,
    whole: (String, String),
}

/// Both lists.
#[component]
pub(super) fn Why() -> Node {
    let desk = expect_context::<Desk>();
    let sums = memo(move || {
        desk.dive.shown().map_or_else(Vec::new, |dived| {
            [Some(of_gm(&dived)), of_lean(&dived)].into_iter().flatten().collect()
        })
    });
    let events = memo(move || {
        desk.dive.shown().map_or_else(Vec::new, |dived: Arc<Dived>| {
            dived.way.sweep.events.iter().map(dive_text::event).collect::<Vec<_>>()
        })
    });
    let row =
        |(name, figure): (String, String)| view! { <div><dt>{name}</dt><dd>{figure}</dd></div> };
    let shown = move || {
        sums.get()
            .into_iter()
            .enumerate()
            .map(|(k, sum)| {
                let (name, figure) = sum.whole;
                view! {
                    <h3>{sum.title}</h3>
                    <dl class="facts sum" data-testid=format!("why-{k}")>
                        {sum.rows.into_iter().map(row).collect_node()}
                        <div class="whole"><dt>{name}</dt><dd>{figure}</dd></div>
                    </dl>
                }
            })
            .collect_node()
    };
    let happened = move || {
        let line = |words: String| view! { <li>{words}</li> };
        events.get().into_iter().map(line).collect_node()
    };
    view! {
        <section aria-label=t!("dive.why") class="why">
            <h2>{t!("dive.why")}</h2>
            <ul class="events" data-testid="dive-events" hidden=move || events.with(Vec::is_empty)>{happened}</ul>
            {shown}
        </section>
    }
}

fn of_gm(dived: &Dived) -> Sum {
    let (loss, worst) = (&dived.way.loss, dived.way.summary.worst.gm);
    let boat = &dived.hand.boat;
    let parts = loss.parts.iter().map(|part| (dive_text::loss_cause(boat, dived, *part), part.1));
    let figure = |taken: f64| {
        // A loss is what the list is of; a gain says so.
        let sign = if taken < 0.0 { "+" } else { "\u{2212}" };
        format!("{sign}{}", fine_millimetres(taken.abs()))
    };
    Sum {
        title: t!(
            "dive.gm_falls",
            from = fine_millimetres(loss.before),
            to = fine_millimetres(loss.after),
            at = dive_text::share(worst.fill)
        ),
        rows: shortened(parts, 0.05 * MILLIMETRE, figure),
        whole: (t!("dive.whole"), figure(loss.total())),
    }
}

fn of_lean(dived: &Dived) -> Option<Sum> {
    let (causes, worst) = (&dived.way.causes, dived.way.summary.worst.lean);
    let boat = &dived.hand.boat;
    if causes.whole.abs() < 0.1 * DEGREE {
        return None;
    }
    let parts =
        causes.parts.iter().map(|cause| (dive_text::lean_cause(boat, dived, cause), cause.lean));
    let symmetric = dived.way.worst_row().is_some_and(dive_text::is_either_side);
    let figure = |lean: f64| if symmetric { degrees(lean) } else { list(lean) };
    Some(Sum {
        title: t!("dive.lean_of", angle = degrees(causes.whole), at = dive_text::share(worst.fill)),
        rows: shortened(parts, 0.05 * DEGREE, figure),
        whole: (
            t!(
                "dive.whole_lean",
                offset = fine_millimetres(causes.offset.abs()),
                gm = fine_millimetres(causes.gm)
            ),
            figure(causes.whole),
        ),
    })
}

/// The largest one by one; what is small, or comes after [`SHOWN`], in one line.
fn shortened(
    parts: impl Iterator<Item = (String, f64)>,
    least: f64,
    figure: impl Fn(f64) -> String,
) -> Vec<(String, String)> {
    let (shown, rest): (Vec<_>, Vec<_>) =
        parts.enumerate().partition(|(k, (_, value))| *k < SHOWN && value.abs() >= least);
    let mut rows: Vec<_> =
        shown.into_iter().map(|(_, (name, value))| (name, figure(value))).collect();
    let together: f64 = rest.iter().map(|(_, (_, value))| value).sum();
    match rest.as_slice() {
        [(_, (name, value))] if value.abs() >= least => rows.push((name.clone(), figure(*value))),
        [_, _, ..] if together.abs() >= least => {
            rows.push((t!("dive.others", count = rest.len()), figure(together)));
        }
        _ => {}
    }
    rows
}
