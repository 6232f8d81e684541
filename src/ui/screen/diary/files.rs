//! Everything as one file: given away, and taken in after a look at it.

use super::Head;
use crate::device::file;
use crate::device::update::AppUpdate;
use crate::state::{Arriving, Desk, Page, count};
use crate::ui::memo::memo;
use crate::words::{self, t};
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::pin::Pin;
use trimwright::diary::{Coming, Fate, RecordKind, USUAL_REMINDER};
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;

/// A way for something to leave the app; what came of it, in words.
type Way = fn(Desk) -> Pin<Box<dyn Future<Output = String>>>;
const SAVE: Way = |desk| Box::pin(desk.save_export());
const SHARE: Way = |desk| Box::pin(desk.share_export());
const TABLE: Way = |desk| Box::pin(desk.save_table());

/// The page of files: export, share, import, what is kept.
#[component]
pub(super) fn FilesPage(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let writing = move |way: Way| {
        desk.say(t!("files.writing"));
        spawn_local(async move { desk.say(way(desk).await) });
    };
    let import = move |ev: leptos::ev::Event| {
        let chosen = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        let Some(input) = chosen else { return };
        desk.say(t!("files.reading"));
        spawn_local(async move {
            let Some(text) = file::chosen(input).await else { return desk.message.set(None) };
            desk.message.set(desk.look_at_file(text.ok().as_deref()).await);
        });
    };
    let ask = move |_| {
        desk.message.set(None);
        desk.log.page.set(Page::Remove);
    };
    view! {
        <main class="screen diary">
        <Head title=Signal::stored(t!("files.title")) />
        <Reminder />
        <button class="main" data-testid="export" on:click=move |_| writing(SAVE)>
            {t!("files.export")}
        </button>
        <button class="main second" data-testid="share" on:click=move |_| writing(SHARE)>
            {t!("files.share")}
        </button>
        <label class="main second file">
            {t!("files.open")}
            <input
                type="file"
                accept=".json,application/json"
                data-testid="import"
                on:change=import
            />
        </label>
        <Preview />
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
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let promise = move || {
        let promised = desk.promised.get()?;
        Some(t!(if promised { "files.promised" } else { "files.not_promised" }))
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
pub(super) fn Reminder() -> impl IntoView {
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

/// What would come of the file that was chosen.
#[component]
fn Preview() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let accept = move |_| {
        desk.say(t!("files.taking_in"));
        spawn_local(async move {
            desk.say(desk.take_in().await);
        });
    };
    view! {
        {move || {
            desk.arriving
                .get()
                .map(|arriving| {
                    let Arriving { diary, coming, left_out } = arriving;
                    let missing = diary.missing.clone();
                    let [new, same, differs] =
                        [Fate::New, Fate::Same, Fate::Differs].map(|fate| count(&coming, fate));
                    let name = move |c: &Coming| match c.kind {
                        RecordKind::Boat => diary.boat(&c.id).map_or_else(|| c.id.clone(), |b| b.name.clone()),
                        RecordKind::Session => {
                            let session = diary.sessions.iter().find(|s| s.id == c.id);
                            session.map_or_else(|| c.id.clone(), |s| crate::device::clock::local_words(&s.started_at))
                        }
                        RecordKind::Checks => t!("place.checks"),
                    };
                    let others = coming
                        .iter()
                        .filter(|c| c.fate == Fate::Differs)
                        .enumerate()
                        .map(|(k, c)| {
                            let it = (c.kind, c.id.clone());
                            let out = left_out.contains(&it);
                            let choose = move |_| {
                                desk.arriving
                                    .update(|a| {
                                        if let Some(a) = a
                                            && !a.left_out.remove(&it)
                                        {
                                            a.left_out.insert(it.clone());
                                        }
                                    });
                            };
                            view! {
                                <li>
                                    <button
                                        class="main second"
                                        data-testid=format!("differs-{k}")
                                        on:click=choose
                                    >
                                        {name(c)} " · "
                                        {t!(if out { "files.leave_out" } else { "files.beside_yours" })}
                                    </button>
                                </li>
                            }
                        })
                        .collect_view();
                    let missing = words::file::missing(&missing)
                        .map(|what| view! { <p class="problem">{t!("files.was_missing", what = what)}</p> });
                    view! {
                        <section class="preview" data-testid="preview" aria-label=t!("files.in_it")>
                            {missing}
                            <dl class="facts">
                                <div><dt>{t!("files.new")}</dt><dd data-testid="preview-new">{new}</dd></div>
                                <div><dt>{t!("files.same")}</dt><dd data-testid="preview-same">{same}</dd></div>
                                <div><dt>{t!("files.differs")}</dt><dd data-testid="preview-differs">{differs}</dd></div>
                            </dl>
                            <ul class="rows">{others}</ul>
                            <button class="main" data-testid="take-in" on:click=accept>
                                {t!("files.bring_in")}
                            </button>
                            <button
                                class="quiet-button"
                                data-testid="leave-file"
                                on:click=move |_| desk.arriving.set(None)
                            >
                                {t!("files.leave_it")}
                            </button>
                        </section>
                    }
                })
        }}
    }
}
