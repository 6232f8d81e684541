//! Removing, and taking that back.

use super::desk::Desk;
use super::files::AT_ONCE;
use super::keep::Keeping;
use super::load::load_kept;
use super::log::DiaryPage;
use super::records::{Records, records, take_back};
use super::settle::settle;
use crate::device::clock::next_turn;
use crate::device::storage::{
    Key, ResolvedText, StorageProblem, Store, StoreWrite, copies, keys, tell_others, write,
};
use crate::words::{self, t};
use leptos::task::spawn_local;
use litemap::LiteMap;
use trimwright::diary::{Diary, KeptMeshes, read_kept};

/// Longest wait for a write to end, in turns of the screen.
const PATIENCE: usize = 2_000;

/// What can be taken back.
#[derive(Debug, Clone)]
pub(super) enum Removed {
    /// A change of some records: as they were before, and as it left them.
    Change(Box<[Records; 2]>),
    /// Everything.
    Everything(Box<Everything>),
}

/// Everything that was removed.
#[derive(Debug, Clone)]
pub(super) struct Everything {
    /// As it was kept, or was to be.
    kept: Vec<StoreWrite>,
    /// How many sessions the last export held.
    exported: Option<usize>,
}

/// What goes when everything is removed, which is what can be put back.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Removable {
    /// As it is kept.
    kept: Vec<StoreWrite>,
    /// How many sessions are in it.
    pub(crate) sessions: usize,
    /// How many bytes it is.
    pub(crate) bytes: usize,
    /// How many texts cannot be read and stay.
    pub(crate) unreadable: usize,
}

impl Desk {
    /// What would go if everything were removed: all that can be read. While there is something that
    /// cannot, whatever that may name stays too.
    ///
    /// # Errors
    /// [`StorageProblem`] when not all of it can be looked at.
    pub(crate) async fn removable(self) -> Result<Removable, StorageProblem> {
        let mut kept = Vec::new();
        let mut unreadable = keys(Store::Apart).await?.len();
        for store in [Store::Record, Store::Session] {
            for one in all_of(store).await? {
                let text =
                    if let StoreWrite::Text(_, text) = &one { text.as_deref() } else { None };
                if text.is_some_and(|text| read_kept(text, &KeptMeshes::new()).is_ok()) {
                    kept.push(one);
                } else {
                    unreadable += 1;
                }
            }
        }
        let sessions = kept.iter().filter(|one| one.key().store == Store::Session).count();
        if unreadable == 0 {
            for store in [Store::State, Store::Mesh, Store::Picture] {
                kept.extend(all_of(store).await?);
            }
        }
        let bytes = kept.iter().map(StoreWrite::size).sum();
        Ok(Removable { kept, sessions, bytes, unreadable })
    }

    /// Removes everything that can be read. Can be put back until something else is removed or the app
    /// is closed. What another window changed meanwhile stays.
    pub(crate) async fn remove_everything(self) {
        self.has_written().await;
        let unwritten = self.unwritten();
        let Ok(Removable { kept, sessions, bytes, unreadable }) = self.removable().await else {
            return self.say(t!("files.nothing_removed"));
        };
        let all: Vec<StoreWrite> =
            kept.iter().map(|c| StoreWrite::Text(c.key().clone(), None)).collect();
        let as_it_was: LiteMap<&Key, &StoreWrite> = kept.iter().map(|c| (c.key(), c)).collect();
        let settle = |key: &Key, there: Option<&str>, _: Option<&str>| {
            let same = match as_it_was.get(key) {
                Some(StoreWrite::Text(_, text)) => text.as_deref() == there,
                _ => true,
            };
            ResolvedText { text: there.filter(|_| !same).map(str::to_owned), aside: None }
        };
        let Ok(gone) = write(&all, settle).await else {
            return self.say(t!("files.nothing_removed"));
        };
        // Of two under one key the last.
        let all = kept.iter().cloned().chain(unwritten);
        let by_key: LiteMap<Key, StoreWrite> = all.map(|c| (c.key().clone(), c)).collect();
        let exported = self.exported.get_untracked();
        self.note_exported(None);
        self.begin_anew(&gone).await;
        let kept = by_key.into_iter().map(|(_, change)| change).collect();
        self.undo.set(Some(Removed::Everything(Box::new(Everything { kept, exported }))));
        self.log.page.set(DiaryPage::Files);
        let size = words::file::size(bytes);
        let mut said = t!("files.cleared", count = sessions, size = size);
        if unreadable > 0 {
            said = format!("{said} {}", t!("files.not_cleared", count = unreadable));
        }
        self.say(said);
    }

    /// Changes something in a way that can be taken back.
    pub(super) fn act(self, message: &str, change: impl FnOnce(&mut Diary)) {
        self.act_by(message, || self.diary.update(change));
    }

    /// As [`Self::act`], for a change that other methods of the desk make.
    pub(super) fn act_by(self, message: &str, act: impl FnOnce()) {
        // One thing can be taken back: what was done to the boat before is not it any more.
        self.just_done.set(None);
        let before = self.diary.with_untracked(records);
        act();
        let after = self.diary.with_untracked(records);
        self.undo.set(Some(Removed::Change(Box::new([before, after]))));
        self.message.set(Some(message.to_owned()));
    }

    /// True when something can be taken back.
    pub(crate) fn can_undo(self) -> bool {
        self.undo.with(Option::is_some)
    }

    /// Takes back the last removal; what was changed since stays changed.
    pub(crate) fn undo(self) {
        let Some(taken) = self.undo.get_untracked() else { return };
        self.undo.set(None);
        self.just_done.set(None);
        match taken {
            Removed::Change(records) => {
                let [before, after] = *records;
                self.diary.update(|d| take_back(d, &before, &after));
                self.say(t!("diary.put_back"));
            }
            Removed::Everything(everything) => {
                spawn_local(async move { self.put_back(everything).await });
            }
        }
    }

    async fn put_back(self, everything: Box<Everything>) {
        self.has_written().await;
        // What was made since under the same name is joined with it.
        let back = write(&everything.kept, |_, there, mine| settle(None, there, mine)).await;
        let Ok(back) = back else {
            // It can be tried again.
            self.undo.set(Some(Removed::Everything(everything)));
            return self.say(t!("files.not_put_back"));
        };
        self.begin_anew(&back).await;
        self.note_exported(everything.exported);
        self.say(t!("diary.put_back"));
    }

    /// Begins with what is in the store, as at a start, and lets other windows know what has changed there.
    async fn begin_anew(self, changed: &[(Key, Option<String>)]) {
        let keys: Vec<Key> = changed.iter().map(|(key, _)| key.clone()).collect();
        tell_others(&keys);
        self.restart(load_kept().await);
    }

    /// Asks again for what could not be read at the start.
    pub(crate) async fn load_again(self) {
        self.has_written().await;
        self.restart(load_kept().await);
    }

    /// Waits until what is being written is written, or could not be.
    pub(super) async fn has_written(self) {
        for _ in 0..PATIENCE {
            if self.keeping.get_untracked() != Keeping::Writing {
                break;
            }
            next_turn().await;
        }
    }
}

/// All that is on a shelf.
async fn all_of(store: Store) -> Result<Vec<StoreWrite>, StorageProblem> {
    let mut all = Vec::new();
    for some in keys(store).await?.chunks(AT_ONCE) {
        all.extend(copies(some).await?);
        next_turn().await;
    }
    Ok(all)
}
