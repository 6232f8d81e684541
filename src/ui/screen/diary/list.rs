//! All sessions, newest first. Only those on the screen are read from the store and drawn, so that ten
//! years of them open as quickly as one.

use super::apart::OneApart;
use super::entry::seen_words;
use crate::device::clock::local_words;
use crate::device::scroll::on_scroll;
use crate::device::storage::Key;
use crate::signal::{RwSignal, memo};
use crate::state::{Desk, SessionRead, Unread, session_of_key};
use crate::ui::node::{Node, rows, view};
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::collections::HashMap;
use std::ops::Range;
use trimwright::diary::SessionRecord;

/// Height of a row and the gap below it, pixels; style/diary.css has the same.
const ROW: f64 = 88.0;
/// Rows are drawn in steps of so many, so that not every pixel of a scroll draws anew.
const STEP: usize = 4;
/// The list's own name on the page.
const ID: &str = "sessions";

/// The list of all sessions.
#[component]
pub(super) fn Sessions() -> Node {
    let desk = expect_context::<Desk>();
    let place = RwSignal::new((0.0, 800.0));
    on_scroll(ID, move |above, height| place.set((above, height)));
    let n = memo(move || desk.log.keys.with(|keys| keys.len()));
    let shown = memo(move || range(place.get(), n.get()));
    let read = RwSignal::new(HashMap::<Key, SessionRead>::new());
    Effect::new(move |before: Option<u64>| {
        let changes = desk.log.changes.get();
        // What was read stands until something in the store is another.
        bring(desk, shown.get(), read, before != Some(changes));
        changes
    });
    let shown_rows = memo(move || {
        let shown = shown.get();
        desk.log.keys.with(|keys| {
            let newest_first = keys.iter().rev().cloned().enumerate();
            newest_first.skip(shown.start).take(shown.len()).collect::<Vec<_>>()
        })
    });
    let above = move || format!("{}px", shown.get().start as f64 * ROW);
    let below = move || format!("{}px", n.get().saturating_sub(shown.get().end) as f64 * ROW);
    view! {
        <h2>
            {t!("diary.sessions")} " " <span class="count" data-testid="session-count">{move || n.get()}</span>
        </h2>
        <p class="quiet" hidden=move || n.get() != 0>
            {t!("diary.no_sessions")}
        </p>
        <ol class="sessions" id=ID style:padding-top=above style:padding-bottom=below>
            // Rows that stay on the screen stay as they are: a scroll makes only those that come.
            {rows(
                move || shown_rows.get(),
                |(k, key)| format!("{k} {}", key.words.join(" ")),
                move |_, (k, key)| view! { <Row key k read /> },
            )}
        </ol>
    }
}

/// While the session to compare with is being chosen: what is asked for, and the way out of it.
#[component]
pub(super) fn Comparing() -> Node {
    let desk = expect_context::<Desk>();
    let asked = move || {
        desk.log.comparing.get().map(|key| {
            let when = session_of_key(&key).map_or_else(String::new, |(at, _)| local_words(at));
            view! {
                <section class="comparing">
                    <p class="lead" role="status">
                        {t!("compare.choose", when = when)}
                    </p>
                    <button
                        class="quiet-button"
                        data-testid="compare-cancel"
                        on:click=move |_| desk.log.comparing.set(None)
                    >
                        {t!("compare.cancel")}
                    </button>
                </section>
            }
        })
    };
    view! { {asked} }
}

/// The rows to draw when the list's top lies `above` pixels above the window's, which is `height` high.
fn range((above, height): (f64, f64), n: usize) -> Range<usize> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole and at least zero"
    )]
    let row = |pixels: f64| (pixels / ROW).max(0.0) as usize;
    let first = (row(above) / STEP).saturating_sub(2) * STEP;
    let last = (row(above + height) / STEP + 3) * STEP;
    first.min(n)..last.min(n)
}

/// Brings the sessions of some rows from the store: those that were not read yet, or all of them anew.
fn bring(desk: Desk, rows: Range<usize>, read: RwSignal<HashMap<Key, SessionRead>>, anew: bool) {
    let keys: Vec<Key> = desk.log.keys.with_untracked(|keys| {
        keys.iter().rev().skip(rows.start).take(rows.len()).cloned().collect()
    });
    let known = read.with_untracked(|read| {
        // What the store did not give is asked for again.
        let stands = |read: &&SessionRead| !matches!(read, Err(Unread::Failed(_)));
        let known = keys
            .iter()
            .filter_map(|key| Some((key.clone(), read.get(key).filter(stands)?.clone())));
        if anew { HashMap::new() } else { known.collect::<HashMap<_, _>>() }
    });
    let wanted: Vec<Key> = keys.into_iter().filter(|key| !known.contains_key(key)).collect();
    spawn_local(async move {
        let found = desk.sessions(&wanted).await;
        let found = wanted.into_iter().zip(found).filter_map(|(key, found)| Some((key, found?)));
        let now: HashMap<_, _> = known.into_iter().chain(found).collect();
        if read.try_with_untracked(|before| *before != now) == Some(true) {
            read.try_set(now);
        }
    });
}

/// One session in the list.
#[component]
fn Row(
    /// Where it is kept.
    key: Key,
    /// Its place in the list, newest first.
    k: usize,
    /// The sessions that were read.
    read: RwSignal<HashMap<Key, SessionRead>>,
) -> Node {
    let desk = expect_context::<Desk>();
    let (began, boat) = session_of_key(&key).map_or_else(Default::default, |(began, boat)| {
        let name = desk.diary.with_untracked(|d| d.boat(boat).map(|b| b.name.clone()));
        (local_words(began), name.unwrap_or_else(|| t!("diary.removed_boat")))
    });
    let of = key.clone();
    let open = move |_| match desk.log.comparing.get_untracked() {
        Some(other) => desk.open_comparison(other, key.clone()),
        None => spawn_local(desk.open_session(key.clone())),
    };
    let open_id = format!("session-{k}-open");
    let body = memo(move || read.with(|read| read.get(&of).cloned()));
    view! {
        <li class="session-row" data-testid=format!("session-{k}")>
            {move || match body.get() {
                Some(Err(Unread::Apart(apart))) => view! { <OneApart apart /> },
                found => {
                    let (place, words) = match found {
                        Some(Ok(session)) => (session.place.clone(), in_short(&session)),
                        Some(Err(_)) => (String::new(), t!("session.not_read")),
                        None => (String::new(), "…".to_owned()),
                    };
                    let open = open.clone();
                    view! {
                        <button class="row-main" data-testid=open_id.clone() on:click=open>
                            <span class="when">
                                {began.clone()} " · " {boat.clone()}
                                {(!place.is_empty()).then(|| format!(" · {place}"))}
                            </span>
                            <span class="seen">{words}</span>
                        </button>
                    }
                }
            }}
        </li>
    }
}

/// A session in one line: its last reading, or how much was noted.
fn in_short(session: &SessionRecord) -> String {
    match session.readings().next_back() {
        Some((_, reading)) => {
            let sign = if reading.good { "✓ " } else { "" };
            format!("{sign}{}", seen_words(reading))
        }
        None => match session.entries.len() {
            0 => t!("diary.nothing_noted"),
            1 => t!("diary.entries_one"),
            n => t!("diary.entries_other", count = n),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rows_on_the_screen_are_drawn_and_a_few_around() {
        assert_eq!(range((-200.0, 800.0), 10_000), 0..16, "at the top");
        let middle = range((88_000.0, 844.0), 10_000);
        assert!(middle.start <= 1000 && middle.end >= 1010, "row 1000 is at the top: {middle:?}");
        assert!(middle.len() < 48, "not many more than fit: {middle:?}");
        assert_eq!(range((1e9, 844.0), 20), 20..20, "beyond the end");
        assert_eq!(range((0.0, 800.0), 3), 0..3, "a few");
    }
}
