//! The languages of the phone, and the language of the page.

use js_sys::JsString;
use leptos::prelude::{document, window};

/// The codes (BCP 47) of what the phone's owner reads, the best first.
pub(crate) fn of_phone() -> Vec<String> {
    window().navigator().languages().iter().filter_map(|code| code.as_string()).collect()
}

/// The text without capitals, as the browser knows them.
pub(crate) fn in_small_letters(text: &str) -> String {
    JsString::from(text).to_lower_case().into()
}

/// Says on the page in which language it is, for screen readers and for breaking words.
pub(crate) fn show_language(code: &str) {
    if let Some(root) = document().document_element() {
        // Setting an attribute of an ordinary name cannot fail.
        let _set = root.set_attribute("lang", code);
    }
}
