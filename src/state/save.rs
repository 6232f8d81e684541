//! Loads once, before the first screen; the one effect that stores. Large meshes are kept apart
//! from the text.

use super::desk::Desk;
use crate::device::bulk;
use crate::device::storage::{self, StorageProblem};
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::collections::BTreeSet;
use std::sync::Arc;
use trimwright::diary::{
    Diary, KeptMeshes, kept_names, mesh_from_bytes, mesh_to_bytes, read, read_kept, write_kept,
};

/// Where everything is kept.
const NAME: &str = "trimwright.diary";
/// Where a text that could not be read is set aside.
const ASIDE: &str = "trimwright.set-aside";

/// A kept text that could not be read: it is set aside untouched and can be saved as a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct KeptApart {
    /// Why it could not be read.
    pub(crate) why: String,
    /// The text itself.
    pub(crate) text: String,
}

/// What was kept, and what is known of it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Loaded {
    /// The diary; a new one when there was nothing.
    pub(crate) diary: Diary,
    /// A text that could not be read.
    pub(crate) kept_apart: Option<KeptApart>,
    /// Why nothing is being kept, if so.
    pub(crate) problem: Option<StorageProblem>,
    /// The names of the meshes that are kept.
    pub(crate) meshes: BTreeSet<String>,
}

/// Loads what was kept. The large meshes are asked for by the names in the text: the usual start
/// waits for nothing.
pub(crate) async fn load() -> Loaded {
    let kept_apart = set_aside();
    let text = match storage::load(NAME) {
        Err(problem) => return Loaded { problem: Some(problem), ..Loaded::default() },
        Ok(None) => return Loaded { kept_apart, ..Loaded::default() },
        Ok(Some(text)) => text,
    };
    let (meshes, problem) = load_meshes(&text).await;
    match read_kept(&text, &meshes) {
        Ok(diary) => Loaded { diary, kept_apart, problem, meshes: meshes.into_keys().collect() },
        Err(why) => {
            // It is written aside before anything else is stored, so nothing overwrites it.
            let problem = storage::save(ASIDE, &text).err();
            let kept_apart = Some(KeptApart { why: why.to_string(), text });
            Loaded { kept_apart, problem, ..Loaded::default() }
        }
    }
}

/// The large meshes that a kept text names; most texts name none.
async fn load_meshes(text: &str) -> (KeptMeshes, Option<StorageProblem>) {
    let mut meshes = KeptMeshes::new();
    for name in kept_names(text) {
        match bulk::load(&name).await {
            Ok(bytes) => {
                // One that is gone or damaged leaves its part without a shape, and says so there.
                let mesh = bytes.and_then(|bytes| mesh_from_bytes(&bytes).ok());
                meshes.extend(mesh.map(|mesh| (name, Arc::new(mesh))));
            }
            Err(problem) => return (meshes, Some(problem)),
        }
    }
    (meshes, None)
}

fn set_aside() -> Option<KeptApart> {
    let text = storage::load(ASIDE).ok().flatten().filter(|t| !t.is_empty())?;
    let why = read(&text).err().map_or_else(String::new, |e| e.to_string());
    Some(KeptApart { why, text })
}

/// Stores the diary whenever it changes: a new large mesh first, then the text that names it, so
/// that no kept text names a mesh that is not there, unless the database refused it, which is said.
/// Meshes of removed boats stay: another tab, or an undo, may still want them.
pub(crate) fn store_on_change(desk: Desk, meshes: BTreeSet<String>) {
    // What could not be set aside must not be overwritten: then nothing is stored at all.
    let locked = desk.kept_apart.with_untracked(Option::is_some)
        && desk.storage_problem.with_untracked(Option::is_some);
    let known = StoredValue::new(meshes);
    let writing = StoredValue::new(false);
    // A mesh that the database did not take: said until the app is closed, whatever else is kept.
    let unkept = StoredValue::new(None::<StorageProblem>);
    let again = RwSignal::new(0_u32);
    Effect::new(move |before: Option<String>| {
        again.track();
        let (text, meshes) = desk.diary.with(write_kept);
        if locked || before.as_ref() == Some(&text) || writing.get_value() {
            return before.unwrap_or(text);
        }
        let new: KeptMeshes = known.with_value(|known| {
            meshes.into_iter().filter(|(name, _)| !known.contains(name)).collect()
        });
        if new.is_empty() {
            desk.report_storage(storage::save(NAME, &text).err().or(unkept.get_value()));
            return text;
        }
        writing.set_value(true);
        spawn_local(async move {
            for (name, mesh) in new {
                match bulk::save(&name, &mesh_to_bytes(&mesh)).await {
                    Ok(()) => {}
                    Err(why) => unkept.set_value(Some(why)),
                }
                // Tried once: one that was refused is refused again, and the rest must be kept.
                known.update_value(|known| {
                    known.insert(name);
                });
            }
            writing.set_value(false);
            again.update(|n| *n += 1);
        });
        before.unwrap_or_default()
    });
}
