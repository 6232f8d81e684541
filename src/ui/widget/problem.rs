//! What is wrong with a field, beside it.

use leptos::prelude::*;

/// The message of a field, where there is one; the field names it by `id`.
#[component]
pub(crate) fn Problem(
    /// Its id, and its name for tests.
    id: String,
    /// What is wrong.
    text: Signal<Option<String>>,
) -> impl IntoView {
    move || {
        text.get().map(|words| {
            view! {
                <p class="problem" id=id.clone() data-testid=id.clone()>
                    "✕ "
                    {words}
                </p>
            }
        })
    }
}
