//! Keys that undo and redo, wherever the focus is.

use leptos::ev::keydown;
use leptos::prelude::{on_cleanup, window_event_listener};
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent};

/// Where what is typed is undone by the browser itself.
const TYPED_INTO: &str = "input:not([type=checkbox]):not([type=range]),textarea,[contenteditable]";

/// Undoes by Ctrl+Z and does again by Ctrl+Y or Ctrl+Shift+Z (the command key on a Mac) while the view is there.
pub(crate) fn undo_keys(undo: impl Fn() + 'static, redo: impl Fn() + 'static) {
    let handle = window_event_listener(keydown, move |ev| {
        if !(ev.ctrl_key() || ev.meta_key()) || ev.alt_key() || is_typed_into(&ev) {
            return;
        }
        match (ev.key().to_ascii_lowercase().as_str(), ev.shift_key()) {
            ("z", false) => undo(),
            ("y", false) | ("z", true) => redo(),
            _ => return,
        }
        ev.prevent_default();
    });
    on_cleanup(move || handle.remove());
}

fn is_typed_into(ev: &KeyboardEvent) -> bool {
    let at = ev.target().and_then(|t| t.dyn_into::<Element>().ok());
    at.is_some_and(|e| e.matches(TYPED_INTO).unwrap_or(false))
}
