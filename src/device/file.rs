//! Files: given to the person, and taken from them.

use super::clock::Turns;
use js_sys::Array;
use leptos::prelude::{document, set_timeout};
use std::time::Duration;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, HtmlAnchorElement, HtmlInputElement, Url};

/// After so long a download has been read from memory: hundreds of megabytes a minute, on slow phones too.
const DOWNLOADED: Duration = Duration::from_secs(60);

/// Offers a plain text as a file to keep.
pub(crate) fn save_text(name: &str, text: &str) -> Result<(), JsValue> {
    save_as(name, "text/plain", &Array::of1(&text.into()))
}

/// A text in pieces as the browser has it, some at a time.
pub(crate) async fn pieces(text: &[String]) -> Array {
    let (all, turns) = (Array::new(), Turns::begin());
    for piece in text {
        all.push(&piece.into());
        turns.rest().await;
    }
    all
}

/// Offers a text, in pieces, as a file to keep.
pub(super) fn save_as(name: &str, kind: &str, text: &Array) -> Result<(), JsValue> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let blob = Blob::new_with_str_sequence_and_options(text, &options)?;
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
    // As bytes: to turn a large text from the browser's kind into this one takes long.
    let read = chosen_bytes(input).await?;
    Some(read.map(|(_, bytes)| {
        String::from_utf8(bytes)
            .unwrap_or_else(|wrong| String::from_utf8_lossy(wrong.as_bytes()).into_owned())
    }))
}
