//! The figures that are typed: each belongs to its time and to the boat at that time.

use super::derived::PoolAnswer;
use super::desk::Desk;
use crate::device::clock;
use crate::words::t;
use leptos::prelude::*;
use std::time::Duration;
use trimwright::diary::{Angles, Draft};

/// Between two looks at the clock.
const LOOK_AT_THE_CLOCK: Duration = Duration::from_secs(60);

impl Desk {
    /// Changes what is being typed. A figure that is typed is of now: those of another outing go then, which
    /// can be undone.
    pub(crate) fn edit(self, change: impl FnOnce(&mut Draft)) {
        let was_old =
            self.derived.answer.with_untracked(|a| matches!(a.as_ref(), PoolAnswer::Old(_)));
        let mut draft = self.diary.with_untracked(|d| d.draft.clone());
        change(&mut draft);
        self.diary.with_untracked(|d| draft.count_anew(&d.draft));
        let reads_as_before = self.diary.with_untracked(|d| {
            let same = draft.reads_as(&d.draft);
            if was_old && !same {
                draft.drop_unchanged(&d.draft);
            }
            same
        });
        if reads_as_before {
            return self.diary.update(|d| d.draft = draft);
        }
        draft.read_at = if draft.has_figures() { clock::now_iso() } else { String::new() };
        if was_old {
            self.act(&t!("reading.old_cleared"), |d| d.draft = draft);
        } else {
            self.diary.update(|d| d.draft = draft);
        }
    }

    /// Says that the figures that were typed on another outing still hold.
    pub(crate) fn hold_figures(self) {
        self.diary.update(|d| d.draft.read_at = clock::now_iso());
    }

    /// Looks at the clock now and then: figures of another outing do not hold for the present boat.
    pub(crate) fn mind_the_time(self) {
        let look = move || self.derived.now.set(clock::now_ms());
        // Without a timer they are found out at the next start.
        let _timer = set_interval_with_handle(look, LOOK_AT_THE_CLOCK);
    }

    /// Empties what was read; the boat, the water and the place for weight stay. Can be undone.
    pub(crate) fn clear_figures(self) {
        self.act(&t!("reading.cleared"), |d| empty_figures(&mut d.draft));
    }
}

/// Clears the readings of both states.
pub(super) fn empty_figures(draft: &mut Draft) {
    draft.marks.clear();
    draft.list.clear();
    draft.trim.clear();
    draft.residual.clear();
    draft.fill.clear();
    draft.of_other_state = Angles::default();
    draft.aside.clear();
    draft.comes_back = None;
    draft.read_at.clear();
}
