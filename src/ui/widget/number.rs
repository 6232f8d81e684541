//! A field for a number, with its unit, its side and its message.

use super::problem::Problem;
use crate::signal::{Callback, Memo};
use crate::ui::id::id_of;
use crate::ui::node::{Node, view};
use leptos::prelude::*;
use web_sys::HtmlInputElement;

/// A field for a number. The text is kept as typed; a problem shows beside it.
#[component]
pub(crate) fn NumberField(
    /// What it asks for.
    #[prop(into)]
    label: String,
    /// Its name for tests, and its id.
    #[prop(into)]
    testid: String,
    /// The unit behind it; none for words.
    #[prop(into)]
    unit: String,
    /// What is typed.
    #[prop(into)]
    value: Memo<String>,
    /// Called with every change.
    #[prop(into)]
    change: Callback<String>,
    /// What is wrong with it.
    #[prop(into)]
    problem: Memo<Option<String>>,
    /// The side it is to, and what to do when that is tapped.
    #[prop(optional_no_strip)]
    side: Option<(Memo<String>, Callback<()>)>,
    /// The name of the side's button for tests.
    #[prop(optional, into)]
    side_testid: String,
) -> Node {
    let error_id = format!("{testid}-error");
    let asked = label.clone();
    let [id, described] = [&testid, &error_id].map(|testid| id_of(testid));
    // What is typed takes the place of what is there.
    let take_place = |ev: leptos::ev::FocusEvent| event_target::<HtmlInputElement>(&ev).select();
    view! {
        <div class="field" class:bad=move || problem.get().is_some()>
            <label for=id.clone()>{label}</label>
            <div class="entry">
                <input
                    id=id
                    data-testid=testid
                    type="text"
                    inputmode=if unit.is_empty() { "text" } else { "decimal" }
                    autocomplete="off"
                    enterkeyhint="next"
                    prop:value=value
                    aria-invalid=move || problem.get().is_some().then_some("true")
                    aria-describedby=move || problem.get().map(|_| described.clone())
                    on:focus=take_place
                    on:input=move |ev| change.run(event_target_value(&ev))
                />
                <span class="unit">{unit}</span>
                {side.map(|(words, flip)| {
                    // Several fields of a form have the same sides.
                    view! {
                        <button
                            type="button"
                            class="side"
                            data-testid=side_testid
                            aria-label=move || format!("{asked}: {}", words.get())
                            on:click=move |_| flip.run(())
                        >
                            {words}
                        </button>
                    }
                })}
            </div>
            <Problem testid=error_id text=problem />
        </div>
    }
}
