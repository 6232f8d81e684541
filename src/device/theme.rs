//! The page's theme.

use leptos::prelude::document;

/// Puts the theme's name on the page; empty lets the phone's own setting decide.
pub(crate) fn show_theme(name: &str) {
    let Some(root) = document().document_element() else { return };
    // Setting an attribute of an ordinary name cannot fail.
    let _set = if name.is_empty() {
        root.remove_attribute("data-theme")
    } else {
        root.set_attribute("data-theme", name)
    };
}

/// Says on the page that the app runs.
pub(crate) fn say_ready() {
    if let Some(root) = document().document_element() {
        let _set = root.set_attribute("data-ready", "");
    }
}
