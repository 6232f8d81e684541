//! Focus and scrolling on behalf of a tap somewhere else; what moves by itself.

use leptos::prelude::document;
use std::cell::RefCell;
use std::rc::Rc;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{
    Element, Event, HtmlElement, HtmlInputElement, KeyboardEvent, ScrollIntoViewOptions,
    ScrollLogicalPosition,
};

/// Scrolls the page to its top.
pub(crate) fn to_top() {
    leptos::prelude::window().scroll_to_with_x_and_y(0.0, 0.0);
}

/// Fields that a phone's "next" key goes through.
const FIELDS: &str = "input[enterkeyhint=next]";
/// One that it passes over: it is filled in seldom.
const PASSED: &str = ".passed";
/// What holds fields that are filled in together: the figures of a reading, or a whole screen.
const TOGETHER: &str = ".figures,main";

/// Where the fields of a form lead to when all are filled in.
const ON: &str = "button.on:not([hidden])";

/// The Enter key, which is a phone's "next", goes to the next field that is empty; when there is none,
/// to the button that goes on, and where there is no such button it puts the keyboard away.
#[expect(clippy::needless_pass_by_value, reason = "the shape of an event handler")]
pub(crate) fn next_field(ev: KeyboardEvent) {
    let here = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
    let Some(here) = here.filter(|e| ev.key() == "Enter" && e.matches(FIELDS).unwrap_or(false))
    else {
        return;
    };
    ev.prevent_default();
    go_on_from(&here);
}

/// Goes on from the field of an id as the "next" key does.
pub(crate) fn go_on(id: &str) {
    let here = document().get_element_by_id(id).and_then(|e| e.dyn_into::<HtmlInputElement>().ok());
    if let Some(here) = here {
        go_on_from(&here);
    }
}

fn go_on_from(here: &HtmlInputElement) {
    let form = here.closest(TOGETHER).ok().flatten();
    let Some(fields) = form.and_then(|form| form.query_selector_all(FIELDS).ok()) else { return };
    let all =
        (0..fields.length()).filter_map(|k| fields.get(k)?.dyn_into::<HtmlInputElement>().ok());
    let mut after = all.skip_while(|e| e != here).skip(1);
    // What is folded away or hidden has no place on the screen.
    let asks = |e: &HtmlInputElement| {
        let is_passed = e.closest(PASSED).is_ok_and(|passed| passed.is_some());
        e.value().trim().is_empty() && e.offset_parent().is_some() && !is_passed
    };
    if let Some(next) = after.find(asks) {
        let _focused = next.focus();
    } else if let Some(on) = shown(ON) {
        let _focused = on.focus();
    } else {
        let _put_away = here.blur();
    }
}

/// The first element that a selector names, if it has a place on the screen.
pub(super) fn shown(selector: &str) -> Option<HtmlElement> {
    let found = document().query_selector(selector).ok().flatten();
    let found = found.and_then(|e| e.dyn_into::<HtmlElement>().ok());
    found.filter(|e| e.offset_parent().is_some())
}

/// Moves the focus to an element by its id, where there is one.
pub(crate) fn focus(id: &str) {
    let found = document().get_element_by_id(id).and_then(|e| e.dyn_into::<HtmlElement>().ok());
    if let Some(element) = found {
        // An element that cannot take the focus keeps the page as it is.
        let _focused = element.focus();
    }
}

/// Moves the focus to what has a name for tests, where there is one: for what has no identity of its
/// own on the page.
pub(crate) fn focus_named(testid: &str) {
    let found = document().query_selector(&format!("[data-testid='{testid}']")).ok().flatten();
    if let Some(element) = found.and_then(|e| e.dyn_into::<HtmlElement>().ok()) {
        let _focused = element.focus();
    }
}

/// The name for tests of what has the focus.
pub(crate) fn focused_name() -> Option<String> {
    document().active_element()?.get_attribute("data-testid")
}

/// True if the person has asked the phone for less movement.
pub(crate) fn prefers_stillness() -> bool {
    let asked = leptos::prelude::window().match_media("(prefers-reduced-motion: reduce)");
    asked.ok().flatten().is_some_and(|query| query.matches())
}

/// Longest time between two pictures that counts, seconds: what is not looked at stands still.
const LONGEST: f64 = 0.1;

/// What the browser calls before a picture, with the time in milliseconds.
type FrameCallback = Closure<dyn FnMut(f64)>;

/// Calls `frame` before each picture, with the seconds since the picture before, until it says that
/// it is done.
pub(crate) fn each_frame(mut frame: Box<dyn FnMut(f64) -> bool>) {
    let next: Rc<RefCell<Option<FrameCallback>>> = Rc::default();
    let held = Rc::clone(&next);
    let mut before = None;
    let picture = move |now: f64| {
        let passed = (now - before.replace(now).unwrap_or(now)) / 1e3;
        if frame(passed.clamp(0.0, LONGEST)) {
            ask_for(held.borrow().as_ref());
        } else {
            // The closure holds itself until now.
            held.borrow_mut().take();
        }
    };
    *next.borrow_mut() = Some(Closure::new(picture));
    ask_for(next.borrow().as_ref());
}

fn ask_for(picture: Option<&FrameCallback>) {
    if let Some(picture) = picture {
        // It is a function: the browser has no reason to refuse it.
        let _asked =
            leptos::prelude::window().request_animation_frame(picture.as_ref().unchecked_ref());
    }
}

/// The control that something happened in, a figure with its buttons and its words, if it happened to
/// a part of it of that kind.
pub(crate) fn control_of(ev: &Event, kind: &str) -> Option<Element> {
    let target = ev.target()?.dyn_into::<Element>().ok()?;
    target.closest(kind).ok()??.closest(".stepper, .field").ok().flatten()
}

/// True while what is typed goes into a field: a keyboard may be on the screen.
pub(crate) fn is_typing() -> bool {
    document().active_element().is_some_and(|e| e.matches(FIELDS).unwrap_or(false))
}

/// Scrolls the page no farther than needed for all of an element to be seen.
pub(crate) fn show_whole(element: &Element) {
    let how = ScrollIntoViewOptions::new();
    how.set_block(ScrollLogicalPosition::Nearest);
    element.scroll_into_view_with_scroll_into_view_options(&how);
}

/// True if a card that lies over the page, without the class that makes it small, would lie over an
/// element. Nothing of that is painted.
pub(crate) fn would_cover(card: &str, small: &str, element: &Element) -> bool {
    let Ok(Some(card)) = document().query_selector(card) else { return false };
    let classes = card.class_list();
    let was_small = classes.contains(small);
    // A class with a plain name can be taken off and put on.
    let _off = classes.remove_1(small);
    let (over, under) = (card.get_bounding_client_rect(), element.get_bounding_client_rect());
    if was_small {
        let _on = classes.add_1(small);
    }
    over.top() < under.bottom() && under.top() < over.bottom()
}
