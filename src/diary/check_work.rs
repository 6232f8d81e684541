//! Working through lists of checks, and changing them. Pure: times and new identities come in as
//! arguments. What a record has of other versions stays with its check, whatever is done to it.

use super::check_list::{usual_check, usual_checks, usual_record};
use super::checks::{CheckRecord, CheckState, CheckTime, ChecksRecord};
use super::record::Diary;
use std::borrow::Cow;

/// The counts of checks in a list by their state.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct CheckSummary {
    /// Looked at and good.
    pub good: usize,
    /// Looked at and not good.
    pub failed: usize,
    /// Left out today.
    pub left_out: usize,
    /// Not looked at yet.
    pub open: usize,
}

impl CheckSummary {
    /// How a list stands.
    pub fn of(list: &[CheckRecord]) -> Self {
        let count = |state| list.iter().filter(|check| check.state == state).count();
        Self {
            good: count(CheckState::Good),
            failed: count(CheckState::Failed),
            left_out: count(CheckState::NotToday),
            open: count(CheckState::Open),
        }
    }

    /// All checks of the list.
    pub fn total(self) -> usize {
        self.good + self.failed + self.left_out + self.open
    }

    /// True when everything was looked at or left out for today, and nothing failed. A list without
    /// checks is never done.
    pub fn is_done(self) -> bool {
        self.total() > 0 && self.open == 0 && self.failed == 0
    }
}

/// A step within a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckMove {
    /// To the place before.
    Up,
    /// To the place after.
    Down,
}

impl ChecksRecord {
    /// The check of an identity and its list.
    pub fn find(&self, id: &str) -> Option<(CheckTime, &CheckRecord)> {
        self.all().find(|(_, check)| check.id == id)
    }

    /// All checks of all lists, in the order of the day.
    fn all(&self) -> impl Iterator<Item = (CheckTime, &CheckRecord)> {
        let of = |time| self.list(time).iter().map(move |check| (time, check));
        CheckTime::ALL.into_iter().flat_map(of)
    }

    /// The list in which a check is, and its place there.
    fn place(&mut self, id: &str) -> Option<(&mut Vec<CheckRecord>, usize)> {
        let (time, _) = self.find(id)?;
        let list = self.list_mut(time);
        let at = list.iter().position(|check| check.id == id)?;
        Some((list, at))
    }

    fn find_mut(&mut self, id: &str) -> Option<&mut CheckRecord> {
        let (list, at) = self.place(id)?;
        list.get_mut(at)
    }

    /// All failed checks of all lists, with their lists.
    pub fn failed(&self) -> impl Iterator<Item = (CheckTime, &CheckRecord)> {
        self.all().filter(|(_, check)| check.state == CheckState::Failed)
    }

    /// How a list stands.
    pub fn summary(&self, time: CheckTime) -> CheckSummary {
        CheckSummary::of(self.list(time))
    }

    /// When something in a list was last found good or left out; none if nothing is marked so.
    pub fn last_noted_at(&self, time: CheckTime) -> Option<&str> {
        self.list(time).iter().filter(|check| is_marked(check)).map(|check| check.at.as_str()).max()
    }

    /// Notes how a check stands, looked at at a time (ISO 8601, UTC). The reason given for another
    /// state goes; back to open, the time goes too. False when there is no such check.
    pub fn mark(&mut self, id: &str, state: CheckState, at: &str) -> bool {
        let Some(check) = self.find_mut(id) else { return false };
        if check.state != state {
            check.because.clear();
        }
        check.state = state;
        check.at = if state == CheckState::Open { String::new() } else { at.to_owned() };
        true
    }

    /// Notes what is wrong with a check, or why it is left out today; without a meaning for one
    /// that is open or good. False when there is no such check, or it is so.
    pub fn give_reason(&mut self, id: &str, because: &str) -> bool {
        let asked = |check: &&mut CheckRecord| {
            matches!(check.state, CheckState::Failed | CheckState::NotToday)
        };
        let Some(check) = self.find_mut(id).filter(asked) else { return false };
        because.clone_into(&mut check.because);
        true
    }

    /// Begins a list anew: everything is open again, but what failed stays failed until it is good.
    pub fn begin_anew(&mut self, time: CheckTime) {
        for check in self.list_mut(time).iter_mut().filter(|check| is_marked(check)) {
            check.state = CheckState::Open;
            check.because.clear();
        }
    }

    /// Gives a check other words. None let one that comes with the app speak as usual again; the
    /// builder's own cannot be without. False when nothing was changed.
    pub fn rename(&mut self, id: &str, words: &str) -> bool {
        let words = words.trim();
        let Some(check) = self.find_mut(id) else { return false };
        if words.is_empty() && usual_check(id).is_none() {
            return false;
        }
        words.clone_into(&mut check.words);
        true
    }

    /// Adds a check of the builder's own at the end of a list. False, and nothing changed, without
    /// words, or when the identity is known.
    pub fn add(&mut self, time: CheckTime, id: &str, words: &str) -> bool {
        let words = words.trim();
        if words.is_empty() || id.is_empty() || self.find(id).is_some() {
            return false;
        }
        let check =
            CheckRecord { id: id.to_owned(), words: words.to_owned(), ..CheckRecord::default() };
        self.list_mut(time).push(check);
        true
    }

    /// Takes a check off its list. None when there is no such check.
    pub fn remove(&mut self, id: &str) -> Option<CheckRecord> {
        let (list, at) = self.place(id)?;
        Some(list.remove(at))
    }

    /// Moves a check by one place in its list. False when there is none to go to.
    pub fn shift(&mut self, id: &str, way: CheckMove) -> bool {
        let Some((list, at)) = self.place(id) else { return false };
        let to = match way {
            CheckMove::Up => at.checked_sub(1),
            CheckMove::Down => Some(at + 1).filter(|to| *to < list.len()),
        };
        let Some(to) = to else { return false };
        list.swap(at, to);
        true
    }

    /// Makes a list the one that comes with the app: its checks, words and order. How those that
    /// stay were marked is kept, and so is every failed check: it is gone when it is good.
    pub fn back_to_usual(&mut self, time: CheckTime) {
        let mut left = std::mem::take(self.list_mut(time));
        let mut list = Vec::new();
        for usual in usual_checks(time) {
            if self.find(usual.id).is_some() {
                continue; // A file may have it in another list; an identity is there once.
            }
            let known = left.iter().position(|check| check.id == usual.id);
            list.push(match known {
                Some(at) => CheckRecord { words: String::new(), ..left.remove(at) },
                None => usual_record(usual),
            });
        }
        left.retain(|check| check.state == CheckState::Failed);
        list.append(&mut left);
        *self.list_mut(time) = list;
    }
}

/// Whether beginning anew takes something away.
fn is_marked(check: &CheckRecord) -> bool {
    matches!(check.state, CheckState::Good | CheckState::NotToday)
}

/// Whether a list was begun anew since `before`: of several marks none is left. A single mark may
/// simply have been taken back.
pub fn begun_anew(before: &[CheckRecord], now: &[CheckRecord]) -> bool {
    let is_left = |mark: &CheckRecord| {
        now.iter().any(|check| check.id == mark.id && is_marked(check) && check.at == mark.at)
    };
    let marks = || before.iter().filter(|check| is_marked(check));
    marks().count() > 1 && !marks().any(is_left)
}

impl Diary {
    /// The lists of a boat: its own, or those that come with the app.
    pub fn checks_of(&self, boat: &str) -> Cow<'_, ChecksRecord> {
        let own = self.checks.iter().find(|checks| checks.id == boat);
        own.map_or_else(|| Cow::Owned(ChecksRecord::usual(boat)), Cow::Borrowed)
    }

    /// Changes the lists of a boat; they become its own when something in them changes.
    pub fn change_checks<R>(
        &mut self,
        boat: &str,
        change: impl FnOnce(&mut ChecksRecord) -> R,
    ) -> R {
        if let Some(own) = self.checks.iter_mut().find(|checks| checks.id == boat) {
            return change(own);
        }
        let usual = ChecksRecord::usual(boat);
        let mut own = usual.clone();
        let outcome = change(&mut own);
        if own != usual {
            self.checks.push(own);
        }
        outcome
    }
}
