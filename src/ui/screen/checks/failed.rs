//! What failed and is not mended: seen wherever somebody might launch the boat.

use super::words;
use crate::device::motion::focus;
use crate::signal::memo;
use crate::state::Desk;
use crate::ui::id::id_of;
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::words::t;
use leptos::prelude::*;
use trimwright::diary::CheckTime;

/// A failed check: its list, its identity, and what is said of it.
type Failed = (CheckTime, String, String);

/// All failed checks of the boat in hand; each leads to its row.
#[component]
pub(crate) fn FailedChecks(
    /// How many are shown; the rest are counted.
    most: usize,
) -> Node {
    let desk = expect_context::<Desk>();
    let failed = memo(move || -> Vec<Failed> {
        let checks = desk.checks_in_hand().unwrap_or_default();
        let failed = checks.failed();
        failed.map(|(time, check)| (time, check.id.clone(), words::called(check))).collect()
    });
    let rows = move || {
        let all = failed.get();
        let more = all.len().saturating_sub(most);
        let row = |(k, (time, id, words)): (usize, Failed)| {
            let go = move |_| {
                desk.see_checks(time);
                let row = format!("check-{id}");
                // The row is there with the next frame.
                request_animation_frame(move || focus(&id_of(&row)));
            };
            view! {
                <button class="failed-check" data-testid=format!("failed-{k}") on:click=go>
                    {t!("checks.failed_check", check = words)}
                </button>
            }
        };
        let shown = all.into_iter().take(most).enumerate().map(row).collect_node();
        let more =
            (more > 0).then(|| view! { <p class="bad">{t!("checks.and_more", count = more)}</p> });
        [shown, more.into_node()]
    };
    view! {
        <section
            class="failed-checks"
            aria-label=t!("checks.failed_checks")
            hidden=move || failed.with(Vec::is_empty)
        >
            {rows}
        </section>
    }
}
