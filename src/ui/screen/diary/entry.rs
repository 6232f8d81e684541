//! One thing that happened in a session, in words.

use super::super::checks::called;
use super::super::on_bench;
use super::closed::ClosedView;
use crate::device::clock;
use crate::device::file::let_go;
use crate::device::picture as picture_file;
use crate::device::storage::Key;
use crate::signal::{Memo, RwSignal, memo};
use crate::state::{Datum, Desk};
use crate::ui::dive_text::share;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::words::{t, word};
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::diary::{
    BenchRecord, CheckState, CheckTime, ChecksRun, Closing, Entry, EntryRecord, LeanRecord,
    PictureRecord, ReadingRecord, RunRecord,
};
use trimwright::unit::DEGREE;

/// One entry: when, what, and a way to remove it.
#[component]
pub(super) fn EntryView(
    /// Its session.
    session: Key,
    /// The entry.
    entry: EntryRecord,
    /// Its place in the session, from the first.
    k: ReadSignal<usize>,
    /// What became of the session's advices.
    closed: Memo<Vec<Closing>>,
) -> Node {
    let desk = expect_context::<Desk>();
    let when = clock_time(&entry.at);
    // Two entries may be of one minute.
    let first = entry_lines(&entry).into_iter().next().unwrap_or_default();
    let label = format!("{}: {first}", t!("entry.remove", when = when));
    let id = entry.id.clone();
    let of = entry.id.clone();
    let closed =
        memo(move || closed.with(|all| all.iter().find(|c| c.advice.entry == of).cloned()));
    let what = match entry.what {
        Entry::Reading(reading) => view! { <ReadingView reading=*reading /> },
        Entry::Picture(picture) => view! { <PictureView picture /> },
        Entry::Note(note) => view! { <p class="note">{note}</p> },
        _ => {
            let mut lines = entry_lines(&entry).into_iter();
            let first = lines.next();
            let rest = lines.map(|line| view! { <li>{line}</li> }).collect_node();
            view! { <p class="seen">{first}</p> <ul>{rest}</ul> }
        }
    };
    view! {
        <li class="entry-row" data-testid=move || format!("entry-{}", k.get())>
            <p class="when">{when}</p>
            {what}
            {move || closed.get().map(|closing| view! { <ClosedView closing /> })}
            <button
                class="quiet-button"
                data-testid=move || format!("entry-{}-remove", k.get())
                aria-label=label
                on:click=move |_| desk.remove_entry(&session, &id)
            >
                {t!("diary.remove")}
            </button>
        </li>
    }
}

/// A reading: what was seen, what was advised.
#[component]
fn ReadingView(
    /// The reading.
    reading: ReadingRecord,
) -> Node {
    let seen = seen_words(&reading);
    let advice = reading.advice.iter().map(|line| view! { <li>{line.clone()}</li> }).collect_node();
    let good = reading.good.then(|| view! { <p class="ok">{t!("entry.good")}</p> });
    view! {
        <p class="seen">{seen}</p>
        {good}
        <ul class="advice">{advice}</ul>
    }
}

/// A picture from the store.
#[component]
fn PictureView(
    /// Its record.
    picture: PictureRecord,
) -> Node {
    let address = RwSignal::new(None::<String>);
    let name = picture.name.clone();
    spawn_local(async move {
        // One that is gone leaves its place empty, with its words.
        let found = picture_file::address_of(&name).await;
        // The row may have gone before its picture came.
        if let Some(Some(nobodys)) = address.try_set(found) {
            let_go(&nobodys);
        }
    });
    on_cleanup(move || {
        if let Some(Some(shown)) = address.try_get_untracked() {
            let_go(&shown);
        }
    });
    let words = if picture.words.is_empty() { t!("session.picture") } else { picture.words };
    let alt = words.clone();
    view! {
        <img
            class="picture"
            data-testid="picture-shown"
            alt=alt
            width=picture.width_px
            height=picture.height_px
            src=move || address.get()
        />
    }
}

/// An entry in words: the main line, and what belongs to it.
pub(super) fn entry_lines(entry: &EntryRecord) -> Vec<String> {
    match &entry.what {
        Entry::Reading(reading) => {
            let good = reading.good.then(|| t!("entry.good"));
            let advice = reading.advice.iter().cloned();
            std::iter::once(seen_words(reading)).chain(good).chain(advice).collect()
        }
        Entry::Done(done) => {
            std::iter::once(t!("entry.done")).chain(done.lines.iter().cloned()).collect()
        }
        Entry::Note(note) => vec![note.clone()],
        Entry::Picture(picture) if picture.words.is_empty() => vec![t!("session.picture")],
        Entry::Picture(picture) => vec![picture.words.clone()],
        Entry::Run(run) => vec![run_words(run, &entry.at)],
        Entry::Checks(run) => checks_lines(run),
        Entry::Lean(lean) => vec![lean_words(lean)],
        Entry::Bench(bench) => vec![bench_words(bench)],
        Entry::NewBoat(new) => {
            std::iter::once(t!("entry.new_boat")).chain(new.lines.iter().cloned()).collect()
        }
        _ => vec![t!("entry.unknown")],
    }
}

fn checks_lines(run: &ChecksRun) -> Vec<String> {
    let good = run.checks.iter().filter(|c| c.state == CheckState::Good).count();
    let key = match run.time {
        CheckTime::Before => word!("entry.checks_before"),
        CheckTime::Between => word!("entry.checks_between"),
        CheckTime::After => word!("entry.checks_after"),
    };
    let first = t!(key, good = good, all = run.checks.len());
    let others = run.checks.iter().filter_map(|c| {
        let key = match c.state {
            CheckState::Failed => word!("entry.failed"),
            CheckState::NotToday => word!("entry.not_today"),
            CheckState::Open | CheckState::Good => return None,
        };
        Some(t!(key, check = called(c)))
    });
    std::iter::once(first).chain(others).collect()
}

fn lean_words(lean: &LeanRecord) -> String {
    let key = if lean.going_up { word!("entry.lean_up") } else { word!("entry.lean_down") };
    t!(key, list = text::list(lean.list_deg * DEGREE), at = share(lean.fill))
}

/// On the scales and over an edge. Which datum the boat has now is not asked: it may be another boat's.
fn bench_words(bench: &BenchRecord) -> String {
    t!("entry.bench", seen = on_bench::seen_words(bench, Datum::MIDSHIP))
}

fn run_words(run: &RunRecord, began: &str) -> String {
    match &run.ended_at {
        Some(ended) => {
            let seconds = (clock::ms_of(ended) - clock::ms_of(began)) / 1e3;
            t!("entry.run", time = minutes(seconds))
        }
        None => t!("entry.run_going_on"),
    }
}

/// "12:05": minutes and seconds; hours before them if there are any.
pub(super) fn minutes(seconds: f64) -> String {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "whole seconds, at least zero"
    )]
    let all = seconds.max(0.0) as u64;
    let (h, m, s) = (all / 3600, all / 60 % 60, all % 60);
    if h > 0 { format!("{h}:{m:02}:{s:02}") } else { format!("{m}:{s:02}") }
}

/// The time of day of an ISO time, as people of this place write it.
pub(super) fn clock_time(iso: &str) -> String {
    let (day, time) = clock::local_day_and_time(iso);
    if time.is_empty() { day } else { time }
}

/// What was seen, in one line.
pub(super) fn seen_words(record: &ReadingRecord) -> String {
    // What is called so in the record, and in words.
    let marks = record
        .marks
        .iter()
        .map(|m| (format!("mark {}", m.name), format!("{} {}", m.name, text::read_at(m.above_m))));
    let list = record.list_deg.map(|d| t!("entry.list", list = text::list(d * DEGREE)));
    let trim = record.trim_deg.map(|d| t!("entry.trim", trim = text::trim(d * DEGREE)));
    let residual = record.residual_kg.map(|kg| {
        let key = if kg >= 0.0 { word!("entry.heavy_under") } else { word!("entry.light_under") };
        t!(key, mass = text::whole_grams(kg.abs()))
    });
    let others = [("list", list), ("trim", trim), ("residual", residual)];
    let others = others.into_iter().filter_map(|(name, words)| Some((name.to_owned(), words?)));
    let figures = marks.chain(others).map(|(name, words)| {
        if record.aside.contains(&name) { t!("entry.aside", figure = words) } else { words }
    });
    let push = record.comes_back.map(|comes_back| {
        let key = if comes_back { word!("entry.comes_back") } else { word!("entry.stays") };
        t!(key)
    });
    figures.chain(push).collect::<Vec<_>>().join(", ")
}
