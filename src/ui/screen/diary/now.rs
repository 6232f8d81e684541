//! The session that goes on: what can be noted in it with one tap.

use super::entry::clock_time;
use crate::device::clock;
use crate::device::picture;
use crate::signal::{RwSignal, memo};
use crate::state::{Desk, session_of_key};
use crate::ui::node::{Node, view};
use crate::words::{t, word};
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::diary::Entry;
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;

/// Under what a note is kept while it is being written.
const NOTE: &str = "note";
const TEXT: &str = "text";

/// The session that goes on, or a way to begin one.
#[component]
pub(super) fn Now() -> Node {
    let desk = expect_context::<Desk>();
    let has_boat = memo(move || desk.diary.with(|d| d.boat(&d.draft.boat).is_some()));
    let name = memo(move || {
        desk.diary.with(|d| d.boat(&d.draft.boat).map_or_else(String::new, |b| b.name.clone()))
    });
    let session = memo(move || desk.session_in_hand());
    let words = move || match session.get() {
        Some(key) => {
            let began = session_of_key(&key).map_or_else(String::new, |(at, _)| clock_time(at));
            t!("session.since", boat = name.get(), time = began)
        }
        None => t!("session.none_today", boat = name.get()),
    };
    let open = move |_| {
        if let Some(key) = session.get_untracked().or_else(|| desk.begin_session()) {
            spawn_local(desk.open_session(key));
        }
    };
    view! {
        <section class="now" hidden=move || !has_boat.get() aria-label=t!("session.in_hand")>
            <button class="row-main now-open" data-testid="session-now" on:click=open>
                <strong>
                    {move || t!(if session.get().is_some() { word!("session.this") } else { word!("session.begin") })}
                </strong>
                <span>{words}</span>
            </button>
            <Jot />
        </section>
    }
}

/// A note, a picture, a run: each with one tap.
#[component]
pub(super) fn Jot() -> Node {
    let desk = expect_context::<Desk>();
    let text = memo(move || desk.half_typed(NOTE, TEXT));
    let add = move || {
        let words = text.get_untracked();
        if !words.trim().is_empty() && desk.note(Entry::Note(words.trim().to_owned())).is_some() {
            desk.forget_typed(NOTE);
            desk.say_when_kept(&t!("session.note_kept"));
        }
    };
    let take = move |ev: leptos::ev::Event| {
        let chosen = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        let Some(input) = chosen else { return };
        spawn_local(async move {
            match picture::chosen(input).await {
                None => {}
                Some(Ok(taken)) => desk.note_picture(taken),
                Some(Err(_)) => {
                    desk.say(t!("session.picture_not_read"));
                }
            }
        });
    };
    view! {
        <div class="jot">
            <input
                class="jot-text"
                type="text"
                aria-label=t!("session.note")
                placeholder=t!("session.note")
                data-testid="note-text"
                prop:value=move || text.get()
                on:input=move |ev| desk.type_half(NOTE, TEXT, event_target_value(&ev))
                on:keydown=move |ev| {
                    if ev.key() == "Enter" {
                        add();
                    }
                }
            />
            <button class="main second" data-testid="note-add" on:click=move |_| add()>
                {t!("session.add_note")}
            </button>
            <label class="main second file">
                {t!("session.picture")}
                <input
                    type="file"
                    accept="image/*"
                    data-testid="picture"
                    on:change=take
                />
            </label>
            <RunTimer />
        </div>
    }
}

/// Starts and ends a run, and says how long it has been going on.
#[component]
fn RunTimer() -> Node {
    let desk = expect_context::<Desk>();
    let run = memo(move || desk.run_in_hand());
    let seconds = RwSignal::new(0.0_f64);
    let tick = move || {
        if let Some((_, began)) = run.get_untracked() {
            seconds.set(((clock::now_ms() - clock::ms_of(&began)) / 1e3).max(0.0));
        }
    };
    Effect::new(move |_| {
        run.track();
        tick();
    });
    if let Ok(timer) = set_interval_with_handle(tick, std::time::Duration::from_millis(500)) {
        on_cleanup(move || timer.clear());
    }
    let act = move |_| {
        if run.get_untracked().is_some() { desk.end_run() } else { desk.start_run() }
    };
    view! {
        <button class="main second" data-testid="run" on:click=act>
            {move || match run.get() {
                Some(_) => {
                    t!("session.end_run", time = super::entry::minutes(seconds.get()))
                }
                None => t!("session.start_run"),
            }}
        </button>
    }
}
