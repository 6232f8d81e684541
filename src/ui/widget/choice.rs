//! A row of buttons of which one is chosen.

use crate::signal::{Callback, Memo};
use crate::ui::node::{CollectNode, Node, view};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement};

/// One thing to choose.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Chosen {
    /// What it is called.
    pub(crate) name: String,
    /// Its name for tests.
    pub(crate) testid: String,
}

/// A row of buttons of which one is chosen, by its place in the row.
#[component]
pub(crate) fn Choice(
    /// What is chosen between, for a screen reader.
    #[prop(into)]
    label: String,
    /// The things to choose.
    options: Vec<Chosen>,
    /// Which is chosen now.
    #[prop(into)]
    now: Memo<Option<usize>>,
    /// Called with the one tapped.
    #[prop(into)]
    choose: Callback<usize>,
) -> Node {
    let n = options.len();
    // Arrow keys go to the neighbour and choose it, as in any group of radio buttons.
    let step = move |ev: &leptos::ev::KeyboardEvent, k: usize| {
        let next = match ev.key().as_str() {
            "ArrowRight" | "ArrowDown" => (k + 1) % n,
            "ArrowLeft" | "ArrowUp" => (k + n - 1) % n,
            _ => return,
        };
        ev.prevent_default();
        choose.run(next);
        focus_neighbour(ev, next);
    };
    let buttons = options
        .into_iter()
        .enumerate()
        .map(|(k, Chosen { name, testid })| {
            view! {
                <button
                    type="button"
                    role="radio"
                    class="choice"
                    data-testid=testid
                    aria-checked=move || if now.get() == Some(k) { "true" } else { "false" }
                    tabindex=move || if now.get().unwrap_or(0) == k { "0" } else { "-1" }
                    on:click=move |_| choose.run(k)
                    on:keydown=move |ev| step(&ev, k)
                >
                    {name}
                </button>
            }
        })
        .collect_node();
    view! {
        <div class="choices" role="radiogroup" aria-label=label>
            {buttons}
        </div>
    }
}

/// Moves the focus to the button of that place in the same row.
fn focus_neighbour(ev: &leptos::ev::KeyboardEvent, place: usize) {
    let button = ev.current_target().and_then(|t| t.dyn_into::<Element>().ok());
    let row = button.and_then(|b| b.parent_element());
    let wanted = u32::try_from(place).ok().and_then(|k| row?.children().item(k));
    if let Some(element) = wanted.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        let _focused = element.focus();
    }
}
