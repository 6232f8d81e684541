//! The title of the page: where the user is, in the language of the view.

use super::screen::tab_name;
use crate::device::clock::local_words;
use crate::state::{Desk, Editing, Form, OpenForm, Page, Screen, session_of_key};
use crate::words::t;
use leptos::prelude::*;

/// What a form of the ledger is about: the name of its line, or what is to be added.
pub(crate) fn form_title(form: &Form) -> String {
    let name = form.texts.get("name").trim();
    match form.of {
        Editing::Boat(None) => t!("bench.new_boat"),
        Editing::Boat(_) => t!("bench.name_and_length"),
        of if of.line().is_some() && !name.is_empty() => name.to_owned(),
        Editing::Part(_) => t!("bench.add_part"),
        Editing::Tank(_) => t!("bench.add_tank"),
        Editing::Mark(_) => t!("bench.add_mark"),
        Editing::Place(_) => t!("bench.add_place"),
    }
}

/// "Heron, Pool – Trimwright": the boat, what is open, the screen.
pub(crate) fn page_title(desk: Desk) -> String {
    let place = desk.place();
    let screen = t!(match place.screen {
        Screen::Pool => "place.pool",
        Screen::Boat => "place.boat",
        Screen::Dive => "place.dive",
        Screen::Checks => "place.checks",
        Screen::Diary => "place.diary",
    });
    let record = |read: fn(&trimwright::diary::BoatRecord) -> Option<String>| {
        desk.derived.record.with(|r| r.as_ref().and_then(read))
    };
    let boat = record(|r| Some(r.name.clone()));
    let [of, open] = match (place.screen, place.form, &place.page) {
        (Screen::Boat, Some(OpenForm::Quick), _) => [None, Some(t!("quick.title"))],
        (Screen::Boat, Some(OpenForm::Ledger(Editing::Boat(None))), _) => {
            [None, Some(t!("bench.new_boat"))]
        }
        (Screen::Boat, Some(_), _) => [boat, desk.form.with(|f| f.as_ref().map(form_title))],
        // A boat of six numbers has no bench.
        (Screen::Boat, None, _) => {
            let on_bench = record(|r| r.quick.is_none().then(String::new)).is_some();
            [boat, on_bench.then(|| tab_name(place.bench))]
        }
        (Screen::Diary, _, Page::Overview) => [None, None],
        (Screen::Diary, _, Page::Session(key)) => {
            let (began, boat) = session_of_key(key).unwrap_or_default();
            let name = desk.diary.with(|d| d.boat(boat).map(|b| b.name.clone()));
            [name, Some(local_words(began))]
        }
        (Screen::Diary, _, page) => {
            let title = match page {
                Page::Past => "past.title",
                Page::Compare(..) => "compare.title",
                Page::Files => "files.title",
                Page::Remove => "remove.title",
                _ => "settings.title",
            };
            [None, Some(t!(title))]
        }
        _ => [boat, None],
    };
    let words: Vec<String> = of.into_iter().chain(open).chain([screen]).collect();
    format!("{} – Trimwright", words.join(", "))
}
