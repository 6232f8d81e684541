//! What the answer asks where figures leave it in doubt: what comes of pushing the boat over, and whether a figure
//! that does not fit the others is set aside.

use crate::device::motion::focus;
use crate::signal::{Callback, memo};
use crate::state::{Desk, PoolAnswer};
use crate::ui::advice_text::figure_words;
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::words::t;
use leptos::prelude::*;
use trimwright::answer::Advised;
use trimwright::ballast::Verdict;
use trimwright::diary::{ConditionRecord, figure_name};
use trimwright::fit::Lean;

/// Pushed over to its other side: whether it stays there. Asked where nobody can tell a list from a loll.
#[component]
pub(super) fn PushOver(
    /// The advice in words, to be kept with the reading.
    #[prop(into)]
    advice: Callback<(), Vec<String>>,
) -> Node {
    let desk = expect_context::<Desk>();
    let came_back = memo(move || desk.derived.draft.with(|d| d.comes_back == Some(true)));
    let is_asked = memo(move || {
        let is_afloat = desk.derived.draft.with(|d| d.condition == ConditionRecord::Afloat);
        let is_open = |a: &Advised| {
            let asks = matches!(a.advice.verdict, Verdict::LeanUntold | Verdict::LiesOver { .. });
            asks || a.fit.lean == Lean::ListOrLoll
        };
        is_afloat
            && desk.derived.answer.with(|a| match a.as_ref() {
                PoolAnswer::Advised(a) => is_open(a) || came_back.get(),
                _ => false,
            })
    });
    // There the advice itself asks to push it over.
    let says_it = memo(move || {
        desk.derived.answer.with(|a| match a.as_ref() {
            PoolAnswer::Advised(a) => a.advice.verdict == Verdict::LeanUntold,
            _ => false,
        })
    });
    let stays = move |_| {
        desk.stays_over(advice.run(()));
        focus("list-value");
    };
    let comes_back = move |_| {
        desk.edit(|d| {
            d.comes_back = if d.comes_back.is_some() { None } else { Some(true) };
        });
    };
    let shown = move || {
        is_asked.get().then(|| {
            view! {
                <div class="asked-card" role="group" aria-label=t!("push.ask")>
                    <p class="after" hidden=says_it>
                        {t!("push.ask")}
                    </p>
                    <div class="after-done">
                        <button
                            type="button"
                            class="choice"
                            data-testid="push-stays"
                            on:click=stays
                        >
                            {t!("push.stays")}
                        </button>
                        <button
                            type="button"
                            class="choice"
                            data-testid="push-comes-back"
                            aria-pressed=move || came_back.get().to_string()
                            on:click=comes_back
                        >
                            {move || came_back.get().then_some("✓ ")}
                            {t!("push.comes_back")}
                        </button>
                    </div>
                </div>
            }
        })
    };
    shown.into_node()
}

/// The figure that does not fit, to be set aside, and those that are, to be used again: at the same place.
#[component]
pub(super) fn SetAside() -> Node {
    let desk = expect_context::<Desk>();
    // What each is called in the record, and whether it is aside.
    let figures = memo(move || {
        let aside = desk.derived.draft.with(|d| d.aside.clone());
        let worst = desk.derived.answer.with(|a| {
            let PoolAnswer::Advised(advised) = a.as_ref() else { return None };
            let worst = advised.fit.contradiction.as_ref()?.worst;
            Some(figure_name(&advised.reading.observations.get(worst)?.seen))
        });
        let aside = aside.into_iter().map(|name| (name, true));
        aside.chain(worst.map(|name| (name, false))).collect::<Vec<_>>()
    });
    let button = move |(name, is_aside): (String, bool)| {
        let which = figure_words(&name);
        let words = if is_aside {
            t!("aside.use_again", which = which)
        } else {
            t!("aside.set", which = which)
        };
        let id = name.replace(' ', "-");
        view! {
            <button
                type="button"
                data-testid=format!("aside-{id}")
                on:click=move |_| desk.edit(|d| d.turn_aside(&name))
            >
                {words}
            </button>
        }
    };
    let shown = move || {
        let all = figures.get();
        (!all.is_empty()).then(|| {
            let buttons = all.into_iter().map(button).collect_node();
            view! { <div class="after-done">{buttons}</div> }
        })
    };
    shown.into_node()
}
