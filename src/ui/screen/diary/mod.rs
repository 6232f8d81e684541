//! Diary: the sessions, what became of them, and the file that holds everything.

mod apart;
mod entry;
mod files;
mod list;
mod now;
mod session;

use super::boats::Undo;
use crate::device::update::AppUpdate;
use crate::state::Desk;
use crate::ui::memo::memo;
use leptos::prelude::*;

/// The screen of what was kept.
#[component]
pub(crate) fn DiaryScreen(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let open = memo(move || desk.log.open.get());
    view! {
        {move || match open.get() {
            Some(key) => view! { <session::SessionPage key /> }.into_any(),
            None => view! { <Overview update /> }.into_any(),
        }}
    }
}

/// All sessions, and what can be done with them.
#[component]
fn Overview(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    view! {
        <main class="screen diary">
            <header class="line">
                <h1>"Diary"</h1>
                <super::kept::KeptSign />
            </header>
            <p class="message" role="status" data-testid="file-message">
                {move || desk.message.get().unwrap_or_default()}
            </p>
            <Undo />
            <apart::SetApart />
            <now::Now />
            <list::Sessions />
            <h2>"Everything as one file"</h2>
            <files::Files />
            <p class="quiet" data-testid="offline-ready" hidden=move || !update.ready_offline.get()>
                "✓ Kept on this phone: works without a network."
            </p>
        </main>
    }
}
