//! Pictures: taken from the phone, made small enough to keep, and shown again.

use super::storage::{Key, Store, load_bytes};
use js_sys::{Array, Promise, Reflect, Uint8Array};
use leptos::prelude::{document, window};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, BlobPropertyBag, CanvasRenderingContext2d, HtmlCanvasElement, HtmlInputElement,
    ImageBitmap, Url,
};

/// The longer side of a picture that is kept, pixels.
const LONGEST: f64 = 1280.0;
/// How much of a picture's fineness is kept: a screen's worth.
const QUALITY: f64 = 0.8;

/// A picture as it is kept.
#[derive(Debug, Clone)]
pub(crate) struct JpegPicture {
    /// Its bytes, JPEG.
    pub(crate) bytes: Vec<u8>,
    /// Its width, pixels.
    pub(crate) width: u32,
    /// Its height, pixels.
    pub(crate) height: u32,
}

/// The picture chosen in a file field, which is emptied, made small enough. None when none was chosen.
pub(crate) async fn chosen(input: HtmlInputElement) -> Option<Result<JpegPicture, JsValue>> {
    let file = input.files()?.get(0)?;
    let made = smaller(&file).await;
    input.set_value("");
    Some(made)
}

async fn smaller(file: &Blob) -> Result<JpegPicture, JsValue> {
    let bitmap = window().create_image_bitmap_with_blob(file)?;
    let bitmap: ImageBitmap = JsFuture::from(bitmap).await?.dyn_into()?;
    let (w, h) = (f64::from(bitmap.width()), f64::from(bitmap.height()));
    let scale = (LONGEST / w.max(h)).min(1.0);
    let canvas: HtmlCanvasElement = document().create_element("canvas")?.dyn_into()?;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between one and LONGEST"
    )]
    let [width, height] = [w, h].map(|side| (side * scale).round().max(1.0) as u32);
    canvas.set_width(width);
    canvas.set_height(height);
    let context = canvas.get_context("2d")?.ok_or("no drawing here")?;
    let context: CanvasRenderingContext2d = context.dyn_into()?;
    context.draw_image_with_image_bitmap_and_dw_and_dh(
        &bitmap,
        0.0,
        0.0,
        f64::from(width),
        f64::from(height),
    )?;
    let blob = JsFuture::from(blob_of(&canvas)).await?;
    let bytes = Reflect::get(&blob, &"arrayBuffer".into())?;
    let bytes: js_sys::Function = bytes.dyn_into()?;
    let buffer: Promise = bytes.call0(&blob)?.dyn_into()?;
    let bytes = Uint8Array::new(&JsFuture::from(buffer).await?).to_vec();
    Ok(JpegPicture { bytes, width, height })
}

fn blob_of(canvas: &HtmlCanvasElement) -> Promise {
    Promise::new(&mut |done, failed| {
        let made = wasm_bindgen::closure::Closure::once_into_js(move |blob: JsValue| {
            // A promise's own functions can be called.
            let _settled = done.call1(&JsValue::NULL, &blob);
        });
        let asked = canvas.to_blob_with_type_and_encoder_options(
            made.unchecked_ref(),
            "image/jpeg",
            &QUALITY.into(),
        );
        if let Err(why) = asked {
            let _settled = failed.call1(&JsValue::NULL, &why);
        }
    })
}

/// An address under which a kept picture can be shown; [`super::file::let_go`] when it no longer is.
pub(crate) async fn address_of(name: &str) -> Option<String> {
    let bytes = load_bytes(&Key::new(Store::Picture, [name])).await.ok()??;
    let options = BlobPropertyBag::new();
    options.set_type("image/jpeg");
    let parts = Array::of1(&Uint8Array::from(bytes.as_slice()));
    let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &options).ok()?;
    Url::create_object_url_with_blob(&blob).ok()
}
