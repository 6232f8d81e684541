//! A file that was read and is looked at before it is taken in.

use super::files::AT_ONCE;
use crate::device::clock::Turns;
use crate::words::t;
use litemap::LiteMap;
use std::collections::HashSet;
use std::sync::Arc;
use trimwright::diary::{Diary, Fate, IncomingRecord, Merged, RecordKind, SessionRecord};

/// A file that was read and is not taken in yet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Arriving {
    /// Its contents, without the sessions.
    pub(crate) diary: Arc<Diary>,
    /// The sessions in it, of which there may be thousands.
    pub(crate) sessions: Arc<Vec<SessionRecord>>,
    /// What becomes of each record.
    pub(crate) coming: Arc<Vec<IncomingRecord>>,
    /// How many readings there are in the sessions that are new.
    pub(crate) new_readings: usize,
    /// Left out of the import.
    pub(crate) left_out: LiteMap<(RecordKind, String), ()>,
    /// Whether the phone it is from looks, speaks or measures otherwise, or in other water.
    pub(crate) settings_differ: bool,
    /// Whether that is wanted here too.
    pub(crate) take_settings: bool,
}

impl Arriving {
    /// A file that was read, next to the data here.
    pub(super) fn of(mut diary: Diary, coming: Vec<IncomingRecord>, settings_differ: bool) -> Self {
        let sessions = std::mem::take(&mut diary.sessions);
        Self {
            new_readings: new_readings(&sessions, &coming),
            diary: Arc::new(diary),
            sessions: Arc::new(sessions),
            coming: Arc::new(coming),
            left_out: LiteMap::new(),
            settings_differ,
            take_settings: false,
        }
    }

    /// A copy of what is in it, made a few sessions at a time.
    pub(super) async fn copied(&self) -> Diary {
        let turns = Turns::begin();
        let mut sessions = Vec::with_capacity(self.sessions.len());
        for some in self.sessions.chunks(AT_ONCE) {
            sessions.extend(some.iter().cloned());
            turns.rest().await;
        }
        Diary { sessions, ..Diary::clone(&self.diary) }
    }
}

/// How many readings there are in the sessions that are new.
fn new_readings(sessions: &[SessionRecord], coming: &[IncomingRecord]) -> usize {
    let new = |c: &&IncomingRecord| c.kind == RecordKind::Session && c.fate == Fate::New;
    let new: HashSet<&str> = coming.iter().filter(new).map(|c| c.id.as_str()).collect();
    let sessions = sessions.iter().filter(|s| new.contains(s.id.as_str()));
    sessions.map(|session| session.readings().count()).sum()
}

/// Lets go of many sessions, some at a time: that takes its time too.
pub(super) async fn let_go(mut sessions: Vec<SessionRecord>) {
    let turns = Turns::begin();
    while !sessions.is_empty() {
        sessions.truncate(sessions.len().saturating_sub(AT_ONCE));
        turns.rest().await;
    }
}

/// How many of those that come have a fate.
pub(crate) fn count(coming: &[IncomingRecord], fate: Fate) -> usize {
    coming.iter().filter(|c| c.fate == fate).count()
}

/// The outcome of an import.
pub(super) fn merged_words(merged: Merged) -> String {
    let Merged { new, same, differing } = merged;
    let mut words = vec![t!("files.n_new", count = new)];
    if same > 0 {
        words.push(t!("files.n_same", count = same));
    }
    if differing > 0 {
        words.push(t!("files.n_differing", count = differing));
    }
    t!("files.opened", what = words.join(", "))
}
