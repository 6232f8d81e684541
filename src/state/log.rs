//! The sessions: which there are, which one goes on, and what happens in it. Most of them are only in
//! the store; those that are looked at, and the one that goes on, are in memory.

use super::desk::{Desk, new_id};
use super::load::Apart;
use super::records::{session_key, session_of_key};
use crate::device::clock::{self, next_turn};
use crate::device::storage::{Key, StorageProblem, Store, StoreWrite, load, load_each};
use crate::signal::RwSignal;
use crate::words::t;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::collections::HashSet;
use std::sync::Arc;
use trimwright::answer::{OUTINGS, kept_in, sessions_in_hand};
use trimwright::diary::{
    CheckTime, ChecksRun, Diary, DiaryError, Entry, EntryRecord, KeptMeshes, SessionRecord,
    begun_anew, read_kept, state_of,
};

/// Milliseconds after which a session is over if nothing happens in it.
pub(super) const PAUSE: f64 = 6.0 * 3600.0 * 1000.0;

/// The pages of the diary.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) enum DiaryPage {
    /// All sessions.
    #[default]
    Overview,
    /// One session.
    Session(Key),
    /// Looking back over the sessions of the boat in hand.
    Past,
    /// Two sessions side by side, the earlier one first.
    Compare(Key, Key),
    /// Everything as a file.
    Files,
    /// Whether to remove everything.
    Remove,
    /// How the app looks and speaks.
    Settings,
}

/// The sessions.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Log {
    /// The keys of all sessions, oldest first.
    pub(crate) keys: RwSignal<Arc<Vec<Key>>>,
    /// Where in the diary the user is.
    pub(crate) page: RwSignal<DiaryPage>,
    /// The session for which another one to compare with is being chosen.
    pub(crate) comparing: RwSignal<Option<Key>>,
    /// Counts changes of what is in the store: who shows what is read from there reads it again.
    pub(crate) changes: RwSignal<u64>,
}

impl Log {
    pub(super) fn new(keys: Vec<Key>) -> Self {
        Self {
            keys: RwSignal::new(Arc::new(keys)),
            page: RwSignal::new(DiaryPage::Overview),
            comparing: RwSignal::new(None),
            changes: RwSignal::new(0),
        }
    }

    /// Notes which sessions have come and gone in the store.
    pub(super) fn note_keys(self, news: &[(Key, Option<String>)]) {
        let sessions: Vec<_> = news.iter().filter(|(k, _)| k.store == Store::Session).collect();
        if sessions.is_empty() {
            return;
        }
        let mut keys = self.keys.get_untracked();
        let is_news = |(key, text): &&&(Key, Option<String>)| {
            keys.binary_search(key).is_ok() != text.is_some()
        };
        let news: Vec<_> = sessions.iter().filter(is_news).collect();
        if !news.is_empty() {
            let keys = Arc::make_mut(&mut keys);
            let gone: HashSet<&Key> =
                news.iter().filter(|(_, text)| text.is_none()).map(|(key, _)| key).collect();
            keys.retain(|key| !gone.contains(key));
            keys.extend(news.iter().filter(|(_, text)| text.is_some()).map(|(key, _)| key.clone()));
            keys.sort();
            keys.dedup();
        }
        self.keys.set(keys);
        self.changes.update(|n| *n += 1);
    }
}

/// The latest session of a boat.
pub(super) fn latest_of<'a>(keys: &'a [Key], boat: &str) -> Option<&'a Key> {
    keys.iter().rev().find(|key| session_of_key(key).is_some_and(|(_, b)| b == boat))
}

/// A session from the store, or why it is not here.
pub(crate) type SessionRead = Result<SessionRecord, Unread>;

/// Why something that is in the store is not here.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Unread {
    /// It is damaged.
    Apart(Apart),
    /// The store did not give it: it may at the next try.
    Failed(StorageProblem),
}

/// The session in a kept text.
pub(super) fn read_session(key: &Key, text: String) -> SessionRead {
    let apart = |why, text| Unread::Apart(Apart { key: key.clone(), why, text });
    match read_kept(&text, &KeptMeshes::new()) {
        Ok(mut one) => one
            .sessions
            .pop()
            .ok_or_else(|| apart(DiaryError::Wrong("there is no session in it".to_owned()), text)),
        Err(why) => Err(apart(why, text)),
    }
}

impl Desk {
    /// The key of the session that goes on, for the boat in hand.
    pub(crate) fn session_in_hand(self) -> Option<Key> {
        let now = clock::now_ms();
        self.diary.with(|d| {
            let latest = d.sessions.iter().filter(|s| s.boat == d.draft.boat);
            let latest = latest.max_by(|a, b| a.started_at.cmp(&b.started_at))?;
            let goes_on = now - clock::ms_of(latest.last_at()) < PAUSE;
            goes_on.then(|| session_key(latest))
        })
    }

    /// Changes the session that goes on; begins one if none does. None without a boat.
    pub(crate) fn in_session(self, change: impl FnOnce(&mut SessionRecord)) -> Option<Key> {
        let key = untrack(|| self.session_in_hand()).or_else(|| self.begin_session())?;
        self.change_session(&key, change);
        Some(key)
    }

    /// Begins a session with the boat in hand as it is; none without a boat.
    pub(crate) fn begin_session(self) -> Option<Key> {
        let boat = self.diary.with_untracked(|d| d.boat(&d.draft.boat).cloned())?;
        let water = self.derived.water.get_untracked().ok();
        // The place is most likely that of the last time.
        let place = self.diary.with_untracked(|d| {
            d.sessions
                .iter()
                .max_by(|a, b| a.started_at.cmp(&b.started_at))
                .map(|s| s.place.clone())
        });
        let session = SessionRecord {
            id: new_id("session"),
            state: self.keep_state(&boat),
            boat: boat.id,
            started_at: clock::now_iso(),
            place: place.unwrap_or_default(),
            water: water.as_ref().map_or_else(String::new, |(_, words)| words.clone()),
            water_density_kg_m3: water.map(|(density, _)| density),
            ..SessionRecord::default()
        };
        let key = session_key(&session);
        self.diary.update(|d| d.sessions.push(session));
        spawn_local(self.ask_for_promise());
        Some(key)
    }

    /// Keeps a boat as it is, and gives the name it is kept under.
    pub(super) fn keep_state(self, boat: &trimwright::diary::BoatRecord) -> String {
        let (name, state) = state_of(boat);
        self.keep_too(vec![super::load::state_change(&name, state)]);
        name
    }

    /// Changes a session that is in memory.
    pub(crate) fn change_session(self, key: &Key, change: impl FnOnce(&mut SessionRecord)) {
        self.diary.update(|d| {
            if let Some(session) = d.sessions.iter_mut().find(|s| session_key(s) == *key) {
                change(session);
            }
        });
    }

    /// Notes something in the session that goes on; its entry's identity.
    pub(crate) fn note(self, what: Entry) -> Option<String> {
        let id = new_id("entry");
        let entry = EntryRecord {
            id: id.clone(),
            at: clock::now_iso(),
            what,
            extra: serde_json::Map::default(),
        };
        self.in_session(|session| session.entries.push(entry)).map(|_| id)
    }

    /// Notes how a list of checks stands, in the session that goes on: one entry a list, and another
    /// one when it was begun anew.
    pub(crate) fn note_checks(self, time: CheckTime) {
        let checks = self.diary.with_untracked(|d| {
            let of_boat = d.checks.iter().find(|c| c.id == d.draft.boat);
            of_boat.map(|c| c.list(time).to_vec())
        });
        let Some(checks) = checks else { return };
        let run = ChecksRun { time, checks, extra: serde_json::Map::default() };
        let id = new_id("entry");
        self.in_session(|session| {
            let of_list = |e: &mut EntryRecord| match &e.what {
                Entry::Checks(c) if c.time == time => Some(begun_anew(&c.checks, &run.checks)),
                _ => None,
            };
            let mut latest_first = session.entries.iter_mut().rev();
            let latest = latest_first.find_map(|entry| of_list(entry).map(|anew| (entry, anew)));
            if let Some((entry, false)) = latest {
                entry.what = Entry::Checks(run);
            } else {
                let at = clock::now_iso();
                let extra = serde_json::Map::default();
                session.entries.push(EntryRecord { id, at, what: Entry::Checks(run), extra });
            }
        });
    }

    /// Brings sessions from the store, in the order of their keys; none for one that is gone.
    pub(crate) async fn sessions(self, keys: &[Key]) -> Vec<Option<SessionRead>> {
        let texts = load_each(keys).await.into_iter().map(Result::transpose);
        let read = |(key, text): (&Key, Option<Result<String, StorageProblem>>)| {
            Some(text?.map_err(Unread::Failed).and_then(|text| read_session(key, text)))
        };
        keys.iter().zip(texts).map(read).collect()
    }

    /// Opens a session, to look at it and to change it.
    pub(crate) async fn open_session(self, key: Key) {
        if self.bring(&key).await {
            self.log.page.set(DiaryPage::Session(key));
        } else {
            self.say(t!("session.not_read"));
        }
    }

    /// Brings a session into memory, if it is not there; false when it cannot be read.
    pub(super) async fn bring(self, key: &Key) -> bool {
        if untrack(|| self.session(key)).is_some() {
            return true;
        }
        let texts = load(std::slice::from_ref(key)).await;
        if let Some(text) = texts.ok().and_then(|mut texts| texts.pop().flatten())
            && let Ok(session) = read_session(key, text.clone())
        {
            // It may have been brought, or taken over from another window, meanwhile.
            if untrack(|| self.session(key)).is_none() {
                self.keeper.update_value(|k| drop(k.known.insert(key.clone(), text)));
                self.diary.update(|d| d.sessions.push(session));
            }
            return true;
        }
        false
    }

    /// Brings the latest sessions of the boat in hand into memory: what was read of it on other days counts too.
    pub(crate) async fn bring_earlier(self) {
        // The screen comes first.
        next_turn().await;
        let boat = self.diary.with_untracked(|d| d.draft.boat.clone());
        let keys = self.sessions_of(&boat);
        let latest = keys.into_iter().rev().take(OUTINGS);
        let is_there = |key: &Key| untrack(|| self.session(key)).is_some();
        let missing: Vec<Key> = latest.filter(|key| !is_there(key)).collect();
        if missing.is_empty() {
            return;
        }
        let Ok(texts) = load(&missing).await else { return };
        let read = missing.iter().zip(texts).filter_map(|(key, text)| {
            let text = text.filter(|_| !is_there(key))?;
            // One that cannot be read tells nothing; the diary says so where it is looked at.
            Some((key, read_session(key, text.clone()).ok()?, text))
        });
        let read: Vec<_> = read.collect();
        // Only those that tell of the boat as it is.
        let counting = self.diary.with_untracked(|d| {
            let Some(Ok(hand)) = self.derived.boat.get_untracked() else { return Vec::new() };
            let state = d.boat(&d.draft.boat).map(|boat| state_of(boat).0).unwrap_or_default();
            let all = sessions_in_hand(d).chain(read.iter().map(|(_, session, _)| session));
            kept_in(all, &state, &hand.boat.marks)
        });
        let counts = |session: &SessionRecord| counting.iter().any(|k| k.session == session.id);
        let mut brought = Vec::new();
        for (key, session, text) in read.into_iter().filter(|(_, session, _)| counts(session)) {
            self.keeper.update_value(|k| drop(k.known.insert(key.clone(), text)));
            brought.push(session);
        }
        if !brought.is_empty() {
            self.diary.update(|d| d.sessions.extend(brought));
        }
    }

    /// The session under a key, if it is in memory.
    pub(crate) fn session(self, key: &Key) -> Option<SessionRecord> {
        self.diary.with(|d| d.sessions.iter().find(|s| session_key(s) == *key).cloned())
    }

    /// Removes a session that is in memory. Can be undone.
    pub(crate) fn remove_session(self, key: &Key) {
        self.log.page.set(DiaryPage::Overview);
        self.act(&t!("session.removed"), |d| d.sessions.retain(|s| session_key(s) != *key));
        self.keep_too(vec![StoreWrite::Text(key.clone(), None)]);
    }

    /// Removes an entry of a session that is in memory. Can be undone.
    pub(crate) fn remove_entry(self, key: &Key, entry: &str) {
        self.act(&t!("entry.removed"), |d| {
            if let Some(session) = d.sessions.iter_mut().find(|s| session_key(s) == *key) {
                session.entries.retain(|e| e.id != entry);
            }
        });
    }

    /// Removes what could not be read.
    pub(crate) fn remove_apart(self, apart: Apart) {
        self.apart.update(|all| all.retain(|a| a.key != apart.key));
        self.keeper.update_value(|k| drop(k.known.insert(apart.key.clone(), apart.text)));
        self.keep_too(vec![StoreWrite::Text(apart.key, None)]);
    }

    /// Brings the latest session of the boat in hand into memory: it may go on.
    pub(crate) async fn open_latest(self) {
        let boat = self.diary.with_untracked(|d| d.draft.boat.clone());
        let latest = self.log.keys.with_untracked(|keys| latest_of(keys, &boat).cloned());
        if let Some(key) = latest {
            let _there = self.bring(&key).await;
        }
    }

    /// A boat as it was, from the store, with the large meshes that are there.
    pub(crate) async fn state(self, name: &str) -> Option<trimwright::diary::BoatRecord> {
        self.states_named(name).await.state(name)
    }

    /// A diary with nothing in it but a boat as it was, if it is in the store, and the large meshes of it
    /// that are there.
    pub(super) async fn states_named(self, name: &str) -> Diary {
        let key = Key::new(Store::State, [name]);
        let text = load(std::slice::from_ref(&key)).await.ok().and_then(|mut t| t.pop().flatten());
        let found = text.and_then(|text| read_kept(&text, &KeptMeshes::new()).ok());
        let mut found = found.unwrap_or_default();
        let mut named = Vec::new();
        for state in found.states.values() {
            named.extend(trimwright::diary::meshes_named(state));
        }
        for mesh in named {
            if let Some(found_mesh) = super::load::mesh_of(&mesh).await {
                found.meshes.insert(mesh, trimwright::diary::MeshRecord::new(found_mesh));
            }
        }
        Diary { states: found.states, meshes: found.meshes, ..Diary::default() }
    }
}
