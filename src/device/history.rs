//! The browser's history, by which the phone's own way back goes. Every entry is of the app's one
//! address and differs by a text alone: no server and no worker need know of places within the app.

use leptos::prelude::{document, window, window_event_listener_untyped};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{History, PopStateEvent, ScrollRestoration};

/// None where the page may not touch it (a frame within a strange page).
fn history() -> Option<History> {
    window().history().ok()
}

/// The text of the entry in force; none where there is none, or one that was not made here.
pub(crate) fn entry() -> Option<String> {
    history()?.state().ok()?.as_string()
}

/// Makes an entry after the one in force.
pub(crate) fn push(text: &str) {
    // Some browsers refuse more than a hundred entries in half a minute: the way back is then the
    // poorer by this one, and nothing else.
    let _made = history().map(|h| h.push_state(&JsValue::from(text), ""));
}

/// Puts another text into the entry in force.
pub(crate) fn replace(text: &str) {
    let _put = history().map(|h| h.replace_state(&JsValue::from(text), ""));
}

/// Goes one entry back; [`on_move`] hears of it when it is done.
pub(crate) fn back() {
    let _gone = history().map(|h| h.back());
}

/// Calls `moved` with the text of the entry that the user went to, or [`back`] did; none for an entry
/// that was not made here.
pub(crate) fn on_move(moved: impl Fn(Option<String>) + 'static) {
    // Where the page was scrolled to is told by what was tapped; the browser guesses before it is drawn.
    let _manual = history().map(|h| h.set_scroll_restoration(ScrollRestoration::Manual));
    let _for_good = window_event_listener_untyped("popstate", move |ev| {
        moved(ev.dyn_ref::<PopStateEvent>().and_then(|ev| ev.state().as_string()));
    });
}

/// Gives the page a title.
pub(crate) fn show_title(title: &str) {
    document().set_title(title);
}
