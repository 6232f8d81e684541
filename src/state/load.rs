//! Loads what is kept, once, before the first screen. What can't be read stays where it is, is shown
//! and can be saved; the rest goes on.

use super::keep::{Keeper, SETTINGS};
use super::log::latest_of;
use super::records::{boat_of_draft, records, session_of_key, settings_record};
use super::settings::turn_draft;
use super::speaking::bring_words;
use crate::device::language::of_phone;
use crate::device::storage::{
    Key, ResolvedText, StorageProblem, Store, StoreWrite, forget_small, keys, load, load_all,
    load_bytes, load_small, load_small_of_window, save_small, write,
};
use crate::words::speak_language;
use crate::words::speech::{follow_phone, language_of};
use litemap::LiteMap;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;
use trimwright::diary::{
    Diary, DiaryError, Draft, KeptMeshes, MeshRecord, Settings, kept_names, mesh_from_bytes,
    mesh_to_bytes, read, read_kept, write_kept,
};
use trimwright::geometry::Mesh;

/// Where versions 1 and 2 of the app kept everything, as one text.
const ONE_TEXT: &str = "trimwright.diary";
/// Where they set aside a text that could not be read.
const ONE_ASIDE: &str = "trimwright.set-aside";
/// How often what is kept is asked for.
const TRIES: usize = 2;
/// Which boat is in hand: of this window, and of the last one.
pub(super) const IN_HAND: &str = "trimwright.boat";

/// A kept text that could not be read: it stays where it is and can be saved as a file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Apart {
    /// Where it is.
    pub(crate) key: Key,
    /// Why it could not be read.
    pub(crate) why: DiaryError,
    /// The text itself.
    pub(crate) text: String,
}

/// What was kept, and what is known of it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Loaded {
    /// What is in memory while the app runs.
    pub(crate) diary: Diary,
    /// The keys of all sessions, oldest first.
    pub(crate) sessions: Vec<Key>,
    /// What could not be read.
    pub(crate) apart: Vec<Apart>,
    /// Why what was kept could not be read, if so.
    pub(crate) problem: Option<StorageProblem>,
    /// The texts as they are kept.
    pub(super) known: HashMap<Key, String>,
    /// The names of the meshes that are kept.
    pub(super) meshes: HashSet<String>,
    /// What is typed for boats that are not in hand.
    pub(super) drafts: LiteMap<String, Draft>,
    /// What is in memory in another form than in the store, where an older version of the app put it.
    turned: LiteMap<Key, ()>,
}

impl Loaded {
    /// The keeper that goes on from here.
    pub(super) fn keeper(&self) -> Keeper {
        Keeper::new(self.known.clone(), self.meshes.clone(), &self.diary, &self.turned)
    }

    fn take(&mut self, key: Key, text: String, meshes: &KeptMeshes) {
        match read_kept(&text, meshes) {
            Ok(one) => {
                if key.store == Store::Record && !one.sessions.is_empty() {
                    self.turned.insert(key.clone(), ());
                }
                self.diary.boats.extend(one.boats);
                self.diary.checks.extend(one.checks);
                self.diary.sessions.extend(one.sessions);
                self.diary.materials.extend(one.materials);
                self.diary.extra.extend(one.extra);
                if boat_of_draft(&key).is_some() {
                    self.drafts.insert(one.draft.boat.clone(), one.draft);
                }
                self.known.insert(key, text);
            }
            Err(why) => self.apart.push(Apart { key, why, text }),
        }
    }
}

/// Loads what was kept: everything but the sessions, and of these the one that may go on.
pub(crate) async fn load_kept() -> Loaded {
    let mut loaded = Loaded::default();
    for _ in 0..TRIES {
        loaded = Loaded::default();
        loaded.problem = load_into(&mut loaded).await.err();
        if loaded.problem.is_none() {
            break;
        }
    }
    follow_phone(&of_phone());
    loaded.diary.settings = load_settings();
    // What is wrong with what was kept is said before the first screen, and nothing is seen in another language first.
    let language = language_of(&loaded.diary.settings);
    bring_words(language).await;
    speak_language(language);
    turn_draft(&mut loaded.diary);
    loaded
}

fn load_settings() -> Settings {
    // Settings that cannot be read are as good as none; nothing else hangs on them.
    let text = load_small(SETTINGS).ok().flatten().unwrap_or_default();
    read(&text).map_or_else(|_unreadable| Settings::default(), |d| d.settings)
}

async fn load_into(loaded: &mut Loaded) -> Result<(), StorageProblem> {
    take_in_one_text().await?;
    let texts = load_all(Store::Record).await?;
    let meshes = meshes_of(texts.iter().flat_map(|(_, text)| kept_names(text)).collect()).await;
    for (key, text) in texts {
        loaded.take(key, text, &meshes);
    }
    loaded.meshes = meshes.into_iter().map(|(name, _)| name).collect();
    for (key, text) in load_all(Store::Apart).await? {
        let why = read(&text).err().unwrap_or(DiaryError::Foreign);
        loaded.apart.push(Apart { key, why, text });
    }
    loaded.sessions = keys(Store::Session).await?;
    place_leans(loaded).await?;
    let boat = boat_in_hand(loaded);
    if let Some(latest) = latest_of(&loaded.sessions, &boat)
        && !loaded.known.contains_key(latest)
        && let Some(text) = load(std::slice::from_ref(latest)).await?.pop().flatten()
    {
        loaded.take(latest.clone(), text, &KeptMeshes::new());
    }
    let draft = loaded.drafts.get(&boat).cloned();
    loaded.diary.draft = draft.unwrap_or_else(|| {
        let water = loaded.drafts.values().next().cloned().unwrap_or_default();
        water.for_boat(boat)
    });
    Ok(())
}

/// Boats of version 3 of the file come with sessions made of the leans that were seen of them: the leans go into
/// those during which they were noted. All that is so changed is written at once; until it is, nothing in the
/// store has changed, and the next start does the same.
async fn place_leans(loaded: &mut Loaded) -> Result<(), StorageProblem> {
    let made = std::mem::take(&mut loaded.diary.sessions);
    let mut wanted: Vec<Key> = Vec::new();
    for (boat, at) in made.iter().flat_map(|s| s.entries.iter().map(|e| (&s.boat, &e.at))) {
        let had_begun = |key: &&Key| {
            session_of_key(key).is_some_and(|(began, of)| of == boat && began <= at.as_str())
        };
        wanted.extend(loaded.sessions.iter().rev().find(had_begun).cloned());
    }
    wanted.sort();
    wanted.dedup();
    for (key, text) in wanted.iter().zip(load(&wanted).await?) {
        if let Some(text) = text {
            loaded.take(key.clone(), text, &KeptMeshes::new());
        }
    }
    for key in wanted {
        loaded.turned.insert(key, ());
    }
    loaded.diary.take_leans(made);
    Ok(())
}

/// The boat that this window had in hand, or the last window, if it is still there.
fn boat_in_hand(loaded: &Loaded) -> String {
    let known = |id: &String| loaded.diary.boat(id).is_some();
    let of_window = load_small_of_window(IN_HAND).filter(known);
    let of_phone = || load_small(IN_HAND).ok().flatten().filter(known);
    let last = || loaded.diary.boats.last().map(|b| b.id.clone());
    of_window.or_else(of_phone).or_else(last).unwrap_or_default()
}

/// Kept meshes by their names. One that is gone or damaged leaves its part without a shape, and says so there.
pub(super) async fn meshes_of(names: Vec<String>) -> KeptMeshes {
    let mut meshes = KeptMeshes::new();
    for name in names {
        if let Some(mesh) = mesh_of(&name).await {
            meshes.insert(name, mesh);
        }
    }
    meshes
}

/// A kept mesh by its name.
pub(super) async fn mesh_of(name: &str) -> Option<Arc<Mesh>> {
    let bytes = load_bytes(&Key::new(Store::Mesh, [name])).await.ok()??;
    mesh_from_bytes(&bytes).ok().map(Arc::new)
}

/// Earlier versions of the app kept everything as one text in the small store. It is taken in record
/// by record, and removed only once that is confirmed; what could not be read of it is put aside.
async fn take_in_one_text() -> Result<(), StorageProblem> {
    let texts = [ONE_TEXT, ONE_ASIDE].map(|name| {
        let text = load_small(name).ok().flatten();
        text.filter(|t| !t.is_empty()).map(|text| (name, text))
    });
    for (name, text) in texts.into_iter().flatten() {
        let changes = match read_whole(&text).await {
            Ok(diary) => {
                take_in_settings(&diary)?;
                changes_of(&diary)
            }
            Err(_unreadable) => {
                vec![StoreWrite::Text(Key::new(Store::Apart, [name]), Some(text))]
            }
        };
        // What is there already was changed since: it is not gone back to.
        let settle = |_: &Key, there: Option<&str>, new: Option<&str>| ResolvedText {
            text: there.or(new).map(str::to_owned),
            aside: None,
        };
        write(&changes, settle).await?;
        forget_small(name);
    }
    Ok(())
}

/// The settings of an earlier version, and which boat it had in hand, unless they were set since.
fn take_in_settings(diary: &Diary) -> Result<(), StorageProblem> {
    let settings = write_kept(&settings_record(&diary.settings)).0;
    for (name, text) in [(SETTINGS, &settings), (IN_HAND, &diary.draft.boat)] {
        if load_small(name)?.is_none() {
            save_small(name, text)?;
        }
    }
    Ok(())
}

async fn read_whole(text: &str) -> Result<Diary, DiaryError> {
    read_kept(text, &meshes_of(kept_names(text)).await)
}

/// All that a whole diary comes to in the store, but for its settings.
pub(super) fn changes_of(diary: &Diary) -> Vec<StoreWrite> {
    let mut changes = Vec::new();
    let mut put_meshes = |meshes: KeptMeshes| {
        for (name, mesh) in meshes {
            changes.push(StoreWrite::Bytes(Key::new(Store::Mesh, [&name]), mesh_to_bytes(&mesh)));
        }
    };
    let mut texts = Vec::new();
    for (key, record) in records(diary) {
        let (text, meshes) = write_kept(&record);
        put_meshes(meshes);
        texts.push(StoreWrite::Text(key, Some(text)));
    }
    let kept = |(name, mesh): (&String, &MeshRecord)| Some((name.clone(), mesh.mesh().ok()?));
    put_meshes(diary.meshes.iter().filter_map(kept).collect());
    for (name, state) in &diary.states {
        texts.push(state_change(name, state.clone()));
    }
    for (name, picture) in &diary.pictures {
        if let Some(bytes) = picture.bytes() {
            changes.push(StoreWrite::Bytes(Key::new(Store::Picture, [name]), bytes));
        }
    }
    changes.extend(texts);
    changes
}

/// A boat as it was, as it is written.
pub(super) fn state_change(name: &str, state: trimwright::diary::BoatRecord) -> StoreWrite {
    let mut one = Diary::default();
    one.states.insert(name.to_owned(), state);
    StoreWrite::Text(Key::new(Store::State, [name]), Some(write_kept(&one).0))
}
