//! Other windows of the app on this phone: what one has kept, the others are told.

use super::key::Key;
use js_sys::Array;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::Closure;
use web_sys::{BroadcastChannel, MessageEvent};

const CHANNEL: &str = "trimwright";

thread_local! {
    // One channel for the life of the window: a channel does not hear itself. None where the browser
    // has no such thing: what is kept stays whole even so, as it is joined when it is written.
    static OURS: Option<BroadcastChannel> = BroadcastChannel::new(CHANNEL).ok();
}

/// Tells the other windows what was kept anew.
pub(crate) fn tell_others(keys: &[Key]) {
    let message: Array = keys.iter().map(Key::message).collect();
    OURS.with(|channel| {
        if let Some(channel) = channel {
            // A message of texts can be sent; if the browser refuses, the others see it later.
            let _sent = channel.post_message(&message);
        }
    });
}

/// Calls back with the keys of what another window has kept anew.
pub(crate) fn on_changes_elsewhere(call: impl Fn(Vec<Key>) + 'static) {
    let heard = Closure::<dyn Fn(MessageEvent)>::new(move |message: MessageEvent| {
        let data = message.data();
        let keys = data.dyn_ref::<Array>().into_iter().flat_map(|keys| keys.iter());
        call(keys.filter_map(|key| Key::of_message(&key)).collect());
    });
    OURS.with(|channel| {
        if let Some(channel) = channel {
            channel.set_onmessage(Some(heard.as_ref().unchecked_ref()));
        }
    });
    // It listens as long as the app runs.
    heard.forget();
}
