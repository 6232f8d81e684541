//! How far the page is scrolled.

use leptos::prelude::{
    document, on_cleanup, request_animation_frame, window, window_event_listener_untyped,
};
use std::cell::Cell;
use std::rc::Rc;

/// Calls `seen` with how far the top of an element lies above the top of the window, and how high
/// the window is, pixels: now, and once before each picture while the page is scrolled.
pub(crate) fn on_scroll(id: &'static str, seen: impl Fn(f64, f64) + 'static) {
    let seen = Rc::new(move || {
        let Some(element) = document().get_element_by_id(id) else { return };
        let height = window().inner_height().ok().and_then(|h| h.as_f64()).unwrap_or(0.0);
        seen(-element.get_bounding_client_rect().top(), height);
    });
    let asked = Rc::new(Cell::new(false));
    for name in ["scroll", "resize"] {
        let (seen, asked) = (Rc::clone(&seen), Rc::clone(&asked));
        let listening = window_event_listener_untyped(name, move |_| {
            if !asked.replace(true) {
                let (seen, asked) = (Rc::clone(&seen), Rc::clone(&asked));
                request_animation_frame(move || {
                    asked.set(false);
                    seen();
                });
            }
        });
        on_cleanup(move || listening.remove());
    }
    request_animation_frame(move || seen());
}
