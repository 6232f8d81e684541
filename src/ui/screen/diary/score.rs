//! How well predictions came true, in figures.

use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text::number;
use crate::words::t;
use leptos::prelude::*;
use trimwright::diary::{ByKind, Score, Tally};

/// The score of a boat.
#[component]
pub(super) fn ScoreView(
    /// What came of what was foretold.
    score: Score,
) -> Node {
    let all = score.followed.all();
    let not_known = score.not_known.all();
    let lines = lines(&score.followed);
    let rows = lines
        .into_iter()
        .map(|(name, tally)| {
            view! {
                <tr>
                    <td>{name}</td>
                    <td class="number">{came_true(tally)}</td>
                    <td class="number">{off(tally)}</td>
                </tr>
            }
        })
        .collect_node();
    let others = (not_known.foretold > 0).then(
        || view! { <p class="quiet">{t!("past.not_known", tally = came_true(not_known))}</p> },
    );
    let unlike = (score.unlike > 0)
        .then(|| view! { <p class="quiet">{t!("past.unlike", count = score.unlike)}</p> });
    view! {
        <section class="score" aria-label=t!("past.score")>
            <h2>{t!("past.score")}</h2>
            <p class="lead" data-testid="score">{headline(all)}</p>
            <table hidden=all.foretold == 0>
                <thead>
                    <tr>
                        <th>{t!("past.figure")}</th>
                        <th class="number">{t!("past.came_true")}</th>
                        <th class="number">{t!("past.off")}</th>
                    </tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
            <p class="quiet" hidden=all.foretold == 0>
                {t!("past.off_means")}
            </p>
            {others} {unlike}
        </section>
    }
}

/// The whole in a sentence.
fn headline(all: Tally) -> String {
    if all.foretold == 0 {
        return t!("past.nothing_foretold");
    }
    t!("past.headline", true_ones = all.came_true, all = all.foretold)
}

/// The kinds of figures that were foretold, by name.
fn lines(kinds: &ByKind) -> Vec<(String, Tally)> {
    let all = [
        (t!("past.list"), kinds.list),
        (t!("past.trim"), kinds.trim),
        (t!("bench.marks"), kinds.marks),
        (t!("past.residual"), kinds.residual),
    ];
    all.into_iter().filter(|(_, tally)| tally.foretold > 0).collect()
}

/// "9 of 10".
fn came_true(tally: Tally) -> String {
    t!("past.of", some = tally.came_true, all = tally.foretold)
}

/// How far off it was, in its own ±: "1.1 ×".
fn off(tally: Tally) -> String {
    tally.root_mean_square().map_or_else(String::new, |times| format!("{} ×", number(times, 1)))
}
