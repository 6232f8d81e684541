//! What is wrong with a field, beside it.

use crate::signal::Memo;
use crate::ui::id::id_of;
use crate::ui::node::{IntoNode, Node, view};
use leptos::prelude::*;

/// The message of a field, where there is one; the field names it by the identity of `testid`.
#[component]
pub(crate) fn Problem(
    /// Its name for tests, and its identity.
    testid: String,
    /// What is wrong.
    text: Memo<Option<String>>,
) -> Node {
    let shown = move || {
        text.get().map(|words| {
            view! {
                <p class="problem" id=id_of(&testid) data-testid=testid.clone()>
                    "✕ "
                    {words}
                </p>
            }
        })
    };
    shown.into_node()
}
