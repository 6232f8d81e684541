//! When the answer is one line: while figures are typed, and while the whole card would lie over the
//! control in use.

use crate::device::motion::{control_of, focus, is_typing, show_whole, would_cover};
use crate::signal::RwSignal;
use crate::state::Wait;
use leptos::prelude::*;
use std::time::Duration;
use web_sys::{Element, Event};

/// The card, for the style sheet and for measuring.
const CARD: &str = ".answer";
/// What makes it one line.
const LINE: &str = "brief";
/// How long the card waits before it changes: a thumb that is on its way must find what it aimed at.
const BEFORE_CHANGE: Duration = Duration::from_millis(300);

/// Whether the answer is one line; a `Copy` handle.
#[derive(Clone, Copy)]
pub(super) struct Fold {
    /// It is one line.
    pub(super) is_line: RwSignal<bool>,
    /// The control whose buttons are in use.
    used: StoredValue<Option<Element>, LocalStorage>,
    wait: Wait,
}

impl Fold {
    pub(super) fn new() -> Self {
        Self {
            is_line: RwSignal::new(false),
            used: StoredValue::new_local(None),
            wait: Wait::new(),
        }
    }

    /// A finger came down somewhere on the screen.
    pub(super) fn touched(self, ev: &Event) {
        self.used.set_value(control_of(ev, "button"));
        self.settle_soon();
    }

    /// Something took the focus.
    pub(super) fn entered(self, ev: &Event) {
        if !is_typing() {
            return self.touched(ev);
        }
        self.used.set_value(None);
        self.wait.stop();
        self.is_line.set(true);
        if let Some(control) = control_of(ev, "input") {
            // The card is a line with the next frame.
            request_animation_frame(move || show_whole(&control));
        }
    }

    /// In a moment the card is as it should be.
    pub(super) fn settle_soon(self) {
        self.wait.then(BEFORE_CHANGE, move || self.settle());
    }

    fn settle(self) {
        let covered = |control: &Option<Element>| {
            control.as_ref().is_some_and(|control| would_cover(CARD, LINE, control))
        };
        let is_line = is_typing() || self.used.try_with_value(covered).unwrap_or(false);
        // The screen may be gone.
        let _left = self.is_line.try_set(is_line);
    }

    /// Shows the whole card, whatever it lies over. It takes the focus: a keyboard goes away.
    pub(super) fn unfold(self) {
        focus("answer");
        self.used.set_value(None);
        self.settle();
    }
}
