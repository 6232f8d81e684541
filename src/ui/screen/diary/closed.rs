//! What was foretold beside what came of it, in words.

use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::words::{t, word};
use leptos::prelude::*;
use trimwright::diary::{ClosedFigure, Closing, Figure, Followed, NotComparable};
use trimwright::fit::Estimate;
use trimwright::unit::DEGREE;

/// What became of an advice: a line for each figure that was foretold and then read.
#[component]
pub(super) fn ClosedView(
    /// The advice and the reading that followed.
    closing: Closing,
) -> Node {
    let Closing { unlike: reasons, followed, figures, .. } = closing;
    let fair = reasons.is_empty();
    let why_not = reasons.into_iter().map(|why| view! { <li>"– " {unlike(why)}</li> });
    let why_not = why_not.collect_node();
    let not_known = (fair && followed == Followed::NotKnown)
        .then(|| view! { <li>{t!("closed.not_known")}</li> });
    let figures = figures.into_iter().map(|figure| {
        let came_true = figure.came_true();
        let sign = match came_true.filter(|_| fair) {
            None => "–",
            Some(true) => "✓",
            Some(false) => "✕",
        };
        let rough = came_true.is_none().then(|| format!(" ({})", t!("closed.too_rough")));
        view! { <li>{sign} " " {line(&figure)} {rough}</li> }
    });
    let figures = figures.collect_node();
    view! {
        <ul class="closed" data-testid="closed">
            {figures} {why_not} {not_known}
        </ul>
    }
}

/// "List: predicted upright ± 0.3°, got 0.4° to starboard".
pub(super) fn line(closed: &ClosedFigure) -> String {
    let (name, words): (String, fn(Estimate) -> String) = match &closed.figure {
        Figure::List => (t!("past.list"), |e| text::list(e.value * DEGREE)),
        Figure::Trim => (t!("past.trim"), |e| text::trim(e.value * DEGREE)),
        Figure::Residual => (t!("past.residual"), |e| residual(e.value)),
        Figure::Mark(name) => (t!("compare.mark", name = name), |e| text::water_at(e.value)),
    };
    let spread = match &closed.figure {
        Figure::List | Figure::Trim => text::degrees(closed.spread() * DEGREE),
        Figure::Residual => text::grams(closed.spread()),
        Figure::Mark(_) => text::fine_millimetres(closed.spread()),
    };
    let thin = text::THIN;
    let got = match &closed.figure {
        Figure::Mark(_) => text::read_at(closed.got.value),
        _ => words(closed.got),
    };
    let foretold = words(closed.foretold);
    let foretold = format!("{foretold} ±{thin}{spread}");
    t!("closed.line", figure = name, foretold = foretold, got = got)
}

fn residual(mass: f64) -> String {
    let key = if mass >= 0.0 { word!("said.heavy") } else { word!("said.light") };
    t!(key, mass = text::whole_grams(mass.abs()))
}

fn unlike(why: NotComparable) -> String {
    t!(match why {
        NotComparable::Water => word!("closed.other_water"),
        NotComparable::Fill => word!("closed.other_fill"),
        NotComparable::Aboard => word!("closed.aboard"),
        NotComparable::OtherSteps => word!("closed.other_steps"),
        NotComparable::Boat => word!("closed.other_boat"),
        NotComparable::SameFigures => word!("closed.same_figures"),
    })
}
