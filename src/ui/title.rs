//! The title of the page: where the user is, in the language of the view.

use super::screen::tab_name;
use crate::device::clock::local_words;
use crate::state::{Desk, DiaryPage, Editing, Form, OpenForm, Screen, session_of_key};
use crate::words::{t, word};

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
        Editing::Aim => t!("bench_aim.title"),
    }
}

/// "Heron, Pool – Trimwright": the boat, what is open, the screen.
pub(crate) fn page_title(desk: Desk) -> String {
    let place = desk.place();
    let screen = t!(match place.screen {
        Screen::Pool => word!("place.pool"),
        Screen::Boat => word!("place.boat"),
        Screen::Dive => word!("place.dive"),
        Screen::Checks => word!("place.checks"),
        Screen::Diary => word!("place.diary"),
    });
    let boat = desk.derived.record.with(|r| r.as_ref().map(|r| r.name.clone()));
    let [of, open] = match (place.screen, place.form) {
        (Screen::Diary, _) => in_diary(desk, &place.page),
        (Screen::Boat, Some(OpenForm::Quick)) => [None, Some(t!("quick.title"))],
        (Screen::Boat, Some(OpenForm::Ledger(of))) => {
            let title = desk.form.with(|f| f.as_ref().map(form_title));
            [boat.filter(|_| of != Editing::Boat(None)), title]
        }
        (Screen::Boat, None) => {
            // A boat of six numbers has no bench.
            let has_bench =
                desk.derived.record.with(|r| r.as_ref().is_some_and(|r| r.quick.is_none()));
            [boat, has_bench.then(|| tab_name(place.bench))]
        }
        _ => [boat, None],
    };
    let words: Vec<String> = of.into_iter().chain(open).chain([screen]).collect();
    [words.join(", "), "Trimwright".to_owned()].join(" – ")
}

/// The boat of a page of the diary, and the page.
fn in_diary(desk: Desk, page: &DiaryPage) -> [Option<String>; 2] {
    let title = match page {
        DiaryPage::Overview => return [None, None],
        DiaryPage::Session(key) => {
            let (began, boat) = session_of_key(key).unwrap_or_default();
            let name = desk.diary.with(|d| d.boat(boat).map(|b| b.name.clone()));
            return [name, Some(local_words(began))];
        }
        DiaryPage::Past => word!("past.title"),
        DiaryPage::Compare(..) => word!("compare.title"),
        DiaryPage::Files => word!("files.title"),
        DiaryPage::Remove => word!("remove.title"),
        DiaryPage::Settings => word!("settings.title"),
    };
    [None, Some(t!(title))]
}
