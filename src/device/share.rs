//! Giving a file to another app of the phone, where there is a way; else it is saved.

use super::file::{pieces, save_as};
use js_sys::{Array, Function, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// What became of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum ShareOutcome {
    /// Another app took it.
    Shared,
    /// The sheet of apps was closed: nobody has it.
    Closed,
    /// It was saved as a file.
    Saved,
    /// Neither worked.
    No,
}

impl ShareOutcome {
    /// True when it is outside the app now.
    pub(crate) fn is_out(self) -> bool {
        matches!(self, Self::Shared | Self::Saved)
    }
}

/// Offers a text, in pieces, as a file to the phone's sharing; where that is missing, as a file to keep.
pub(crate) async fn share_or_save(name: &str, text: &[String]) -> ShareOutcome {
    match share(name, text).await {
        Ok(Some(outcome)) => outcome,
        Ok(None) | Err(_) => save(name, "application/json", text).await,
    }
}

/// Offers a text, in pieces, as a file to keep.
pub(crate) async fn save(name: &str, kind: &str, text: &[String]) -> ShareOutcome {
    match save_as(name, kind, &pieces(text).await) {
        Ok(()) => ShareOutcome::Saved,
        Err(_) => ShareOutcome::No,
    }
}

/// Offers the page to be printed.
pub(crate) fn print() {
    // A browser that prints nothing has no such button of its own either.
    let _offered = leptos::prelude::window().print();
}

/// Shares through the browser if it can share this file; none if it cannot. Called by name, because
/// the binding of this interface is not stable and not every browser has it.
async fn share(name: &str, text: &[String]) -> Result<Option<ShareOutcome>, JsValue> {
    let navigator: JsValue = leptos::prelude::window().navigator().into();
    let can = Reflect::get(&navigator, &"canShare".into())?;
    let share = Reflect::get(&navigator, &"share".into())?;
    let (Ok(can), Ok(share)) = (can.dyn_into::<Function>(), share.dyn_into::<Function>()) else {
        return Ok(None);
    };
    let options = web_sys::FilePropertyBag::new();
    // Phones pass on few kinds of files: JSON is not among them everywhere, plain text is.
    options.set_type("text/plain");
    let parts = pieces(text).await;
    let file = web_sys::File::new_with_str_sequence_and_options(&parts, name, &options)?;
    let what = Object::new();
    Reflect::set(&what, &"files".into(), &Array::of1(&file))?;
    Reflect::set(&what, &"title".into(), &name.into())?;
    if !can.call1(&navigator, &what)?.is_truthy() {
        return Ok(None);
    }
    let promise: Promise = share.call1(&navigator, &what)?.dyn_into()?;
    Ok(match JsFuture::from(promise).await {
        Ok(_) => Some(ShareOutcome::Shared),
        // The person closed the sheet: that is an answer too, and no reason to save a file.
        Err(why) => {
            (Reflect::get(&why, &"name".into())? == *"AbortError").then_some(ShareOutcome::Closed)
        }
    })
}
