//! A file is taken in: chosen, looked at, and brought in as far as is wanted.

use crate::device::clock::local_words;
use crate::device::file;
use crate::state::{Arriving, Desk, count};
use crate::ui::node::{CollectNode, Node, view};
use crate::words::{self, t, word};
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::diary::{Fate, IncomingRecord, RecordKind};
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;

/// The button that opens a file, and what would come of the file.
#[component]
pub(crate) fn ImportFile() -> Node {
    let desk = expect_context::<Desk>();
    let import = move |ev: leptos::ev::Event| {
        let chosen = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        let Some(input) = chosen else { return };
        desk.say(t!("files.reading"));
        spawn_local(async move {
            let Some(text) = file::chosen(input).await else { return desk.message.set(None) };
            desk.message.set(desk.look_at_file(text.ok().as_deref()).await);
        });
    };
    // What was looked at on one screen does not wait on another.
    on_cleanup(move || drop(desk.arriving.try_set(None)));
    view! {
        <label class="main second file">
            {t!("files.open")}
            <input
                type="file"
                accept=".json,application/json"
                data-testid="import"
                on:change=import
            />
        </label>
        {move || desk.arriving.get().map(|arriving| view! { <Preview arriving /> })}
    }
}

/// What is new in a file, in rows: what it is, its name for tests, and which or how many.
fn new_in(arriving: &Arriving) -> Vec<(String, &'static str, String)> {
    let Arriving { diary, coming, new_readings: readings, .. } = arriving;
    let new =
        |kind: RecordKind| coming.iter().filter(move |c| c.kind == kind && c.fate == Fate::New);
    let boats: Vec<&str> = new(RecordKind::Boat)
        .filter_map(|c| diary.boat(&c.id))
        .map(|boat| boat.name.as_str())
        .collect();
    let sessions = new(RecordKind::Session).count();
    let checks = new(RecordKind::Checks).count();
    let in_sessions = t!("files.readings_in", readings = readings, sessions = sessions);
    let rows = [
        (!boats.is_empty(), word!("files.new_boats"), "preview-boats", boats.join(", ")),
        (sessions > 0, word!("files.new_readings"), "preview-readings", in_sessions),
        (checks > 0, word!("files.new_checks"), "preview-checks", checks.to_string()),
    ];
    let there = rows.into_iter().filter(|(is_there, ..)| *is_there);
    there.map(|(_, name, testid, words)| (t!(name), testid, words)).collect()
}

/// What a record is called.
fn name_of(arriving: &Arriving, c: &IncomingRecord) -> String {
    let diary = &arriving.diary;
    let name = match c.kind {
        RecordKind::Boat => diary.boat(&c.id).map(|b| b.name.clone()),
        RecordKind::Session => {
            let session = arriving.sessions.iter().find(|s| s.id == c.id);
            session.map(|s| local_words(&s.started_at))
        }
        RecordKind::Checks => Some(t!("place.checks")),
    };
    name.unwrap_or_else(|| c.id.clone())
}

/// What would come of the file that was chosen.
#[component]
fn Preview(
    /// What was read.
    arriving: Arriving,
) -> Node {
    let desk = expect_context::<Desk>();
    let accept = move |_| {
        desk.say(t!("files.taking_in"));
        spawn_local(async move {
            desk.say(desk.take_in().await);
        });
    };
    let [new, same, differs] =
        [Fate::New, Fate::Same, Fate::Differs].map(|fate| count(&arriving.coming, fate));
    let named = new_in(&arriving)
        .into_iter()
        .map(|(name, testid, words)| view! { <div><dt>{name}</dt><dd data-testid=testid>{words}</dd></div> })
        .collect_node();
    let others = arriving
        .coming
        .iter()
        .filter(|c| c.fate == Fate::Differs)
        .enumerate()
        .map(|(k, c)| {
            let it = (c.kind, c.id.clone());
            let out = arriving.left_out.contains_key(&it);
            let choose = move |_| {
                desk.arriving.update(|a| {
                    if let Some(a) = a
                        && a.left_out.remove(&it).is_none()
                    {
                        a.left_out.insert(it.clone(), ());
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
                        {name_of(&arriving, c)} " · "
                        {t!(if out { word!("files.leave_out") } else { word!("files.beside_yours") })}
                    </button>
                </li>
            }
        })
        .collect_node();
    let settings = arriving.settings_differ.then(|| {
        view! {
            <label class="tick">
                <input
                    type="checkbox"
                    data-testid="take-settings"
                    prop:checked=arriving.take_settings
                    on:change=move |ev| {
                        let take = event_target_checked(&ev);
                        // It shows this itself, and keeps the focus.
                        desk.arriving.update_untracked(|a| {
                            if let Some(a) = a {
                                a.take_settings = take;
                            }
                        });
                    }
                />
                {t!("files.take_settings")}
            </label>
        }
    });
    let missing = words::file::missing(&arriving.diary.missing)
        .map(|what| view! { <p class="problem">{t!("files.was_missing", what = what)}</p> });
    view! {
        <section class="preview" data-testid="preview" aria-label=t!("files.in_it")>
            {missing}
            <dl class="facts">
                <div><dt>{t!("files.new")}</dt><dd data-testid="preview-new">{new}</dd></div>
                {named}
                <div><dt>{t!("files.same")}</dt><dd data-testid="preview-same">{same}</dd></div>
                <div><dt>{t!("files.differs")}</dt><dd data-testid="preview-differs">{differs}</dd></div>
            </dl>
            <ul class="rows">{others}</ul>
            {settings}
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
}
