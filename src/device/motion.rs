//! Focus and scrolling on behalf of a tap somewhere else.

use leptos::prelude::document;
use wasm_bindgen::JsCast;
use web_sys::HtmlElement;

/// Scrolls the page to its top.
pub(crate) fn to_top() {
    leptos::prelude::window().scroll_to_with_x_and_y(0.0, 0.0);
}

/// Moves the focus to an element by its id, where there is one.
pub(crate) fn focus(id: &str) {
    let found = document().get_element_by_id(id).and_then(|e| e.dyn_into::<HtmlElement>().ok());
    if let Some(element) = found {
        // An element that cannot take the focus keeps the page as it is.
        let _focused = element.focus();
    }
}
