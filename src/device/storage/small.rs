//! The small store: short texts under names, read and written at once.

use super::StorageProblem;
use gloo_storage::{LocalStorage, SessionStorage, Storage};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;

/// The text kept under a name.
pub(crate) fn load_small(name: &str) -> Result<Option<String>, StorageProblem> {
    local()?.get_item(name).map_err(|_refused| StorageProblem::Closed)
}

/// Keeps a text under a name.
pub(crate) fn save_small(name: &str, text: &str) -> Result<(), StorageProblem> {
    local()?.set_item(name, text).map_err(|_refused| StorageProblem::Full)
}

/// Removes what is kept under a name.
pub(crate) fn forget_small(name: &str) {
    if let Ok(store) = local() {
        // What is not there need not be removed.
        let _removed = store.remove_item(name);
    }
}

/// What this window keeps under a name for itself.
pub(crate) fn load_small_of_window(name: &str) -> Option<String> {
    let found = leptos::prelude::window().session_storage();
    matches!(found, Ok(Some(_))).then(|| SessionStorage::raw().get_item(name).ok().flatten())?
}

/// Keeps a text for this window, while it is open. Without a store nothing is kept: it may be lost.
pub(crate) fn save_small_of_window(name: &str, text: &str) {
    if let Ok(Some(_)) = leptos::prelude::window().session_storage() {
        let _kept = SessionStorage::raw().set_item(name, text);
    }
}

/// Calls back with the new text whenever another window changes what is kept under a name.
pub(crate) fn on_small_change(name: &'static str, call: impl Fn(String) + 'static) {
    let heard = Closure::<dyn Fn(web_sys::StorageEvent)>::new(move |ev: web_sys::StorageEvent| {
        if ev.key().as_deref() == Some(name)
            && let Some(text) = ev.new_value()
        {
            call(text);
        }
    });
    let window = leptos::prelude::window();
    // Adding a listener for an ordinary event cannot fail.
    let _added = window.add_event_listener_with_callback("storage", heard.as_ref().unchecked_ref());
    // It listens as long as the app runs.
    heard.forget();
}

fn local() -> Result<web_sys::Storage, StorageProblem> {
    // The binding panics in a browser that shuts the store; so ask first whether it is there.
    let found = leptos::prelude::window().local_storage();
    match found {
        Ok(Some(_)) => Ok(LocalStorage::raw()),
        _ => Err(StorageProblem::Closed),
    }
}
