//! The boat on the bench: what is typed of it, and what is kept of that in the session.

use super::desk::Desk;
use super::input::{FieldProblem, wrong_words};
use super::records::session_key;
use leptos::prelude::*;
use trimwright::answer::{BENCH_FORM, Field, NotedBench, read_bench};
use trimwright::diary::{BenchRecord, Entry, state_of};

impl Desk {
    /// What is typed of the boat on the bench; none if nothing is.
    fn bench_typed(self) -> Result<Option<BenchRecord>, Vec<FieldProblem>> {
        let boat = self.derived.boat.get();
        let Some(Ok(hand)) = boat.as_ref() else { return Ok(None) };
        self.diary
            .with(|d| read_bench(&d.draft, hand))
            .map_err(|wrong| wrong.iter().map(wrong_words).collect())
    }

    /// What is wrong with a field of it, if anything.
    pub(crate) fn bench_problem(self, field: &Field) -> Option<String> {
        let problems = self.bench_typed().err()?;
        problems.into_iter().find(|(of, _)| of == field).map(|(_, words)| words)
    }

    /// True when there is something to keep.
    pub(crate) fn has_bench(self) -> bool {
        matches!(self.bench_typed(), Ok(Some(_)))
    }

    /// Keeps what is typed in the session that goes on.
    pub(crate) fn note_bench(self) {
        let Ok(Some(seen)) = untrack(|| self.bench_typed()) else { return };
        let state = self.derived.record.with_untracked(|r| r.as_ref().map(|r| state_of(r).0));
        self.note(Entry::Bench(BenchRecord { state: state.unwrap_or_default(), ..seen }));
        self.forget_typed(BENCH_FORM);
    }

    /// Removes what was kept of it from its session. Can be undone.
    pub(crate) fn forget_bench(self, noted: &NotedBench) {
        let key = self
            .diary
            .with_untracked(|d| d.sessions.iter().find(|s| s.id == noted.session).map(session_key));
        if let Some(key) = key {
            self.remove_entry(&key, &noted.entry);
        }
    }
}
