//! The service worker from the page's side: starts it, knows when the whole app is kept on the
//! phone and when a newer version waits, and lets that one take over when the person says so.

use std::cell::Cell;

use leptos::prelude::*;
use wasm_bindgen::prelude::*;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    Event, ServiceWorker, ServiceWorkerContainer, ServiceWorkerRegistration, ServiceWorkerState,
    VisibilityState,
};

/// What the worker reads as leave to take over; `worker.js` looks for the same words.
const TAKE_OVER: &str = "take over";
/// What it reads as the wish to keep a file that not every visit needs.
const KEEP: &str = "keep";

/// What is known of the copy of the app that this phone keeps.
///
/// Both are false for good in a browser without service workers, or where the page did not come
/// over a safe connection: the app then works as any page does.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AppUpdate {
    /// The whole app is kept: it will start without a network.
    pub(crate) ready_offline: ReadSignal<bool>,
    /// A newer version is kept too, and waits for [`AppUpdate::apply`].
    pub(crate) waiting: ReadSignal<bool>,
}

impl AppUpdate {
    /// Starts the worker. Call it once, when the app starts.
    #[must_use]
    pub(crate) fn start() -> Self {
        let (ready_offline, set_ready_offline) = signal(false);
        let (waiting, set_waiting) = signal(false);
        if let Some(container) = container() {
            reload_when_replaced(&container);
            spawn_local(async move {
                // Refused, or no network at the very first start: then there is no copy, that's all.
                if let Ok(registration) = register(&container).await {
                    watch(&registration, set_ready_offline, set_waiting);
                    look_when_shown_again(registration);
                }
            });
        }
        Self { ready_offline, waiting }
    }

    /// Lets the waiting version take over. The page reloads itself when it has: store first what
    /// must not be lost.
    #[expect(clippy::unused_self, reason = "only who holds the signals can know that one waits")]
    pub(crate) fn apply(self) {
        let Some(container) = container() else { return };
        spawn_local(async move {
            let found = JsFuture::from(container.get_registration()).await;
            let Ok(registration) = found.and_then(JsCast::dyn_into::<ServiceWorkerRegistration>)
            else {
                return;
            };
            if let Some(worker) = registration.waiting() {
                tell(&worker, TAKE_OVER, "");
            }
        });
    }
}

/// Lets the worker keep a file of the app that not every visit needs, as soon as there is one; a newer version that
/// waits keeps its own of that kind.
pub(crate) fn keep_file(name: &'static str) {
    let Some(ready) = container().and_then(|container| container.ready().ok()) else { return };
    spawn_local(async move {
        let found = JsFuture::from(ready).await;
        if let Ok(registration) = found.and_then(JsCast::dyn_into::<ServiceWorkerRegistration>) {
            for worker in [registration.active(), registration.waiting()].into_iter().flatten() {
                tell(&worker, KEEP, name);
            }
        }
    });
}

/// Tells a worker something, of a file or of none.
fn tell(worker: &ServiceWorker, what: &str, file: &str) {
    let message = js_sys::Object::new();
    let set = |name: &str, text: &str| {
        js_sys::Reflect::set(&message, &name.into(), &text.into()).is_ok_and(|set| set)
    };
    if set("type", what) && set("file", file) {
        // It fails only for messages that can't be copied; this one can.
        let _sent = worker.post_message(&message);
    }
}

/// The browser's service workers, where it has any.
fn container() -> Option<ServiceWorkerContainer> {
    let navigator = window().navigator();
    // Asked by name: the binding would hand out an undefined one as if it were there.
    let value = js_sys::Reflect::get(&navigator, &"serviceWorker".into()).ok()?;
    value.dyn_into().ok()
}

async fn register(
    container: &ServiceWorkerContainer,
) -> Result<ServiceWorkerRegistration, JsValue> {
    JsFuture::from(container.register("./sw.js")).await?.dyn_into()
}

/// Reloads the page when another version has taken over from the one it was loaded from, in this
/// tab or from another. The first worker taking charge of a page that had none changes nothing.
fn reload_when_replaced(container: &ServiceWorkerContainer) {
    let had_one = Cell::new(container.controller().is_some());
    listen(container, "controllerchange", move || {
        if had_one.get() {
            // It fails only in a page that is going away already.
            let _reloaded = window().location().reload();
        }
        had_one.set(true);
    });
}

/// Keeps both signals true to the registration from now on.
fn watch(
    registration: &ServiceWorkerRegistration,
    set_ready_offline: WriteSignal<bool>,
    set_waiting: WriteSignal<bool>,
) {
    let look = {
        let registration = registration.clone();
        move || {
            // A worker is made active only when it has kept every file.
            let ready = registration.active().is_some();
            set_ready_offline.set(ready);
            // The first worker passes through `waiting` as well, with nothing to wait for.
            set_waiting.set(ready && registration.waiting().is_some());
        }
    };
    look();
    if let Some(worker) = registration.installing() {
        follow(&worker, look.clone());
    }
    let found = registration.clone();
    listen(registration, "updatefound", move || {
        if let Some(worker) = found.installing() {
            follow(&worker, look.clone());
        }
    });
}

/// Calls `look` at each step of a worker's life.
fn follow(worker: &ServiceWorker, look: impl Fn() + 'static) {
    let followed = worker.clone();
    listen(worker, "statechange", move || {
        // A replaced worker's end says nothing about the new one.
        if followed.state() != ServiceWorkerState::Redundant {
            look();
        }
    });
}

/// An installed app may stay open for weeks: looks for a newer version when it is shown again.
fn look_when_shown_again(registration: ServiceWorkerRegistration) {
    listen(&document(), "visibilitychange", move || {
        if document().visibility_state() == VisibilityState::Visible
            && let Ok(looking) = registration.update()
        {
            // Without a network it fails, and the next time will do.
            spawn_local(async move { drop(JsFuture::from(looking).await) });
        }
    });
}

/// Listens for as long as the page lives.
fn listen(target: &web_sys::EventTarget, name: &str, heard: impl Fn() + 'static) {
    let closure = Closure::<dyn Fn(Event)>::new(move |_| heard());
    // It fails only for a listener that is no function.
    let _added = target.add_event_listener_with_callback(name, closure.as_ref().unchecked_ref());
    closure.forget();
}
