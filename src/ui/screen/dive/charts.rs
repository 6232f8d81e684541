//! The way as curves.

use leptos::prelude::*;

/// The four curves.
#[component]
pub(super) fn Charts() -> impl IntoView {
    view! { <p>"charts"</p> }
}
