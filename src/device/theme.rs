//! How the page looks, as attributes of its root for the style sheets.

use leptos::prelude::document;

/// Puts a look on the page: the theme's name, the hand and the size of text; an empty one is taken
/// off, and the phone's own setting or the usual one holds.
pub(crate) fn show_look([theme, hand, text]: [&str; 3]) {
    let Some(root) = document().document_element() else { return };
    for (name, value) in [("data-theme", theme), ("data-hand", hand), ("data-text", text)] {
        // Setting an attribute of an ordinary name cannot fail.
        let _set = if value.is_empty() {
            root.remove_attribute(name)
        } else {
            root.set_attribute(name, value)
        };
    }
}

/// Says on the page that the app runs, and takes away what stood there until then.
pub(crate) fn say_ready() {
    if let Some(paint) = document().get_element_by_id("first-paint") {
        paint.remove();
    }
    if let Some(root) = document().document_element() {
        let _set = root.set_attribute("data-ready", "");
    }
}
