//! Leans that are seen on the way: noted in the session, and found again in whichever session they are.

use super::desk::Desk;
use super::files::AT_ONCE;
use super::records::session_key;
use crate::device::clock::next_turn;
use trimwright::answer::NotedLean;
use trimwright::diary::{Entry, LeanRecord, state_of};
use trimwright::float::Heading;
use trimwright::unit::DEGREE;

impl Desk {
    /// The leans that count for the boat in hand.
    pub(super) fn leans(self) -> Vec<LeanRecord> {
        let lean = |noted: &NotedLean| noted.lean.clone();
        self.derived.leans.with_untracked(|all| all.counting.iter().map(lean).collect())
    }

    /// Brings the sessions of the boat in hand in which leans were noted into memory: those of the boat as it is
    /// count in whichever session they are. Each session is looked through once.
    pub(super) async fn bring_leans(self) {
        let task = self.dive.task;
        let boat = self.diary.with_untracked(|d| d.draft.boat.clone());
        let mut keys = self.sessions_of(&boat);
        task.with_value(|task| keys.retain(|key| !task.looked_through.contains_key(key)));
        for some in keys.chunks(AT_ONCE) {
            for (key, read) in some.iter().zip(self.sessions(some).await) {
                let Some(Ok(session)) = read else { continue };
                if session.leans().next().is_none() || self.bring(key).await {
                    task.update_value(|task| {
                        task.looked_through.insert(key.clone(), ());
                    });
                }
            }
            next_turn().await;
        }
    }

    /// Notes a lean that was seen at the fill that is looked at, radians, positive to starboard, in the session
    /// that goes on.
    pub(crate) fn note_lean(self, lean: f64) {
        let state = self.derived.record.with_untracked(|r| r.as_ref().map(|r| state_of(r).0));
        self.note(Entry::Lean(LeanRecord {
            fill: (self.dive.fill.get_untracked() * 100.0).round() / 100.0,
            list_deg: lean / DEGREE,
            going_up: self.dive.heading.get_untracked() == Heading::Up,
            water_density_kg_m3: Some(self.derived.density.get_untracked()),
            state: state.unwrap_or_default(),
            extra: serde_json::Map::new(),
        }));
    }

    /// Removes a lean that was noted from its session. Can be undone.
    pub(crate) fn forget_lean(self, noted: &NotedLean) {
        let key = self
            .diary
            .with_untracked(|d| d.sessions.iter().find(|s| s.id == noted.session).map(session_key));
        if let Some(key) = key {
            self.remove_entry(&key, &noted.entry);
        }
    }
}
