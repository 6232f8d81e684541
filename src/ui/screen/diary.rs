//! Diary: the readings kept, and the file that holds everything.

use super::boats::Undo;
use crate::device::clock::local_words;
use crate::device::file;
use crate::device::update::AppUpdate;
use crate::state::Desk;
use crate::ui::memo::memo;
use crate::ui::text;
use leptos::prelude::*;
use trimwright::diary::{Diary, ReadingRecord};
use trimwright::unit::{DEGREE, GRAM};
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::HtmlInputElement;

/// The screen of what was kept.
#[component]
pub(crate) fn DiaryScreen(
    /// What is known of the app's own version.
    update: AppUpdate,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let entries = memo(move || desk.diary.with(newest_first));
    let is_empty = move || entries.with(Vec::is_empty);
    view! {
        <main class="screen diary">
            <h1>"Diary"</h1>
            <p class="message" role="status" data-testid="file-message">
                {move || desk.message.get().unwrap_or_default()}
            </p>
            <Undo />
            <p class="quiet" hidden=move || !is_empty()>
                "No readings yet. Keep one on the Pool screen."
            </p>
            <ol class="rows">
                {move || {
                    entries
                        .get()
                        .into_iter()
                        .enumerate()
                        .map(|(k, entry)| view! { <Entry k entry /> })
                        .collect_view()
                }}
            </ol>
            <h2>"Everything as one file"</h2>
            <Files />
            <p class="quiet" data-testid="offline-ready" hidden=move || !update.ready_offline.get()>
                "✓ Kept on this phone: works without a network."
            </p>
        </main>
    }
}

/// One kept reading with its boat's name.
#[derive(Debug, Clone, PartialEq)]
struct KeptReading {
    boat: String,
    record: ReadingRecord,
}

fn newest_first(diary: &Diary) -> Vec<KeptReading> {
    let of = |r: &ReadingRecord| KeptReading {
        boat: diary.boat(&r.boat).map_or_else(|| "a removed boat".to_owned(), |b| b.name.clone()),
        record: r.clone(),
    };
    diary.readings.iter().rev().map(of).collect()
}

/// One reading: when, what was seen, what was advised.
#[component]
fn Entry(
    /// Its place in the list, newest first.
    k: usize,
    /// The reading.
    entry: KeptReading,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let KeptReading { boat, record } = entry;
    let seen = seen_words(&record);
    let when = local_words(&record.kept_at);
    let label = format!("Remove the reading of {when}");
    let id = record.id.clone();
    let advice = record.advice.iter().map(|line| view! { <li>{line.clone()}</li> }).collect_view();
    view! {
        <li class="entry-row" data-testid=format!("reading-{k}")>
            <p class="when">{when} " · " {boat} " · " {record.water.clone()}</p>
            <p class="seen">{seen}</p>
            <ul class="advice">{advice}</ul>
            <button
                class="quiet-button"
                aria-label=label
                on:click=move |_| desk.remove_reading(&id)
            >
                "Remove"
            </button>
        </li>
    }
}

fn seen_words(record: &ReadingRecord) -> String {
    let marks = record.marks.iter().map(|m| format!("{} {}", m.name, text::water_at(m.above_m)));
    let list = record.list_deg.map(|d| format!("list {}", text::list(d * DEGREE)));
    let trim = record.trim_deg.map(|d| format!("trim {}", text::trim(d * DEGREE)));
    let residual = record.residual_kg.map(|kg| {
        let way = if kg >= 0.0 { "heavy" } else { "light" };
        format!("{}\u{202f}g {way} under water", (kg / GRAM).abs().round())
    });
    marks.chain(list).chain(trim).chain(residual).collect::<Vec<_>>().join(", ")
}

/// Export, import, clear.
#[component]
fn Files() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let export = move |_| {
        let (name, contents) = desk.export();
        let given = file::save_as(&name, "application/json", &contents);
        desk.say(match given {
            Ok(()) => format!("Saved as {name}."),
            Err(_) => "This browser did not take the file. Try again.".to_owned(),
        });
    };
    let import = move |ev: leptos::ev::Event| {
        let chosen = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        let Some(input) = chosen else { return };
        spawn_local(async move {
            let message = match file::chosen(input).await {
                None => return,
                Some(Err(_)) => "The file could not be read. Nothing was changed.".to_owned(),
                Some(Ok(contents)) => match desk.import(&contents) {
                    Ok(merged) => text::merged(merged),
                    Err(why) => format!("Not opened: {why}. Nothing was changed."),
                },
            };
            desk.say(message);
        });
    };
    view! {
        <button class="main" data-testid="export" on:click=export>
            "Export"
        </button>
        <label class="main second file">
            "Open a file"
            <input
                type="file"
                accept=".json,application/json"
                data-testid="import"
                on:change=import
            />
        </label>
        <button class="quiet-button" data-testid="clear-all" on:click=move |_| desk.clear()>
            "Remove everything from this phone"
        </button>
    }
}
