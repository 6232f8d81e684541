//! Whether to remove everything: what would go, a file of it first, and a way back.

use super::Head;
use crate::signal::{Memo, RwSignal};
use crate::state::{Desk, DiaryPage, Removable};
use crate::ui::node::{Node, view};
use crate::words::{self, t};
use leptos::prelude::*;
use leptos::task::spawn_local;

/// The page of the question.
#[component]
pub(super) fn RemovePage() -> Node {
    let desk = expect_context::<Desk>();
    // None while it is being looked for; then what would go, or that it cannot be told.
    let found = RwSignal::new(None::<Option<Removable>>);
    spawn_local(async move {
        found.try_set(Some(desk.removable().await.ok()));
    });
    let words = move || match found.get() {
        None => t!("remove.looking"),
        Some(None) => t!("files.nothing_removed"),
        Some(Some(Removable { sessions, bytes, .. })) => {
            t!("remove.what", count = sessions, size = words::file::size(bytes))
        }
    };
    let stays = move || match found.get() {
        Some(Some(Removable { unreadable, .. })) if unreadable > 0 => {
            t!("files.not_cleared", count = unreadable)
        }
        _ => String::new(),
    };
    let export = move |_| {
        desk.say(t!("files.writing"));
        spawn_local(async move { desk.say(desk.save_export().await) });
    };
    let keep = move |_| {
        desk.message.set(None);
        desk.log.page.set(DiaryPage::Files);
    };
    let nothing_known = move || !matches!(found.get(), Some(Some(_)));
    view! {
        <main class="screen diary">
            <Head title=Memo::fixed(t!("remove.title")) />
            <p class="lead" role="status" data-testid="remove-what">
                {words}
            </p>
            <p class="problem">{stays}</p>
            <button class="main" data-testid="remove-export" on:click=export>
                {t!("remove.export_first")}
            </button>
            <button class="main second" data-testid="remove-not" on:click=keep>
                {t!("remove.keep")}
            </button>
            <p class="quiet">{t!("remove.for_good")}</p>
            <button
                class="main second danger"
                data-testid="remove-all"
                disabled=nothing_known
                on:click=move |_| spawn_local(desk.remove_everything())
            >
                {t!("files.clear")}
            </button>
        </main>
    }
}
