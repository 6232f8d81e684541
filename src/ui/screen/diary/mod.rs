//! Diary: the sessions, what became of them, and the file that holds everything.

mod apart;
mod back;
mod closed;
mod compare;
mod entry;
mod files;
mod list;
mod now;
mod remove;
mod score;
mod session;
mod settings;
mod sheet;
mod trends;

use super::boats::Undo;
use super::kept::KeptSign;
use crate::device::update::AppUpdate;
use crate::signal::{Memo, memo};
use crate::state::{Desk, DiaryPage};
use crate::ui::node::{Node, view};
use crate::words::t;
use leptos::prelude::*;

/// The screen of what was kept.
#[component]
pub(crate) fn DiaryScreen(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> Node {
    let desk = expect_context::<Desk>();
    let page = memo(move || desk.log.page.get());
    view! {
        {move || match page.get() {
            DiaryPage::Overview => view! { <Overview /> },
            DiaryPage::Session(key) => view! { <session::SessionPage key /> },
            DiaryPage::Past => view! { <back::PastPage /> },
            DiaryPage::Compare(earlier, later) => {
                view! { <compare::ComparePage earlier later /> }
            }
            DiaryPage::Files => view! { <files::FilesPage update /> },
            DiaryPage::Remove => view! { <remove::RemovePage /> },
            DiaryPage::Settings => view! { <settings::SettingsPage /> },
        }}
    }
}

/// Leads to a page of the diary.
#[component]
fn GoTo(
    /// Which.
    page: DiaryPage,
    /// What it is called.
    name: String,
    /// Its name for tests.
    testid: &'static str,
) -> Node {
    let desk = expect_context::<Desk>();
    let go = move |_| {
        desk.message.set(None);
        desk.log.page.set(page.clone());
    };
    view! {
        <button class="main second" data-testid=testid on:click=go>
            {name}
        </button>
    }
}

/// The head of a page: the way back, and whether all is kept.
#[component]
fn Head(
    /// What the page is called.
    title: Memo<String>,
) -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <header class="line">
            <button
                class="back"
                data-testid="diary-back"
                on:click=move |_| {
                    desk.message.set(None);
                    desk.log.page.set(DiaryPage::Overview);
                }
            >
                {t!("diary.back")}
            </button>
        </header>
        <div class="title">
            <h1 data-testid="page-title">{move || title.get()}</h1>
            <KeptSign />
        </div>
        <Message />
    }
}

/// What was done last, and the way to take it back.
#[component]
fn Message() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <p class="message" role="status" data-testid="file-message">
            {move || desk.message.get().unwrap_or_default()}
        </p>
        <Undo />
    }
}

/// All sessions, and the ways to what else the diary has.
#[component]
fn Overview() -> Node {
    view! {
        <main class="screen diary">
            <header class="line">
                <div class="title">
                    <h1>{t!("place.diary")}</h1>
                    <KeptSign />
                </div>
            </header>
            <Message />
            <apart::SetApart />
            <files::Reminder />
            <now::Now />
            <list::Comparing />
            <nav class="pages" aria-label=t!("place.diary")>
                <GoTo page=DiaryPage::Past name=t!("past.title") testid="go-past" />
                <back::LastGoodButton />
                <GoTo page=DiaryPage::Files name=t!("files.go") testid="go-files" />
                <GoTo page=DiaryPage::Settings name=t!("settings.title") testid="go-settings" />
            </nav>
            <list::Sessions />
        </main>
    }
}
