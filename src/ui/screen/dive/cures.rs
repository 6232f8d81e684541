//! What would cure a lean, the best first; each can be looked at before the boat is changed.

use crate::signal::memo;
use crate::state::{Desk, DiveProgress, Tried};
use crate::ui::cure_text;
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::words::t;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::dive::{CureKind, Summary};

/// The cures, or the word that none is needed.
#[component]
pub(super) fn Cures() -> Node {
    let desk = expect_context::<Desk>();
    let dive = desk.dive;
    let before = move || dive.dived.with(|d| d.as_ref().map(|d| d.way.summary));
    let busy = memo(move || dive.progress.with(|f| *f != DiveProgress::No));
    // What does nothing is only named.
    let rows = move || {
        let Some(before) = before() else { return ().into_node() };
        let useful =
            dive.tried.with(|all| all.iter().filter(|t| is_useful(t)).cloned().collect::<Vec<_>>());
        let row = |(k, tried): (usize, Arc<Tried>)| view! { <CureRow k tried before /> };
        useful.into_iter().enumerate().map(row).collect_node()
    };
    let useless = memo(move || {
        dive.tried.with(|all| {
            let names: Vec<String> =
                all.iter().filter(|t| !is_useful(t)).map(|t| cure_text::cure(t)).collect();
            (!names.is_empty()).then(|| t!("dive.tried_too", names = names.join("; ")))
        })
    });
    let none = memo(move || {
        let good = dive.dived.with(|d| d.as_ref().is_some_and(|d| !d.way.summary.leans_visibly()));
        !busy.get() && good && dive.tried.with(Vec::is_empty)
    });
    let can_undo = memo(move || desk.can_step()[0]);
    view! {
        <section aria-label=t!("dive.cures") class="cures">
            <h2>{t!("dive.what_would_cure")}</h2>
            <p class="quiet" hidden=move || !none.get()>{t!("dive.no_lean")}</p>
            <ol class="rows">{rows}</ol>
            <p class="quiet" data-testid="cures-useless" hidden=move || useless.with(Option::is_none)>{useless}</p>
            <button
                type="button"
                class="quiet-button"
                id="dive-undo"
                data-testid="dive-undo"
                hidden=move || !can_undo.get()
                on:click=move |_| desk.undo_change()
            >
                {t!("dive.undo")}
            </button>
        </section>
    }
}

/// A cure that changes something for the better, or that costs nothing.
fn is_useful(tried: &Tried) -> bool {
    tried.effect.cures || tried.effect.helps || tried.cure.kind == CureKind::QuietStart
}

/// One cure with its effect.
#[component]
fn CureRow(
    /// Its place in the list.
    k: usize,
    /// What it is.
    tried: Arc<Tried>,
    /// The way of the boat as it is.
    before: Summary,
) -> Node {
    let desk = expect_context::<Desk>();
    let title = cure_text::cure(&tried);
    let label = t!("dive.try_it", what = title);
    let effect = cure_text::effect(&tried, &before);
    let ends = cure_text::ends(tried.effect, &before, &tried.after.way.summary);
    let can_be_tried = tried.cure.kind != CureKind::QuietStart;
    // What only takes another time leaves the ends alone.
    let is_of_the_boat = !matches!(tried.cure.kind, CureKind::QuietStart | CureKind::FloodFaster);
    let class = if tried.effect.cures && !tried.effect.spoils { "ok" } else { "" };
    let word = if tried.effect.cures { "✓ " } else { "" };
    let own = Arc::clone(&tried);
    let is_tried =
        memo(move || desk.dive.trying.with(|t| t.as_ref().is_some_and(|t| Arc::ptr_eq(t, &own))));
    let toggle = move |_| {
        let now = is_tried.get_untracked();
        desk.try_cure((!now).then(|| Arc::clone(&tried)));
    };
    view! {
        <li class="entry-row cure" data-testid=format!("cure-{k}")>
            <div>
                <p class="seen">{title}</p>
                <p class=class data-testid=format!("cure-{k}-effect")>{word} {effect}</p>
                {is_of_the_boat
                    .then(|| view! { <p class=format!("small {}", ends.class)>{ends.words}</p> })}
            </div>
            {can_be_tried
                .then(|| {
                    view! {
                        <button
                            type="button"
                            class="try"
                            data-testid=format!("cure-{k}-try")
                            aria-label=label
                            aria-pressed=move || is_tried.get().to_string()
                            on:click=toggle
                        >
                            <span aria-hidden="true">{move || is_tried.get().then_some("✓ ")}</span>
                            {t!("dive.try")}
                        </button>
                    }
                })}
        </li>
    }
}
