//! Everything as one file: given away, and taken in after a look at it.

use super::Head;
use crate::device::update::AppUpdate;
use crate::signal::{Memo, memo};
use crate::state::{Desk, DiaryPage};
use crate::ui::node::{Node, view};
use crate::ui::screen::import::ImportFile;
use crate::words::{t, word};
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::pin::Pin;
use trimwright::diary::USUAL_REMINDER;

/// A way for something to leave the app; what came of it, in words.
type ExportWay = fn(Desk) -> Pin<Box<dyn Future<Output = String>>>;
const SAVE: ExportWay = |desk| Box::pin(desk.save_export());
const SHARE: ExportWay = |desk| Box::pin(desk.share_export());
const TABLE: ExportWay = |desk| Box::pin(desk.save_table());

/// The page of files: export, share, import, what is kept.
#[component]
pub(super) fn FilesPage(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> Node {
    let desk = expect_context::<Desk>();
    let writing = move |way: ExportWay| {
        desk.say(t!("files.writing"));
        spawn_local(async move { desk.say(way(desk).await) });
    };
    let ask = move |_| {
        desk.message.set(None);
        desk.log.page.set(DiaryPage::Remove);
    };
    view! {
        <main class="screen diary">
        <Head title=Memo::fixed(t!("files.title")) />
        <Reminder />
        <button class="main" data-testid="export" on:click=move |_| writing(SAVE)>
            {t!("files.export")}
        </button>
        <button class="main second" data-testid="share" on:click=move |_| writing(SHARE)>
            {t!("files.share")}
        </button>
        <ImportFile />
        <button class="main second" data-testid="table" on:click=move |_| writing(TABLE)>
            {t!("files.table")}
        </button>
        <Keeping update />
        <section class="store">
            <p class="quiet">{t!("sweep.what")}</p>
            <button
                class="quiet-button"
                data-testid="sweep"
                on:click=move |_| {
                    desk.say(t!("sweep.looking"));
                    spawn_local(desk.sweep());
                }
            >
                {t!("sweep.do")}
            </button>
        </section>
        <section class="store">
            <button class="quiet-button" data-testid="go-remove" on:click=ask>
                {t!("files.clear")}
            </button>
        </section>
        </main>
    }
}

/// Whether the app works without a network, and whether the browser may clear what is kept.
#[component]
fn Keeping(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> Node {
    let desk = expect_context::<Desk>();
    let promise = move || {
        let promised = desk.promised.get()?;
        Some(t!(if promised { word!("files.promised") } else { word!("files.not_promised") }))
    };
    view! {
        <p class="quiet" data-testid="offline-ready" hidden=move || !update.ready_offline.get()>
            {t!("files.offline")}
        </p>
        <p class="quiet" data-testid="promise">{promise}</p>
    }
}

/// Asks for an export after some sessions.
#[component]
pub(super) fn Reminder() -> Node {
    let desk = expect_context::<Desk>();
    let due = memo(move || {
        let after = desk.diary.with(|d| d.settings.remind_after).unwrap_or(USUAL_REMINDER);
        let sessions = desk.sessions_since_export();
        (after > 0 && sessions >= after).then_some(sessions)
    });
    view! {
        {move || {
            due.get()
                .map(|sessions| {
                    view! {
                        <p class="notice" data-testid="export-reminder">
                            {t!("files.reminder", count = sessions)}
                        </p>
                    }
                })
        }}
    }
}
