//! What is chosen on the page of settings, and what follows what was chosen: everything that stands
//! typed somewhere goes over to the units that are in force.

use super::desk::Desk;
use super::speech::units_of;
use leptos::prelude::*;
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
        let before = self.diary.with_untracked(|d| units_of(&d.settings));
        let units = units_of(&settings);
        self.diary.update(|d| {
            d.settings = settings;
            turn_draft(d);
            if units.decimal != before.decimal {
                d.draft.turn_to_decimal(units.decimal);
            }
        });
        if units == before {
            return;
        }
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
        // What was wrong with the form is said anew, in the new units.
        self.read_form_again();
    }
}
