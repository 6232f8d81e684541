//! Asking the browser not to throw away what is kept when the phone runs short of room.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Asks, and says whether the browser promised; false too where it cannot be asked.
pub(crate) async fn ask_to_persist() -> bool {
    ask().await.unwrap_or(false)
}

/// By name, because not every browser has `navigator.storage`.
async fn ask() -> Result<bool, JsValue> {
    let navigator: JsValue = leptos::prelude::window().navigator().into();
    let storage = Reflect::get(&navigator, &"storage".into())?;
    if storage.is_undefined() {
        return Ok(false);
    }
    let persist: Function = Reflect::get(&storage, &"persist".into())?.dyn_into()?;
    let promise: Promise = persist.call0(&storage)?.dyn_into()?;
    Ok(JsFuture::from(promise).await?.is_truthy())
}
