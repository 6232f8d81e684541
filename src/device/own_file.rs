//! A file of the app that is not loaded with it, but when somebody wants it.

use js_sys::{Array, Promise};
use leptos::prelude::window;
use std::time::Duration;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, future_to_promise};
use web_sys::Response;

/// The text of a file beside the page; none if it does not come in time.
pub(crate) async fn text_of(name: &str, patience: Duration) -> Option<String> {
    let address = format!("./{name}");
    let text = future_to_promise(async move {
        let answer = JsFuture::from(window().fetch_with_str(&address)).await?;
        let answer: Response = answer.dyn_into()?;
        if !answer.ok() {
            return Ok(JsValue::UNDEFINED);
        }
        JsFuture::from(answer.text()?).await
    });
    let end = Promise::new(&mut |go, _| {
        let milliseconds = i32::try_from(patience.as_millis()).unwrap_or(i32::MAX);
        // If the timer is refused it is waited for as long as it takes.
        let _set =
            window().set_timeout_with_callback_and_timeout_and_arguments_0(&go, milliseconds);
    });
    JsFuture::from(Promise::race(&Array::of2(&text, &end))).await.ok()?.as_string()
}
