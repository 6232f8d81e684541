//! The boat as it was before each change, for undo and redo.

use trimwright::diary::BoatRecord;

/// How many changes can be taken back.
const MOST: usize = 200;

/// Changes of one boat. Clones share their meshes, so a step is small.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct History {
    past: Vec<BoatRecord>,
    future: Vec<BoatRecord>,
    /// Changes of the same kind, one after the other, are one step: typing, dragging.
    run: Option<String>,
}

impl History {
    /// Remembers a boat before it is changed. Changes of one `run` count as one.
    pub(crate) fn remember(&mut self, before: &BoatRecord, run: Option<String>) {
        let goes_on = run.is_some() && run == self.run && !self.past.is_empty();
        self.run = run;
        self.future.clear();
        if goes_on {
            return;
        }
        if self.past.len() == MOST {
            self.past.remove(0);
        }
        self.past.push(before.clone());
    }

    /// The boat as it was before a run that still goes on: what stays in use when the run comes to
    /// something that cannot be used.
    pub(crate) fn before_run(&self, run: Option<&str>) -> Option<BoatRecord> {
        let goes_on = run.is_some() && run == self.run.as_deref();
        self.past.last().filter(|_| goes_on).cloned()
    }

    /// Ends a run: what is changed next is a step of its own.
    pub(crate) fn pause(&mut self) {
        self.run = None;
    }

    /// The boat before the last change; `now` can be had again by [`Self::redo`].
    pub(crate) fn undo(&mut self, now: &BoatRecord) -> Option<BoatRecord> {
        let before = self.past.pop()?;
        self.future.push(now.clone());
        self.run = None;
        Some(before)
    }

    /// The boat after the change that was taken back last.
    pub(crate) fn redo(&mut self, now: &BoatRecord) -> Option<BoatRecord> {
        let after = self.future.pop()?;
        self.past.push(now.clone());
        self.run = None;
        Some(after)
    }

    /// Whether there is something to take back, and something to do again.
    pub(crate) fn can(&self) -> [bool; 2] {
        [!self.past.is_empty(), !self.future.is_empty()]
    }

    /// True when the changes are those of that boat.
    pub(crate) fn is_of(&self, id: &str) -> bool {
        self.past.iter().chain(&self.future).all(|boat| boat.id == id)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::Boat;

    fn boat(name: &str) -> BoatRecord {
        BoatRecord::ledger("it", &Boat { name: name.to_owned(), ..Boat::default() })
    }

    #[test]
    fn changes_are_taken_back_and_done_again() {
        let mut history = History::default();
        history.remember(&boat("one"), None);
        history.remember(&boat("two"), None);
        assert_eq!(history.undo(&boat("three")), Some(boat("two")), "before the last change");
        assert_eq!(history.undo(&boat("two")), Some(boat("one")), "before the first");
        assert_eq!(history.undo(&boat("one")), None, "nothing before that");
        assert_eq!(history.redo(&boat("one")), Some(boat("two")), "again");
        history.remember(&boat("two"), None);
        assert_eq!(history.can(), [true, false], "a new change ends what could be done again");
    }

    #[test]
    fn typing_one_field_is_one_step() {
        let mut history = History::default();
        let run = || Some("part 3, mass".to_owned());
        history.remember(&boat("before"), run());
        history.remember(&boat("1"), run());
        history.remember(&boat("12"), run());
        assert_eq!(history.undo(&boat("123")), Some(boat("before")), "all at once");
        history.remember(&boat("before"), run());
        let kept = history.before_run(run().as_deref());
        assert_eq!(kept, Some(boat("before")), "what stays while the rest cannot be used");
        assert_eq!(history.before_run(Some("part 3, name")), None, "another field");
        history.pause();
        history.remember(&boat("1"), run());
        assert_eq!(history.undo(&boat("12")), Some(boat("1")), "after a pause a step of its own");
    }
}
