//! Loads once, before the first screen; the one effect that stores.

use super::session::Session;
use crate::device::storage::{self, StorageProblem};
use leptos::prelude::*;
use trimwright::diary::{Diary, read, write};

/// Where everything is kept.
const NAME: &str = "trimwright.diary";
/// Where a text that could not be read is set aside.
const ASIDE: &str = "trimwright.set-aside";

/// A kept text that could not be read: it is set aside untouched and can be saved as a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct KeptApart {
    /// Why it could not be read.
    pub(crate) why: String,
    /// The text itself.
    pub(crate) text: String,
}

/// What was kept; a new diary when there was nothing.
pub(crate) fn load() -> (Diary, Option<KeptApart>, Option<StorageProblem>) {
    let aside = set_aside();
    match storage::load(NAME) {
        Err(problem) => (Diary::default(), None, Some(problem)),
        Ok(None) => (Diary::default(), aside, None),
        Ok(Some(text)) => match read(&text) {
            Ok(diary) => (diary, aside, None),
            Err(why) => {
                // It is written aside before anything else is stored, so nothing overwrites it.
                let problem = storage::save(ASIDE, &text).err();
                let apart = KeptApart { why: why.to_string(), text };
                (Diary::default(), Some(apart), problem)
            }
        },
    }
}

fn set_aside() -> Option<KeptApart> {
    let text = storage::load(ASIDE).ok().flatten().filter(|t| !t.is_empty())?;
    let why = read(&text).err().map_or_else(String::new, |e| e.to_string());
    Some(KeptApart { why, text })
}

/// Stores the diary whenever it changes.
pub(crate) fn store_on_change(session: Session) {
    // What could not be set aside must not be overwritten: then nothing is stored at all.
    let locked = session.kept_apart.with_untracked(Option::is_some)
        && session.storage_problem.with_untracked(Option::is_some);
    Effect::new(move |before: Option<String>| {
        let text = session.diary.with(write);
        if locked || before.as_ref() == Some(&text) {
            return text;
        }
        let problem = storage::save(NAME, &text).err();
        session.report_storage(problem);
        text
    });
}
