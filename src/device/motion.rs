//! Focus and scrolling on behalf of a tap somewhere else.

use leptos::prelude::document;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, HtmlInputElement, KeyboardEvent};

/// Scrolls the page to its top.
pub(crate) fn to_top() {
    leptos::prelude::window().scroll_to_with_x_and_y(0.0, 0.0);
}

/// Fields that a phone's "next" key goes through.
const FIELDS: &str = "input:not([type=file]):not([type=checkbox]), select";

/// The Enter key, which is a phone's "next", goes to the field after this one and selects what is
/// in it; from the last one it puts the keyboard away.
#[expect(clippy::needless_pass_by_value, reason = "the shape of an event handler")]
pub(crate) fn next_field(ev: KeyboardEvent) {
    let here = ev.target().and_then(|t| t.dyn_into::<HtmlElement>().ok());
    let (Some(here), Some(form)) =
        (here, ev.current_target().and_then(|t| t.dyn_into::<Element>().ok()))
    else {
        return;
    };
    if ev.key() != "Enter" || !here.matches(FIELDS).unwrap_or(false) {
        return;
    }
    ev.prevent_default();
    let Ok(fields) = form.query_selector_all(FIELDS) else { return };
    let all = (0..fields.length()).filter_map(|k| fields.get(k)?.dyn_into::<HtmlElement>().ok());
    // What is folded away or hidden has no place on the screen.
    let mut after = all.skip_while(|e| *e != here).skip(1).filter(|e| e.offset_parent().is_some());
    match after.next() {
        Some(next) => {
            let _focused = next.focus();
            if let Some(input) = next.dyn_ref::<HtmlInputElement>() {
                input.select();
            }
        }
        None => {
            let _put_away = here.blur();
        }
    }
}

/// Moves the focus to an element by its id, where there is one.
pub(crate) fn focus(id: &str) {
    let found = document().get_element_by_id(id).and_then(|e| e.dyn_into::<HtmlElement>().ok());
    if let Some(element) = found {
        // An element that cannot take the focus keeps the page as it is.
        let _focused = element.focus();
    }
}
