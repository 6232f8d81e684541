//! One session: what is known of it, and what happened, in the order of time.

use super::Head;
use super::entry::EntryView;
use super::now::Jot;
use super::sheet::Sheet;
use crate::device::clock::local_words;
use crate::device::share::print;
use crate::device::storage::Key;
use crate::signal::{Memo, memo};
use crate::state::Desk;
use crate::ui::node::{Node, rows, view};
use crate::words::t;
use leptos::prelude::*;
use trimwright::diary::{EntryRecord, SessionRecord, closings};

/// The page of one session.
#[component]
pub(super) fn SessionPage(
    /// Where it is kept.
    key: Key,
) -> Node {
    let desk = expect_context::<Desk>();
    let of = key.clone();
    let session = memo(move || desk.session(&of));
    let boat = memo(move || {
        let boat = session.with(|s| s.as_ref().map_or_else(String::new, |s| s.boat.clone()));
        desk.diary
            .with(|d| d.boat(&boat).map_or_else(|| t!("diary.removed_boat"), |b| b.name.clone()))
    });
    let when = session.with_untracked(|s| s.as_ref().map(|s| local_words(&s.started_at)));
    let water = session.with_untracked(|s| s.as_ref().map(|s| s.water.clone()));
    let this = key.clone();
    let in_hand = memo(move || desk.session_in_hand().as_ref() == Some(&this));
    let [for_place, for_weather, for_entries] = [(); 3].map(|()| key.clone());
    let entries =
        memo(move || session.with(|s| s.as_ref().map_or_else(Vec::new, |s| s.entries.clone())));
    // What a reading foretold, closed by a later one of this session.
    let closed =
        memo(move || session.with(|s| s.as_ref().map_or_else(Vec::new, |s| closings([s]))));
    view! {
        <main class="screen diary session">
            <Head title=boat />
            <p class="when">{when} " · " {water}</p>
            <Words
                name=t!("sheet.place")
                testid="session-place"
                session
                read=|s| s.place.clone()
                write=move |words| desk.change_session(&for_place, |s| s.place = words)
            />
            <Words
                name=t!("sheet.weather")
                testid="session-weather"
                session
                read=|s| s.weather.clone()
                write=move |words| desk.change_session(&for_weather, |s| s.weather = words)
            />
            {move || in_hand.get().then(|| view! { <Jot /> })}
            <ol class="rows timeline">
                // An entry that stays as it is keeps its row, and its picture in it.
                {rows(
                    move || entries.get(),
                    written,
                    move |k, entry| {
                        view! { <EntryView session=for_entries.clone() entry k closed /> }
                    },
                )}
            </ol>
            <p class="quiet" hidden=move || !entries.with(Vec::is_empty)>
                {t!("session.nothing_yet")}
            </p>
            <button class="main second" data-testid="session-print" on:click=move |_| print()>
                {t!("session.print")}
            </button>
            {compare_buttons(desk, &key)}
            <button
                class="quiet-button"
                data-testid="session-remove"
                on:click=move |_| desk.remove_session(&key)
            >
                {t!("session.remove")}
            </button>
        </main>
        <Sheet session boat />
    }
}

/// An entry as it is written: one that was changed is another one.
fn written(entry: &EntryRecord) -> String {
    // Records can be written; were it not so, a row would be made anew too often.
    serde_json::to_string(entry).unwrap_or_default()
}

/// The ways to see this session beside another one.
fn compare_buttons(desk: Desk, key: &Key) -> Node {
    let (this, for_other) = (key.clone(), key.clone());
    let before = desk.session_before(key).map(|before| {
        view! {
            <button
                class="main second"
                data-testid="compare-previous"
                on:click=move |_| desk.open_comparison(before.clone(), this.clone())
            >
                {t!("compare.with_previous")}
            </button>
        }
    });
    let others = desk.log.keys.with_untracked(|keys| keys.len()) > 1;
    let other = others.then(|| {
        view! {
            <button
                class="main second"
                data-testid="compare-other"
                on:click=move |_| desk.choose_other(for_other.clone())
            >
                {t!("compare.with_other")}
            </button>
        }
    });
    view! {
        {before}
        {other}
    }
}

/// A field of free words.
#[component]
fn Words(
    /// What it is.
    name: String,
    /// Its name for tests.
    testid: &'static str,
    /// The session.
    session: Memo<Option<SessionRecord>>,
    /// Its words in the session.
    read: fn(&SessionRecord) -> String,
    /// Puts them there.
    write: impl Fn(String) + 'static,
) -> Node {
    let words = memo(move || session.with(|s| s.as_ref().map_or_else(String::new, read)));
    view! {
        <label class="words">
            <span>{name}</span>
            <input
                type="text"
                enterkeyhint="next"
                data-testid=testid
                prop:value=move || words.get()
                on:input=move |ev| write(event_target_value(&ev))
            />
        </label>
    }
}
