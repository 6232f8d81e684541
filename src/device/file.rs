//! Files: given to the person, and taken from them.

use js_sys::Array;
use leptos::prelude::{document, set_timeout};
use std::time::Duration;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlInputElement, Url};

/// After so long a download has been read from memory: hundreds of megabytes a minute, on slow phones too.
const DOWNLOADED: Duration = Duration::from_secs(60);

/// Offers a text as a file to keep.
pub(crate) fn save_as(name: &str, kind: &str, text: &str) -> Result<(), JsValue> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let parts = Array::of1(&JsValue::from_str(text));
    let blob = Blob::new_with_str_sequence_and_options(&parts, &options)?;
    let address = Url::create_object_url_with_blob(&blob)?;
    let link: HtmlAnchorElement = document().create_element("a")?.dyn_into()?;
    link.set_href(&address);
    link.set_download(name);
    link.click();
    // The browser reads it while it downloads, and no event says when that ends.
    set_timeout(move || let_go(&address), DOWNLOADED);
    Ok(())
}

/// Lets go of an address that was made for bytes.
pub(crate) fn let_go(address: &str) {
    // An address that was made here can be let go.
    let _gone = Url::revoke_object_url(address);
}

/// The name and the bytes of the file chosen in a file field, which is emptied.
pub(crate) async fn chosen_bytes(
    input: HtmlInputElement,
) -> Option<Result<(String, Vec<u8>), JsValue>> {
    let file = input.files()?.get(0)?;
    let bytes = JsFuture::from(file.array_buffer()).await;
    input.set_value("");
    Some(bytes.map(|b| (file.name(), js_sys::Uint8Array::new(&b).to_vec())))
}

/// The text of the file chosen in a file field, which is emptied so that the same file can be
/// chosen again. None when none was chosen.
pub(crate) async fn chosen(input: HtmlInputElement) -> Option<Result<String, JsValue>> {
    let file = input.files()?.get(0)?;
    let text = JsFuture::from(file.text()).await;
    input.set_value("");
    Some(text.map(|t| t.as_string().unwrap_or_default()))
}
