//! Brings the words of the language that is wanted, where they are not in the program.

use super::desk::Desk;
use crate::device::clock::next_turn;
use crate::device::motion::{focus_named, focused_name};
use crate::device::own_file::text_of;
use crate::device::update::keep_file;
use crate::words::speech::language_of;
use crate::words::table::{file_of, has, take_file};
use crate::words::{Language, speak_language, t};
use leptos::task::spawn_local;
use std::time::Duration;

/// So long a start waits for words: a network that is there brings them sooner, and one that is not must not hold up
/// who stands at the water.
const PATIENCE: Duration = Duration::from_secs(5);

/// Brings the words of a language, unless they are there; says whether they are then.
pub(super) async fn bring_words(language: Language) -> bool {
    if let Some(file) = file_of(language)
        && !has(language)
        && let Some(text) = text_of(file, PATIENCE).await
    {
        return take_file(language, text);
    }
    has(language)
}

impl Desk {
    /// Sees to it that the words of the wanted language are there and stay on the phone. While they are not, and where
    /// they cannot be had, English is spoken.
    pub(crate) fn want_words(self) {
        let wanted = self.wanted_language();
        if has(wanted) {
            keep_words(wanted);
            return;
        }
        spawn_local(async move {
            let came = bring_words(wanted).await;
            if self.wanted_language() != wanted {
                return;
            }
            if !came {
                return self.say(t!("settings.no_words"));
            }
            keep_words(wanted);
            // The view is made anew: what has the focus keeps it.
            let focused = focused_name();
            self.derived.words_came.update(|n| *n += 1);
            speak_language(wanted);
            // What was wrong with the form is said anew.
            self.read_form_again();
            next_turn().await;
            if let Some(name) = focused {
                focus_named(&name);
            }
        });
    }

    fn wanted_language(self) -> Language {
        self.diary.with_untracked(|d| language_of(&d.settings))
    }
}

/// Lets the app's copy on the phone have them too.
fn keep_words(language: Language) {
    if let Some(file) = file_of(language) {
        keep_file(file);
    }
}
