//! Keeps every change: what differs from what is kept is written, in one step, and confirmed only
//! then. What another window has kept is taken over; what both changed is joined.

use super::desk::Desk;
use super::load::meshes_of;
use super::log::latest_of;
use super::records::{Records, records, settings_record};
use super::settle::settle;
use crate::device::clock::next_turn;
use crate::device::storage::{
    Key, StorageProblem, Store, StoreWrite, load, on_changes_elsewhere, on_small_change,
    save_small, tell_others, write,
};
use leptos::prelude::*;
use leptos::task::spawn_local;
use litemap::LiteMap;
use std::collections::{HashMap, HashSet};
use std::time::Duration;
use trimwright::diary::{Diary, KeptMeshes, kept_names, mesh_to_bytes, read_kept, write_kept};

/// After so long what could not be written is tried again.
const AGAIN: Duration = Duration::from_secs(3);

/// Where the settings are kept: they must be known before the first paint.
pub(super) const SETTINGS: &str = "trimwright.settings";

/// Whether what is on the screen is on the phone.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) enum Keeping {
    /// All of it.
    #[default]
    Kept,
    /// It is being written.
    Writing,
    /// It could not be written.
    Failed(StorageProblem),
}

/// What is known of the store, and what is to be written to it.
#[derive(Debug, Default)]
pub(crate) struct Keeper {
    /// Each record's text as it was last seen there.
    pub(super) known: HashMap<Key, String>,
    /// The meshes that are there.
    pub(super) meshes: HashSet<String>,
    /// The records as they were when they were last looked through.
    looked_at: Records,
    /// Texts to be written; none is a removal.
    pending: LiteMap<Key, Option<String>>,
    /// Bytes to be written.
    bytes: LiteMap<Key, Vec<u8>>,
    /// What another window has kept and this one has not looked at yet.
    heard: LiteMap<Key, ()>,
    /// A task is at work.
    busy: bool,
    /// It will be tried again by itself.
    waiting: bool,
    /// The settings as they are kept.
    settings: String,
    /// What is to be said once all is written.
    saying: Option<String>,
    /// What an older version of the app wrote is to be written in this one's form.
    turns: bool,
}

impl Keeper {
    /// A keeper of what was loaded; what was `turned` on the way is to be written anew.
    pub(super) fn new(
        known: HashMap<Key, String>,
        meshes: HashSet<String>,
        diary: &Diary,
        turned: &LiteMap<Key, ()>,
    ) -> Self {
        let as_there = |key: &Key| known.contains_key(key) && !turned.contains_key(key);
        let mut looked_at = records(diary);
        looked_at.retain(|key, _| as_there(key));
        let turns = !turned.is_empty();
        let settings = write_kept(&settings_record(&diary.settings)).0;
        Self { known, meshes, looked_at, settings, turns, ..Self::default() }
    }

    /// Finds what differs from what is kept.
    fn look_through(&mut self, diary: &Diary) {
        let now = records(diary);
        for (key, record) in &now {
            if self.looked_at.get(key) == Some(record) {
                continue;
            }
            let (text, meshes) = write_kept(record);
            self.want_meshes(meshes);
            self.want(key.clone(), Some(text));
        }
        let gone = |key: &&Key| !now.contains_key(*key) && key.store == Store::Record;
        // A session that is no longer in memory is not gone, and the draft of a boat that is put
        // away is kept for it: these are removed by name only.
        let gone = self.looked_at.keys().filter(gone).filter(|k| !is_draft(k));
        for key in gone.cloned().collect::<Vec<_>>() {
            self.want(key, None);
        }
        self.looked_at = now;
    }

    fn want(&mut self, key: Key, text: Option<String>) {
        if self.known.get(&key) == text.as_ref() {
            self.pending.remove(&key);
        } else {
            self.pending.insert(key, text);
        }
    }

    fn want_meshes(&mut self, meshes: KeptMeshes) {
        for (name, mesh) in meshes {
            if self.meshes.insert(name.clone()) {
                self.bytes.insert(Key::new(Store::Mesh, [&name]), mesh_to_bytes(&mesh));
            }
        }
    }

    /// Everything that is to be written, in one piece.
    fn changes(&self) -> Vec<StoreWrite> {
        let bytes = self.bytes.iter().map(|(k, b)| StoreWrite::Bytes(k.clone(), b.clone()));
        bytes
            .chain(self.pending.iter().map(|(k, t)| StoreWrite::Text(k.clone(), t.clone())))
            .collect()
    }

    /// What this window last saw in the place of each text to be written.
    fn bases(&self) -> HashMap<Key, String> {
        let of = |key: &Key| Some((key.clone(), self.known.get(key)?.clone()));
        self.pending.keys().filter_map(of).collect()
    }

    /// Notes what was written; what was changed again meanwhile stays to be written.
    fn written(&mut self, changes: &[StoreWrite], settled: &[(Key, Option<String>)]) {
        for change in changes {
            match change {
                StoreWrite::Bytes(key, _) => drop(self.bytes.remove(key)),
                StoreWrite::Text(key, text) => {
                    if self.pending.get(key) == Some(text) {
                        self.pending.remove(key);
                    }
                }
            }
        }
        for (key, text) in settled {
            self.know(key, text.clone());
        }
    }

    fn hear(&mut self, keys: Vec<Key>) {
        for key in keys {
            self.heard.insert(key, ());
        }
    }

    pub(super) fn know(&mut self, key: &Key, text: Option<String>) {
        if key.store == Store::Mesh && text.is_none() {
            // Bytes are never told: the mesh was removed, and is written again when it is named.
            self.meshes.retain(|name| key.words.first() != Some(name));
        }
        match text {
            Some(text) => self.known.insert(key.clone(), text),
            None => self.known.remove(key),
        };
    }

    /// Forgets that things which go by names made of their contents are there: they are written again
    /// when something names them.
    pub(super) fn forget_named(&mut self) {
        self.known.retain(|key, _| matches!(key.store, Store::Record | Store::Session));
        self.meshes.clear();
    }
}

fn is_draft(key: &Key) -> bool {
    super::records::boat_of_draft(key).is_some()
}

impl Desk {
    /// Starts keeping whatever changes, and listening to other windows.
    pub(crate) fn keep_changes(self) {
        self.take_up_forms();
        Effect::new(move |started: Option<()>| {
            self.diary.track();
            if started.is_some() || self.keeper.with_value(|k| k.turns) {
                self.keep();
            }
        });
        on_small_change(SETTINGS, move |text| {
            if let Ok(found) = read_kept(&text, &KeptMeshes::new()) {
                let differ = self.diary.with_untracked(|d| d.settings != found.settings);
                self.keeper.update_value(|k| k.settings = text);
                if differ {
                    self.take_settings(found.settings);
                }
            }
        });
        on_changes_elsewhere(move |keys| {
            self.keeper.update_value(|k| k.hear(keys));
            self.keep();
        });
    }

    /// Says at once that not all is kept, and sees to it as soon as the screen had its turn.
    pub(crate) fn keep(self) {
        if !matches!(self.keeping.get_untracked(), Keeping::Failed(_)) {
            self.keeping.set(Keeping::Writing);
        }
        let was_busy = self.keeper.try_update_value(|k| std::mem::replace(&mut k.busy, true));
        if was_busy == Some(false) {
            spawn_local(self.write_all());
        }
    }

    /// Waits until what was changed so far is written, or could not be.
    pub(crate) async fn until_written(self) {
        self.keep();
        while self.keeper.try_with_value(|k| k.busy) == Some(true) {
            next_turn().await;
        }
    }

    /// Writes something that is not in memory: a state, a picture, a session that was not opened.
    pub(crate) fn keep_too(self, changes: Vec<StoreWrite>) {
        self.keeper.update_value(|keeper| {
            for change in changes {
                match change {
                    StoreWrite::Text(key, text) => keeper.want(key, text),
                    StoreWrite::Bytes(key, bytes) => drop(keeper.bytes.insert(key, bytes)),
                }
            }
        });
        self.keep();
    }

    /// Takes over what others have kept, and writes until nothing is left to be written, or it fails.
    /// One thing after the other: while something is read or written, only the person changes what is
    /// in memory.
    async fn write_all(self) {
        let outcome = loop {
            next_turn().await;
            let taken = self.take_over().await;
            let looked = self.keeper.try_update_value(|keeper| {
                self.diary.with_untracked(|d| keeper.look_through(d));
                (keeper.changes(), keeper.bases())
            });
            let Some((changes, bases)) = looked else { return };
            if changes.is_empty() {
                break taken.map_or_else(Keeping::Failed, |()| Keeping::Kept);
            }
            let decide = |key: &Key, theirs: Option<&str>, mine: Option<&str>| {
                settle(bases.get(key).map(String::as_str), theirs, mine)
            };
            match write(&changes, decide).await {
                Ok(settled) => self.take_written(&changes, settled).await,
                Err(problem) => break Keeping::Failed(problem),
            }
        };
        // Nothing can have come between the last look and this: no turn was given.
        let saying = self.keeper.try_update_value(|k| {
            k.busy = false;
            if outcome == Keeping::Kept { k.saying.take() } else { None }
        });
        // Settings that are not kept are said even when the diary is.
        let outcome = match self.save_settings() {
            Err(problem) if outcome == Keeping::Kept => Keeping::Failed(problem),
            _ => outcome,
        };
        if outcome != Keeping::Kept {
            self.try_again_later();
        }
        self.keeping.set(outcome);
        if let Some(words) = saying.flatten() {
            self.say(words);
        }
    }

    /// What is in memory and not in the store.
    pub(super) fn unwritten(self) -> Vec<StoreWrite> {
        let changes = self.keeper.try_update_value(|keeper| {
            self.diary.with_untracked(|d| keeper.look_through(d));
            keeper.changes()
        });
        changes.unwrap_or_default()
    }

    /// What failed may work a little later, when nobody types any more.
    fn try_again_later(self) {
        let waits = self.keeper.try_update_value(|k| std::mem::replace(&mut k.waiting, true));
        if waits != Some(false) {
            return;
        }
        set_timeout(
            move || {
                self.keeper.update_value(|k| k.waiting = false);
                if matches!(self.keeping.get_untracked(), Keeping::Failed(_)) {
                    self.keep();
                }
            },
            AGAIN,
        );
    }

    fn save_settings(self) -> Result<(), StorageProblem> {
        let text = self.diary.with_untracked(|d| write_kept(&settings_record(&d.settings)).0);
        if self.keeper.with_value(|k| k.settings == text) {
            return Ok(());
        }
        save_small(SETTINGS, &text)?;
        self.keeper.update_value(|k| k.settings = text);
        Ok(())
    }

    /// Says something once the diary is kept; while it is not, nothing.
    pub(crate) fn say_when_kept(self, words: &str) {
        self.message.set(None);
        self.keeper.update_value(|k| k.saying = Some(words.to_owned()));
        self.keep();
    }

    async fn take_written(self, changes: &[StoreWrite], settled: Vec<(Key, Option<String>)>) {
        self.keeper.update_value(|keeper| keeper.written(changes, &settled));
        let keys: Vec<Key> = settled.iter().map(|(key, _)| key.clone()).collect();
        tell_others(&keys);
        self.log.note_keys(&settled);
        for change in changes {
            let StoreWrite::Text(key, mine) = change else { continue };
            let there = settled.iter().find(|(k, _)| k == key).map(|(_, text)| text.clone());
            if let Some(there) = there
                && there != *mine
            {
                self.adopt(key, mine.clone(), there).await;
            }
        }
    }

    /// Takes over what another window has kept, until nothing more was heard.
    async fn take_over(self) -> Result<(), StorageProblem> {
        loop {
            let heard = self.keeper.try_update_value(|k| std::mem::take(&mut k.heard));
            let keys: Vec<Key> = heard.into_iter().flatten().map(|(key, ())| key).collect();
            if keys.is_empty() {
                return Ok(());
            }
            let texts = match load(&keys).await {
                Ok(texts) => texts,
                Err(problem) => {
                    self.keeper.update_value(|k| k.hear(keys));
                    return Err(problem);
                }
            };
            let news: Vec<_> = keys.into_iter().zip(texts).collect();
            self.log.note_keys(&news);
            for (key, theirs) in news {
                let known = self.keeper.with_value(|k| k.known.get(&key).cloned());
                if known != theirs || key.store == Store::Mesh {
                    self.adopt(&key, known, theirs).await;
                }
            }
        }
    }

    /// Takes a record over into memory: `base` is what this window had there, `theirs` what is
    /// there. What was changed here meanwhile is joined with it.
    pub(super) async fn adopt(self, key: &Key, base: Option<String>, theirs: Option<String>) {
        // Meshes are brought first, which takes its time. From then on it is one step, so that nothing
        // that is typed meanwhile can be written over.
        let mut meshes = meshes_of(theirs.as_deref().map(kept_names).unwrap_or_default()).await;
        self.keeper.update_value(|k| k.know(key, theirs.clone()));
        if !matches!(key.store, Store::Record | Store::Session) {
            return;
        }
        let here = self.record(key);
        if key.store == Store::Session && here.is_none() && !self.goes_on(key) {
            // Not in memory: it is read when somebody looks at it.
            return self.keeper.update_value(|k| k.know(key, None));
        }
        let mine = here.as_ref().map(|record| {
            let (text, named) = write_kept(record);
            meshes.extend(named);
            text
        });
        let joined = settle(base.as_deref(), theirs.as_deref(), mine.as_deref()).text;
        if joined == mine {
            return;
        }
        // What cannot be read changes nothing here, and stays where it is.
        if let Ok(record) = joined.map(|text| read_kept(&text, &meshes)).transpose() {
            self.put_record(key, record.as_ref());
        }
    }

    /// True for the session that would go on with the boat in hand.
    fn goes_on(self, key: &Key) -> bool {
        let boat = self.diary.with_untracked(|d| d.draft.boat.clone());
        self.log.keys.with_untracked(|keys| latest_of(keys, &boat) == Some(key))
    }
}
