//! What is kept on the phone, as text under a name.

use gloo_storage::{LocalStorage, Storage};

/// Why something was not kept or not found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum StorageProblem {
    /// The store is full.
    Full,
    /// The browser allows no store here (a private window, or it is switched off).
    Closed,
}

/// The text kept under a name.
pub(crate) fn load(name: &str) -> Result<Option<String>, StorageProblem> {
    let store = storage()?;
    store.get_item(name).map_err(|_refused| StorageProblem::Closed)
}

/// Keeps a text under a name.
pub(crate) fn save(name: &str, text: &str) -> Result<(), StorageProblem> {
    storage()?.set_item(name, text).map_err(|_refused| StorageProblem::Full)
}

fn storage() -> Result<web_sys::Storage, StorageProblem> {
    // The binding panics in a browser that shuts the store; so ask first whether it is there.
    let found = leptos::prelude::window().local_storage();
    match found {
        Ok(Some(_)) => Ok(LocalStorage::raw()),
        _ => Err(StorageProblem::Closed),
    }
}
