//! Looking back: all sessions of a boat, read from the store a few at a time.

use super::desk::Desk;
use super::log::Unread;
use super::records::session_of_key;
use crate::device::clock::next_turn;
use crate::device::storage::{Key, StorageProblem};
use crate::signal::RwSignal;
use crate::words::t;
use std::sync::Arc;
use trimwright::diary::{
    BoatRecord, Closings, ConditionRecord, LastGood, Score, SessionRecord, Trend, last_good,
};

/// Sessions that are read before the screen has its turn.
const AT_ONCE: usize = 50;

/// What became of one boat, session after session.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Past {
    /// How it lay at the surface.
    pub(crate) afloat: Trend,
    /// How it lay under water.
    pub(crate) under: Trend,
    /// How well predictions came true.
    pub(crate) score: Score,
    /// How many of its sessions could not be read.
    pub(crate) unreadable: usize,
}

/// How far the reading of a boat's past is.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum PastRead {
    /// So many sessions of so many.
    Reading(usize, usize),
    /// All.
    Read(Arc<Past>),
}

impl Past {
    fn new(boat: &str) -> Self {
        Self {
            afloat: Trend::new(boat, ConditionRecord::Afloat),
            under: Trend::new(boat, ConditionRecord::Under),
            score: Score::default(),
            unreadable: 0,
        }
    }

    /// How it lay in a condition.
    pub(crate) fn trend(&self, condition: ConditionRecord) -> &Trend {
        match condition {
            ConditionRecord::Afloat => &self.afloat,
            ConditionRecord::Under => &self.under,
        }
    }

    fn add(&mut self, session: &SessionRecord, closings: &mut Closings) {
        self.afloat.add(session);
        self.under.add(session);
        closings.add(session).iter().for_each(|closing| self.score.add(closing));
    }
}

impl Desk {
    /// The keys of a boat's sessions, oldest first.
    pub(crate) fn sessions_of(self, boat: &str) -> Vec<Key> {
        let of_boat = |key: &&Key| session_of_key(key).is_some_and(|(_, b)| b == boat);
        self.log.keys.with_untracked(|keys| keys.iter().filter(of_boat).cloned().collect())
    }

    /// The key of a session by its identity.
    pub(crate) fn key_of_session(self, id: &str) -> Option<Key> {
        let is_it = |key: &&Key| key.words.last().is_some_and(|last| last == id);
        self.log.keys.with_untracked(|keys| keys.iter().find(is_it).cloned())
    }

    /// Reads all sessions of a boat; ends early when nobody looks at `read` any more.
    pub(crate) async fn look_back(self, boat: String, read: RwSignal<PastRead>) {
        let keys = self.sessions_of(&boat);
        let mut past = Past::new(&boat);
        let mut closings = Closings::default();
        let mut done = 0;
        for some in keys.chunks(AT_ONCE) {
            for found in self.sessions(some).await {
                match found {
                    Some(Ok(session)) => past.add(&session, &mut closings),
                    Some(Err(_)) => past.unreadable += 1,
                    // Removed meanwhile, in another window.
                    None => {}
                }
            }
            done += some.len();
            if read.try_set(PastRead::Reading(done, keys.len())).is_some() {
                return;
            }
            next_turn().await;
        }
        read.try_set(PastRead::Read(Arc::new(past)));
    }

    /// Makes the boat in hand as it was when it last lay as it should. Can be undone.
    pub(crate) async fn take_last_good(self) {
        let id = self.diary.with_untracked(|d| d.draft.boat.clone());
        let found = match self.last_good(&id).await {
            Ok(Some(found)) => found,
            Ok(None) => return self.say(t!("past.no_good_trim")),
            Err(_) => return self.say(t!("past.not_read")),
        };
        let there = self.states_named(&found.state).await;
        // What was typed in the meantime stands: the boat is taken as it is now.
        let Some(now) = self.diary.with_untracked(|d| d.boat(&id).cloned()) else { return };
        let when = crate::device::clock::local_words(&found.place.at);
        match there.taken_over(&found.state, &now) {
            Err(problem) => self.say(crate::words::past::take_over(&problem)),
            Ok(taken) if taken.changes.is_same() => self.say(t!("past.as_it_is", when = when)),
            Ok(taken) => self.put_in_place(taken.boat, &t!("past.taken_over", when = when)),
        }
    }

    fn put_in_place(self, boat: BoatRecord, message: &str) {
        // A form that is open stands on the lines that are there no more.
        self.close_form();
        self.act(message, |d| {
            if let Some(now) = d.boats.iter_mut().find(|now| now.id == boat.id) {
                *now = boat;
            }
        });
    }

    /// The last reading at which a boat lay as it should, if there is one.
    ///
    /// # Errors
    /// [`StorageProblem`] when a later session could not be read: it may have been in that one.
    async fn last_good(self, boat: &str) -> Result<Option<LastGood>, StorageProblem> {
        let mut keys = self.sessions_of(boat);
        keys.reverse();
        for some in keys.chunks(AT_ONCE) {
            let mut sessions = Vec::new();
            for read in self.sessions(some).await.into_iter().flatten() {
                match read {
                    Ok(session) => sessions.push(session),
                    Err(Unread::Apart(_)) => {}
                    Err(Unread::Failed(why)) => return Err(why),
                }
            }
            let found = last_good(boat, &sessions);
            if found.is_some() {
                return Ok(found);
            }
        }
        Ok(None)
    }
}
