//! Other windows of the app on this phone: what one has kept, the others are told.

use super::key::Key;
use js_sys::{Array, Function, Object, Promise, Reflect};
use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{BroadcastChannel, MessageEvent};

const CHANNEL: &str = "trimwright";
/// What every window holds as long as it is open.
const PLACE: &str = "trimwright.window";

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

/// Whether this window is the only one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Alone {
    /// It is.
    Yes,
    /// There are others.
    No,
    /// This browser cannot tell.
    NotKnown,
}

/// Lets other windows know of this one for as long as it is open. The browser itself sees to it that a
/// window that was killed is not counted.
pub(crate) fn hold_a_place() {
    let never_let_go = Closure::once_into_js(|| Promise::new(&mut |_, _| {}));
    let hold = || {
        let options = Object::new();
        Reflect::set(&options, &"mode".into(), &"shared".into())?;
        let (locks, request) = locks("request")?;
        request.call3(&locks, &PLACE.into(), &options, &never_let_go)
    };
    // Without such places nobody can tell who else is open, and [`is_alone`] says so.
    let _held: Result<JsValue, JsValue> = hold();
}

/// Whether another window of the app is open on this phone.
pub(crate) async fn is_alone() -> Alone {
    match places().await {
        Ok(1) => Alone::Yes,
        Ok(2..) => Alone::No,
        _ => Alone::NotKnown,
    }
}

async fn places() -> Result<usize, JsValue> {
    let (locks, query) = locks("query")?;
    let asked: Promise = query.call0(&locks)?.dyn_into()?;
    let held = Reflect::get(&JsFuture::from(asked).await?, &"held".into())?;
    let held: Array = held.dyn_into()?;
    let is_ours = |lock: &JsValue| Reflect::get(lock, &"name".into()).is_ok_and(|n| n == *PLACE);
    Ok(held.iter().filter(is_ours).count())
}

/// By name, because not every browser has `navigator.locks`.
fn locks(function: &str) -> Result<(JsValue, Function), JsValue> {
    let navigator: JsValue = leptos::prelude::window().navigator().into();
    let locks = Reflect::get(&navigator, &"locks".into())?;
    let function = Reflect::get(&locks, &function.into())?.dyn_into()?;
    Ok((locks, function))
}
