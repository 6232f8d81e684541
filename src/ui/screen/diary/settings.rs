//! How the app looks, speaks and measures.

use super::super::boats::Look;
use super::Head;
use leptos::prelude::*;

/// The page of settings.
#[component]
pub(super) fn SettingsPage() -> impl IntoView {
    view! {
        <main class="screen diary">
            <Head title=Signal::stored("Settings".to_owned()) />
            <Look />
        </main>
    }
}
