//! What to be careful with: folded beside the check that it belongs to, and all together below.

use crate::ui::node::{CollectNode, Node, view};
use crate::words::{self, t};
use leptos::prelude::*;
use trimwright::diary::Caution;

/// One caution, folded.
#[component]
pub(in crate::ui::screen) fn CautionView(
    /// Which.
    caution: Caution,
    /// Where it stands, to tell it from the same one elsewhere.
    #[prop(into)]
    place: String,
) -> Node {
    let lines = words::caution::lines(caution)
        .into_iter()
        .map(|line| view! { <li>{line}</li> })
        .collect_node();
    let testid = place + "-" + caution.id();
    view! {
        <details class="caution" data-testid=testid>
            <summary>"⚠ " {words::caution::name(caution)}</summary>
            <ul>{lines}</ul>
        </details>
    }
}

/// All of them.
#[component]
pub(super) fn Cautions() -> Node {
    let all = Caution::ALL
        .into_iter()
        .map(|caution| view! { <CautionView caution place="caution" /> })
        .collect_node();
    view! {
        <section class="cautions" aria-label=t!("checks.cautions") data-testid="cautions">
            <h2>{t!("checks.take_care")}</h2>
            <p class="note">{t!("caution.local_codes")}</p>
            {all}
        </section>
    }
}
