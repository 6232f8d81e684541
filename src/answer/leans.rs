//! The leans that were seen on the way and tell of the boat as it is.

use super::kept::latest_session;
use crate::diary::{Diary, Entry, EntryRecord, LeanRecord};

/// A lean that was noted, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct NotedLean {
    /// The session's identity.
    pub session: String,
    /// The entry's identity in it.
    pub entry: String,
    /// When it was noted, ISO 8601 in UTC.
    pub at: String,
    /// The lean.
    pub lean: LeanRecord,
}

/// The leans of the boat in hand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Leans {
    /// Those that were seen of the boat as it is, in whichever session, oldest first: they count.
    pub counting: Vec<NotedLean>,
    /// How many of its latest session were seen before the boat's list was changed: they do not count.
    pub before: usize,
}

/// The leans that the sessions here have of the boat in hand; `state` names it as it is now
/// ([`crate::diary::state_of`]).
pub fn leans_in_hand(diary: &Diary, state: &str) -> Leans {
    let is_now = |lean: &LeanRecord| lean.state == state && !state.is_empty();
    let of_boat = || diary.sessions.iter().filter(|session| session.boat == diary.draft.boat);
    let is_new = |entry: &&EntryRecord| matches!(entry.what, Entry::NewBoat(_));
    let new_from = of_boat().flat_map(|session| session.entries.iter().filter(is_new));
    let new_from = new_from.map(|entry| entry.at.as_str()).max().unwrap_or_default();
    let mut counting: Vec<NotedLean> = of_boat()
        .flat_map(|session| session.leans().map(move |(entry, lean)| (session, entry, lean)))
        .filter(|(_, entry, lean)| is_now(lean) && *entry.at >= *new_from)
        .map(|(session, entry, lean)| NotedLean {
            session: session.id.clone(),
            entry: entry.id.clone(),
            at: entry.at.clone(),
            lean: lean.clone(),
        })
        .collect();
    counting.sort_by(|a, b| a.at.cmp(&b.at));
    let latest = latest_session(diary);
    let before = latest.map_or(0, |s| s.leans().filter(|(_, lean)| !is_now(lean)).count());
    Leans { counting, before }
}
