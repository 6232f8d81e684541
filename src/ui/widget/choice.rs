//! A row of buttons of which one is chosen.

use leptos::prelude::*;

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
    label: &'static str,
    /// The things to choose.
    options: Vec<Chosen>,
    /// Which is chosen now.
    #[prop(into)]
    now: Signal<Option<usize>>,
    /// Called with the one tapped.
    #[prop(into)]
    choose: Callback<usize>,
) -> impl IntoView {
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
                    on:click=move |_| choose.run(k)
                >
                    {name}
                </button>
            }
        })
        .collect_view();
    view! {
        <div class="choices" role="radiogroup" aria-label=label>
            {buttons}
        </div>
    }
}
