//! Whether the browser may throw away what is kept: some do when the phone runs short of room, some
//! when the page was not visited for a week.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Asks the browser to promise that it will not, and says whether it did; false too where it cannot be
/// asked. Some browsers put the question to the user.
pub(crate) async fn ask_to_persist() -> bool {
    call("persist").await.unwrap_or(false)
}

/// Whether it has promised; nobody is asked anything.
pub(crate) async fn is_persistent() -> bool {
    call("persisted").await.unwrap_or(false)
}

/// By name, because not every browser has `navigator.storage`.
async fn call(name: &str) -> Result<bool, JsValue> {
    let navigator: JsValue = leptos::prelude::window().navigator().into();
    let storage = Reflect::get(&navigator, &"storage".into())?;
    if storage.is_undefined() {
        return Ok(false);
    }
    let function: Function = Reflect::get(&storage, &name.into())?.dyn_into()?;
    let promise: Promise = function.call0(&storage)?.dyn_into()?;
    Ok(JsFuture::from(promise).await?.is_truthy())
}
