//! Where finger and ear are taken when another view comes: to its heading, or back to what led away from
//! it.

use super::motion::{each_frame, shown, to_top};
use leptos::prelude::{document, request_animation_frame, window};
use std::cell::RefCell;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Element, HtmlElement, MouseEvent};

/// Something that was tapped, and how far the page was scrolled then.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spot {
    name: String,
    down: f64,
}

/// What was tapped last, and how far the page was scrolled then.
#[derive(Debug, Clone, Default)]
struct Tap {
    on: Option<Element>,
    down: f64,
}

thread_local! {
    static LAST: RefCell<Tap> = RefCell::default();
}

/// The name of what can be tapped around an element; nothing for what has none.
fn name_of(element: &Element) -> String {
    let named = element.closest("[data-testid]").ok().flatten();
    named.and_then(|e| e.get_attribute("data-testid")).unwrap_or_default()
}

fn named(name: &str) -> Option<HtmlElement> {
    shown(&format!("[data-testid='{name}']"))
}

/// Notes whatever is tapped, before anything comes of it: a phone gives no focus to a button that is
/// tapped, and what was tapped may be gone when it is asked for.
pub(crate) fn note_taps() {
    let note = Closure::<dyn FnMut(MouseEvent)>::new(|ev: MouseEvent| {
        let on = ev.target().and_then(|t| t.dyn_into::<Element>().ok());
        LAST.replace(Tap { on, down: window().scroll_y().unwrap_or(0.0) });
    });
    let listener = note.into_js_value();
    // On the way down to what is tapped. An event of this name can be listened to everywhere.
    let _listening = document().add_event_listener_with_callback_and_bool(
        "click",
        listener.unchecked_ref(),
        true,
    );
}

/// What was tapped last. Its name is looked for only here: most taps lead nowhere else.
pub(crate) fn last_tap() -> Spot {
    let Tap { on, down } = LAST.with_borrow(Clone::clone);
    Spot { name: on.map(|element| name_of(&element)).unwrap_or_default(), down }
}

/// True if what was tapped has already put the focus somewhere in the new view.
fn is_taken() -> bool {
    let active = document().active_element();
    active.is_some_and(|e| {
        e.closest("main").is_ok_and(|main| main.is_some()) && name_of(&e) != last_tap().name
    })
}

/// With the next picture the page is at its top, and the focus at the heading of what it shows.
pub(crate) fn to_heading() {
    request_animation_frame(|| {
        if !is_taken() {
            focus_heading();
            to_top();
        }
    });
}

fn focus_heading() {
    let find = |what| document().query_selector(what).ok().flatten();
    let heading =
        ["main .form-head:not([hidden])", "main h1", "main h2"].into_iter().find_map(find);
    if let Some(heading) = heading.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        // It can be given the focus, and is passed over by the Tab key.
        heading.set_tab_index(-1);
        let _focused = heading.focus();
    }
}

/// Pictures for which something that is still being read is waited for.
const PATIENCE: u32 = 12;

/// Scrolls to where the page was, and gives the focus back to what was tapped there; to the heading if
/// that is gone.
pub(crate) fn to_spot(spot: Option<Spot>) {
    let Some(spot) = spot else { return to_heading() };
    let mut left = PATIENCE;
    each_frame(Box::new(move |_| {
        left -= 1;
        let found = named(&spot.name);
        let done = found.is_some() || left == 0 || spot.name.is_empty();
        if let Some(element) = &found {
            let _focused = element.focus();
        } else if done {
            focus_heading();
        }
        window().scroll_to_with_x_and_y(0.0, spot.down);
        !done
    }));
}
