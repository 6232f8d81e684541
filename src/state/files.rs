//! Everything as one file: written for the builder to keep, and taken in again, looked at first.

use super::desk::Desk;
use super::keep::Keeping;
use super::load::changes_of;
use super::records::{Records, records};
use super::settings::turn_draft;
use crate::device::clock::{self, next_turn};
use crate::device::storage::{
    Change, Key, Settled, StorageProblem, Store, keys, load_all, load_bytes, save_small, write,
};
use crate::words::speech::units_of;
use crate::words::t;
use leptos::prelude::*;
use std::collections::BTreeSet;
use trimwright::diary::{
    Coming, Diary, DiaryError, Fate, KeptMeshes, Merged, MeshRecord, PictureBytes, RecordKind,
    SessionRecord, TableStyle, meshes_named, read, read_kept, readings_csv, write as write_file,
};
use trimwright::unit::Decimal;

/// Where it is noted when the last export was, and how many sessions it held.
const EXPORTED: &str = "trimwright.exported";
/// Sessions that are brought from the store in one go.
const AT_ONCE: usize = 200;

/// A file that was read and is not taken in yet.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Arriving {
    /// What is in it.
    pub(crate) diary: Diary,
    /// What becomes of each record.
    pub(crate) coming: Vec<Coming>,
    /// What is to be left out.
    pub(crate) left_out: BTreeSet<(RecordKind, String)>,
}

/// What can be taken back.
#[derive(Debug, Clone)]
pub(super) enum Taken {
    /// A change of some records: as they were before, and as it left them.
    Change(Box<[Records; 2]>),
    /// Everything.
    Everything(Box<Diary>),
}

/// Everything as a file.
pub(crate) struct Exported {
    /// Its name.
    pub(crate) name: String,
    /// Its text.
    pub(crate) text: String,
    /// Sessions that could not be read and are not in it.
    pub(crate) unread: usize,
}

/// Everything on the phone, and how many sessions could not be read.
struct Whole {
    /// The diary.
    diary: Diary,
    /// Sessions that are left out of it.
    unread: usize,
}

impl Desk {
    /// Everything that is kept: what is in memory as it is there, the rest from the store.
    async fn whole(self) -> Whole {
        let mut diary = self.diary.get_untracked();
        let mut unread = 0;
        let in_memory: BTreeSet<Key> = records(&diary).into_keys().collect();
        let stored = keys(Store::Session).await.unwrap_or_default();
        let wanted: Vec<Key> = stored.into_iter().filter(|key| !in_memory.contains(key)).collect();
        for some in wanted.chunks(AT_ONCE) {
            for found in self.sessions(some).await {
                match found {
                    Some(Ok(session)) => diary.sessions.push(session),
                    Some(Err(_)) => unread += 1,
                    None => {}
                }
            }
            next_turn().await;
        }
        diary.sessions.sort_by(|a, b| (&a.started_at, &a.id).cmp(&(&b.started_at, &b.id)));
        add_states(&mut diary).await;
        add_pictures(&mut diary).await;
        Whole { diary, unread }
    }

    /// Everything as a file. It is noted as exported.
    pub(crate) async fn export(self) -> Exported {
        let whole = self.whole().await;
        let name = format!("trimwright-{}.json", today());
        let text = write_file(&whole.diary);
        let sessions = self.log.keys.with_untracked(|k| k.len());
        // Without a small store there is no reminder; the export itself is what counts.
        let _noted = save_small(EXPORTED, &sessions.to_string());
        self.exported.set(Some(sessions));
        Exported { name, text, unread: whole.unread }
    }

    /// All readings as a table for a spreadsheet: its name and its text.
    pub(crate) async fn table(self) -> (String, String) {
        let whole = self.whole().await.diary;
        let style = match units_of(&whole.settings).decimal {
            Decimal::Point => TableStyle::Point,
            Decimal::Comma => TableStyle::Comma,
        };
        (format!("trimwright-readings-{}.csv", today()), readings_csv(&whole, style))
    }

    /// Sessions since the last export.
    pub(crate) fn sessions_since_export(self) -> usize {
        let all = self.log.keys.with(|k| k.len());
        all.saturating_sub(self.exported.get().unwrap_or(0))
    }

    /// Reads a file and shows what would come of it; nothing is changed yet.
    pub(crate) async fn look_at_file(self, text: &str) -> Result<(), DiaryError> {
        let diary = read(text)?;
        let here = self.whole().await.diary;
        let coming = here.compare(&diary);
        self.arriving.set(Some(Arriving { diary, coming, left_out: BTreeSet::new() }));
        Ok(())
    }

    /// Takes in what is arriving, all of it or nothing.
    ///
    /// # Errors
    /// [`StorageProblem`] when the phone does not take it; then nothing changes.
    pub(crate) async fn take_in(self) -> Result<Merged, StorageProblem> {
        let Some(arriving) = self.arriving.get_untracked() else { return Ok(Merged::default()) };
        let here = self.whole().await.diary;
        let before = changes_of(&here);
        let mut new = here.clone();
        let mut coming = arriving.diary;
        coming.leave_out(&arriving.left_out);
        let merged = new.merge(coming);
        let is_there: BTreeSet<&Key> = before.iter().map(key_of).collect();
        let changed = |change: &Change| match change {
            Change::Bytes(key, _) => !is_there.contains(key),
            Change::Text(..) => !before.contains(change),
        };
        let changes: Vec<Change> = changes_of(&new).into_iter().filter(changed).collect();
        let settled =
            write(&changes, |_, _, new| Settled { text: new.map(str::to_owned), aside: None });
        let settled = settled.await?;
        self.keeper.update_value(|keeper| {
            for (key, text) in &settled {
                if key.store == Store::Record
                    && let Some(text) = text
                {
                    keeper.known.insert(key.clone(), text.clone());
                }
            }
        });
        self.log.note_keys(&settled);
        let mut came = None;
        self.diary.update(|d| {
            let Diary { boats, checks, materials, extra, draft, settings, .. } = new;
            (d.boats, d.checks, d.materials, d.extra) = (boats, checks, materials, extra);
            d.draft = draft;
            came = Some(settings);
        });
        if let Some(settings) = came {
            self.take_settings(settings);
        }
        self.arriving.set(None);
        Ok(merged)
    }

    /// Empties the diary. Can be undone while the app stays open.
    pub(crate) async fn clear(self) -> Result<(), StorageProblem> {
        let whole = self.whole().await.diary;
        let mut all = Vec::new();
        for store in [Store::Record, Store::Session, Store::State, Store::Mesh, Store::Picture] {
            all.extend(keys(store).await?.into_iter().map(|key| Change::Text(key, None)));
        }
        let gone = write(&all, |_, _, _| Settled { text: None, aside: None }).await?;
        self.log.note_keys(&gone);
        let settings = whole.settings.clone();
        self.keeper.update_value(|k| *k = super::keep::Keeper::default());
        self.leave_form();
        let mut empty = Diary { settings, ..Diary::default() };
        turn_draft(&mut empty);
        self.diary.set(empty);
        self.undo.set(Some(Taken::Everything(Box::new(whole))));
        self.say(t!("files.cleared"));
        Ok(())
    }

    /// Changes something in a way that can be taken back.
    pub(super) fn act(self, message: &str, change: impl FnOnce(&mut Diary)) {
        self.act_by(message, || self.diary.update(change));
    }

    /// As [`Self::act`], for a change that other methods of the desk make.
    pub(super) fn act_by(self, message: &str, act: impl FnOnce()) {
        let before = self.diary.with_untracked(records);
        act();
        let after = self.diary.with_untracked(records);
        self.undo.set(Some(Taken::Change(Box::new([before, after]))));
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
        match taken {
            Taken::Change(records) => {
                let [before, after] = *records;
                self.diary.update(|d| super::records::take_back(d, &before, &after));
                self.say(t!("diary.put_back"));
            }
            Taken::Everything(whole) => {
                leptos::task::spawn_local(async move { self.put_back(*whole).await });
            }
        }
    }

    async fn put_back(self, whole: Diary) {
        let sessions = whole.sessions.len();
        self.arriving.set(Some(Arriving {
            diary: whole,
            coming: Vec::new(),
            left_out: BTreeSet::new(),
        }));
        match self.take_in().await {
            Ok(_) if sessions > 0 => self.open_latest().await,
            Ok(_) => {}
            Err(problem) => {
                self.keeping.set(Keeping::Failed(problem));
                return;
            }
        }
        self.say(t!("diary.put_back"));
    }
}

fn key_of(change: &Change) -> &Key {
    match change {
        Change::Text(key, _) | Change::Bytes(key, _) => key,
    }
}

/// Today, as in the names of files.
pub(super) fn today() -> String {
    clock::now_iso().chars().take(10).collect()
}

/// What the last export held, if there was one.
pub(super) fn exported() -> Option<usize> {
    crate::device::storage::load_small(EXPORTED).ok()??.parse().ok()
}

/// Adds the boats as they were that the sessions name, and the meshes that only they name.
async fn add_states(diary: &mut Diary) {
    let kept = load_all(Store::State).await.unwrap_or_default();
    let wanted: BTreeSet<&str> = diary.sessions.iter().flat_map(SessionRecord::states).collect();
    let mut found = Diary::default();
    for (key, text) in kept {
        let named = key.words.first().is_some_and(|name| wanted.contains(name.as_str()));
        if named && let Ok(one) = read_kept(&text, &KeptMeshes::new()) {
            found.states.extend(one.states);
        }
    }
    let meshes: BTreeSet<String> = found.states.values().flat_map(meshes_named).collect();
    for name in meshes {
        if !diary.has_mesh(&name)
            && let Some(mesh) = super::load::mesh_of(&name).await
        {
            diary.meshes.insert(name, MeshRecord::new(mesh));
        }
    }
    diary.states.extend(found.states);
}

async fn add_pictures(diary: &mut Diary) {
    let names: BTreeSet<String> =
        diary.sessions.iter().flat_map(SessionRecord::pictures).map(str::to_owned).collect();
    for name in names {
        let key = Key::new(Store::Picture, [&name]);
        if let Ok(Some(bytes)) = load_bytes(&key).await {
            diary.pictures.insert(name, PictureBytes::new("image/jpeg", &bytes));
        }
    }
}

/// How many of those that come have a fate.
pub(crate) fn count(coming: &[Coming], fate: Fate) -> usize {
    coming.iter().filter(|c| c.fate == fate).count()
}
