//! The checks of the boat in hand: how each stands, and its lists as the builder wants them.

use super::desk::{Desk, Screen, new_id};
use super::log::PAUSE;
use crate::device::clock;
use crate::signal::RwSignal;
use crate::words::{self, t};
use leptos::prelude::*;
use trimwright::diary::{CheckMove, CheckState, CheckTime, ChecksRecord, short_words};

/// Where among the checks the user is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct OpenChecks {
    /// Which list is looked at.
    pub(crate) time: RwSignal<CheckTime>,
    /// The list is being changed.
    pub(crate) editing: RwSignal<bool>,
}

impl OpenChecks {
    pub(super) fn new() -> Self {
        Self { time: RwSignal::new(CheckTime::Before), editing: RwSignal::new(false) }
    }
}

impl Desk {
    /// The lists of the boat in hand; none without a boat.
    pub(crate) fn checks_in_hand(self) -> Option<ChecksRecord> {
        self.diary.with(|d| {
            let boat = d.boat(&d.draft.boat)?;
            Some(d.checks_of(&boat.id).into_owned())
        })
    }

    /// Goes to a list.
    pub(crate) fn see_checks(self, time: CheckTime) {
        self.checking.time.set(time);
        self.go(Screen::Checks);
    }

    /// Changes the lists of the boat in hand.
    fn change_checks<R>(self, change: impl FnOnce(&mut ChecksRecord) -> R) -> Option<R> {
        let boat = self.diary.with_untracked(|d| d.boat(&d.draft.boat).map(|b| b.id.clone()))?;
        self.diary.try_update(|d| d.change_checks(&boat, change))
    }

    /// A check and its list, with the words to call it by.
    fn check(self, id: &str) -> Option<(CheckTime, CheckState, String)> {
        let checks = untrack(|| self.checks_in_hand())?;
        let (time, check) = checks.find(id)?;
        Some((time, check.state, short_words(&words::checks::words_of(check)).to_owned()))
    }

    /// Notes how a check stands; the same once more takes the mark back. That something failed no
    /// longer can be undone.
    pub(crate) fn mark_check(self, id: &str, state: CheckState) {
        let Some((time, was, words)) = self.check(id) else { return };
        let state = if state == was { CheckState::Open } else { state };
        let mark = || {
            self.change_checks(|checks| checks.mark(id, state, &clock::now_iso()));
            self.note_checks(time);
        };
        if was != CheckState::Failed {
            self.message.set(None);
            return mark();
        }
        // A session that this would begin stays when it is undone: only what is in it goes.
        self.in_session(|_| ());
        self.act_by(&t!("checks.no_longer_failed", check = words), mark);
    }

    /// Notes what is wrong with a check, or why it is left out today.
    pub(crate) fn give_reason(self, id: &str, because: &str) {
        let Some((time, ..)) = self.check(id) else { return };
        self.change_checks(|checks| checks.give_reason(id, because));
        self.note_checks(time);
    }

    /// Begins a list anew; what failed stays failed. Can be undone.
    pub(crate) fn begin_checks_anew(self, time: CheckTime) {
        self.act_by(&t!("checks.started_over"), || {
            self.change_checks(|checks| checks.begin_anew(time));
        });
    }

    /// True when a list was gone through at another outing, or so long ago that it does not count.
    pub(crate) fn checks_are_old(checks: &ChecksRecord, time: CheckTime) -> bool {
        let since = checks.last_noted_at(time).map(|last| clock::now_ms() - clock::ms_of(last));
        // A time that cannot be read counts as old.
        since.is_some_and(|ms| ms.is_nan() || ms >= PAUSE)
    }

    /// Gives a check other words.
    pub(crate) fn rename_check(self, id: &str, words: &str) {
        // Its usual words, typed, are as good as none: it goes on speaking every language.
        let usual = words::checks::usual_words(id).is_some_and(|usual| usual == words.trim());
        self.change_checks(|checks| checks.rename(id, if usual { "" } else { words }));
    }

    /// Adds a check at the end of a list; false without words.
    pub(crate) fn add_check(self, time: CheckTime, words: &str) -> bool {
        self.message.set(None);
        self.change_checks(|checks| checks.add(time, &new_id("check"), words)) == Some(true)
    }

    /// Takes a check off its list. Can be undone.
    pub(crate) fn remove_check(self, id: &str) {
        let Some((_, _, words)) = self.check(id) else { return };
        self.act_by(&t!("checks.removed", check = words), || {
            self.change_checks(|checks| checks.remove(id));
        });
    }

    /// Moves a check by one place.
    pub(crate) fn shift_check(self, id: &str, way: CheckMove) {
        self.message.set(None);
        self.change_checks(|checks| checks.shift(id, way));
    }

    /// Makes a list the one that comes with the app. Can be undone.
    pub(crate) fn back_to_usual_checks(self, time: CheckTime) {
        self.act_by(&t!("checks.usual_again"), || {
            self.change_checks(|checks| checks.back_to_usual(time));
        });
    }
}
