//! What is chosen on the page of settings, and what follows what was chosen: everything that stands
//! typed somewhere goes over to the units that are in force.

use super::desk::Desk;
use crate::words::speak_language;
use crate::words::speech::{language_of, units_of};
use trimwright::diary::{Diary, Settings};

/// What is being typed is in the units that are in force.
pub(super) fn turn_draft(diary: &mut Diary) {
    let units = units_of(&diary.settings);
    diary.draft.turn_to_units(diary.settings.units(), units.decimal);
}

impl Desk {
    /// Chooses how the app looks, speaks and measures.
    pub(crate) fn choose(self, change: impl FnOnce(&mut Settings)) {
        let mut settings = self.diary.with_untracked(|d| d.settings.clone());
        change(&mut settings);
        self.take_settings(settings);
    }

    /// Takes over settings, from here or from another window.
    pub(super) fn take_settings(self, settings: Settings) {
        let spoken = |settings: &Settings| (language_of(settings), units_of(settings));
        let (before, asked) = self.diary.with_untracked(|d| {
            // Chosen once more is asked once more.
            let asked = d.settings.language != settings.language || d.settings == settings;
            (spoken(&d.settings), asked)
        });
        let now = spoken(&settings);
        let (language, units) = now;
        self.diary.update(|d| {
            d.settings = settings;
            turn_draft(d);
            if units.decimal != before.1.decimal {
                d.draft.turn_to_decimal(units.decimal);
            }
        });
        if asked {
            // That another language could not be had is of no use any more.
            self.message.set(None);
            self.want_words();
        }
        if now == before {
            return;
        }
        // What follows is said in it.
        speak_language(language);
        self.form.update(|form| {
            if let Some(form) = form {
                form.texts.turn_to(units);
            }
        });
        self.last_part.update(|texts| texts.turn_to(units));
        self.quick_form.update(|form| {
            if let Some(form) = form {
                form.turn_to(units);
            }
        });
        // What was wrong with the form is said anew.
        self.read_form_again();
    }
}
