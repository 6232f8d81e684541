//! Everything as one file: given away, and taken in after a look at it.

use super::Head;
use crate::device::file;
use crate::device::share::{Given, give};
use crate::device::update::AppUpdate;
use crate::state::{Arriving, Desk, Exported, count};
use crate::ui::memo::memo;
use crate::words::{self, t};
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::diary::{Coming, Fate, Merged, RecordKind, USUAL_REMINDER};
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;

/// The page of files: export, share, import, clear.
#[component]
pub(super) fn FilesPage(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let export = move |_| {
        desk.say(t!("files.writing"));
        spawn_local(async move {
            let Exported { name, text, unread } = desk.export().await;
            let given = match file::save_as(&name, "application/json", &text) {
                Ok(()) => Given::Saved,
                Err(_) => Given::No,
            };
            desk.say(given_words(given, &name, unread));
        });
    };
    let share = move |_| {
        desk.say(t!("files.writing"));
        spawn_local(async move {
            let Exported { name, text, unread } = desk.export().await;
            let given = give(&name, &text).await;
            desk.say(given_words(given, &name, unread));
        });
    };
    let table = move |_| {
        desk.say(t!("files.writing"));
        spawn_local(async move {
            let (name, text) = desk.table().await;
            let given = match file::save_as(&name, "text/csv", &text) {
                Ok(()) => Given::Saved,
                Err(_) => Given::No,
            };
            desk.say(given_words(given, &name, 0));
        });
    };
    let import = move |ev: leptos::ev::Event| {
        let chosen = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        let Some(input) = chosen else { return };
        desk.say(t!("files.reading"));
        spawn_local(async move {
            let outcome = match file::chosen(input).await {
                None => Ok(()),
                Some(Err(_)) => Err(t!("files.not_read")),
                Some(Ok(contents)) => desk
                    .look_at_file(&contents)
                    .await
                    .map_err(|why| t!("files.not_opened", why = words::diary::unread(&why))),
            };
            desk.message.set(outcome.err());
        });
    };
    view! {
        <main class="screen diary">
        <Head title=Signal::stored(t!("files.title")) />
        <Reminder />
        <button class="main" data-testid="export" on:click=export>
            {t!("files.export")}
        </button>
        <button class="main second" data-testid="share" on:click=share>
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
        <button class="main second" data-testid="table" on:click=table>
            {t!("files.table")}
        </button>
        <button
            class="quiet-button"
            data-testid="clear-all"
            on:click=move |_| {
                spawn_local(async move {
                    if desk.clear().await.is_err() {
                        desk.say(t!("files.nothing_removed"));
                    }
                });
            }
        >
            {t!("files.clear")}
        </button>
        <p class="quiet" data-testid="offline-ready" hidden=move || !update.ready_offline.get()>
            {t!("files.offline")}
        </p>
        </main>
    }
}

/// What became of an export.
fn given_words(given: Given, name: &str, unread: usize) -> String {
    let given = match given {
        Given::Shared => t!("files.given_away"),
        Given::Saved => t!("files.saved_as", name = name),
        Given::No => return t!("files.not_taken"),
    };
    match unread {
        0 => given,
        n => format!("{given} {}", t!("files.left_out", count = n)),
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
            desk.say(match desk.take_in().await {
                Ok(merged) => merged_words(merged),
                Err(_) => t!("files.no_room"),
            });
        });
    };
    view! {
        {move || {
            desk.arriving
                .get()
                .map(|arriving| {
                    let Arriving { diary, coming, left_out } = arriving;
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
                                        aria-pressed=(!out).to_string()
                                        on:click=choose
                                    >
                                        {name(c)} " · "
                                        {t!(if out { "files.leave_out" } else { "files.beside_yours" })}
                                    </button>
                                </li>
                            }
                        })
                        .collect_view();
                    view! {
                        <section class="preview" data-testid="preview" aria-label=t!("files.in_it")>
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

/// What an import brought.
fn merged_words(merged: Merged) -> String {
    let Merged { new, same, differing } = merged;
    let mut words = vec![t!("files.n_new", count = new)];
    if same > 0 {
        words.push(t!("files.n_same", count = same));
    }
    if differing > 0 {
        words.push(t!("files.n_differing", count = differing));
    }
    t!("files.opened", what = words.join(", "))
}
