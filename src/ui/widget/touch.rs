//! Fingers, mouse and wheel on the drawing, from the browser's events to what they ask for.

use super::fingers::{Fingers, Gesture, Grip};
use super::frame::{View, WIDTH};
use super::page::DrawingPage;
use super::scene::{Drag, Picked};
use super::shape::{meant, near};
use super::zoom::Zoom;
use crate::signal::{Callback, StoredValue};
use leptos::prelude::*;
use wasm_bindgen::JsCast;
use web_sys::{Element, MouseEvent, PointerEvent, WheelEvent};

/// What the drawing does with fingers.
#[derive(Clone, Copy)]
pub(super) struct Touch {
    pub(super) page: DrawingPage,
    pub(super) fingers: StoredValue<Fingers>,
    pub(super) zoomable: bool,
    pub(super) tap_mark: Option<Callback<String>>,
    pub(super) pick: Option<Callback<Picked>>,
    pub(super) drag: Option<Callback<Drag>>,
}

impl Touch {
    fn act(self, act: Gesture) {
        let glass = self.page.glass;
        match act {
            Gesture::Nothing => {}
            Gesture::Look { from, to, factor } => {
                if self.zoomable {
                    glass.update(|g| g.zoom = g.zoom.moved(from, to, factor));
                }
            }
            Gesture::Move(by) => {
                if !by.done && glass.get_untracked().held.is_none() {
                    let held = self.fingers.with_value(|f| f.moving().map(|grip| grip.frame));
                    glass.update(|g| g.held = held);
                }
                if let Some(drag) = self.drag {
                    drag.run(by);
                }
                if by.done {
                    glass.update(|g| g.held = None);
                }
            }
        }
    }

    /// A finger or the mouse comes down, moves, is lifted or is taken away.
    pub(super) fn point(self, ev: &PointerEvent) {
        let Some((at, svg)) = place(ev) else { return };
        let (kind, id) = (ev.type_(), ev.pointer_id());
        let asked = self.fingers.try_update_value(|f| match kind.as_str() {
            "pointerdown" => {
                let held = f.seized.take().zip(self.page.picked.get_untracked());
                let grip = held.map(|(view, what)| Grip {
                    what,
                    view,
                    frame: untrack(|| self.page.frame()),
                    times: self.page.glass.get_untracked().zoom.times,
                });
                f.press(id, at, ev.is_primary(), grip.as_ref())
            }
            "pointermove" => f.shift(id, at),
            kind => f.lift(id, kind == "pointercancel"),
        });
        let asked = asked.unwrap_or(Gesture::Nothing);
        if asked != Gesture::Nothing && kind == "pointermove" {
            // So that a mouse may leave the picture. A finger that is gone cannot be held.
            let _held = svg.set_pointer_capture(id);
        }
        self.act(asked);
    }

    /// True while the page must not scroll under the fingers.
    pub(super) fn is_busy(self) -> bool {
        self.fingers.with_value(Fingers::are_busy)
    }

    /// Picks what was tapped.
    pub(super) fn tap(self, ev: &MouseEvent) {
        let Some((at, _)) = place(ev) else { return };
        let Some(again) = self.fingers.try_update_value(|f| f.tapped(at)).flatten() else { return };
        let (zoom, frame) = (self.page.glass.get_untracked().zoom, untrack(|| self.page.frame()));
        let at = zoom.page(at);
        let mut there = Vec::new();
        for view in View::ALL {
            let sight = untrack(|| self.page.sight(view));
            there.extend(near(
                &sight.shapes,
                frame.seen_at(view, at),
                frame.scale_of(view) * zoom.times,
            ));
        }
        if let Some(pick) = self.pick {
            if let Some(what) = meant(&there, self.page.picked.get_untracked(), again) {
                pick.run(what);
            }
        } else if let Some(tap_mark) = self.tap_mark {
            there.retain(|(_, what)| matches!(what, Picked::Mark(_)));
            let Some(Picked::Mark(k)) = meant(&there, None, false) else { return };
            let name = |h: &std::sync::Arc<crate::state::BoatInHand>| {
                h.boat.marks.get(k).map(|mark| mark.name.clone())
            };
            if let Some(name) = self.page.hand.with_untracked(name) {
                tap_mark.run(name);
            }
        }
    }

    /// Closer by a factor, with what was at one place of the glass now at another; whether that
    /// changed anything.
    fn closer(self, from: [f64; 2], to: [f64; 2], factor: f64) -> bool {
        let before = self.page.glass.get_untracked().zoom;
        self.act(Gesture::Look { from, to, factor });
        before != self.page.glass.get_untracked().zoom
    }

    /// Closer by a button: what is picked comes to the middle.
    pub(super) fn step(self, factor: f64) {
        let picked = untrack(|| self.page.place_of_picked());
        let zoom = self.page.glass.get_untracked().zoom;
        let from = picked.map_or(Zoom::MIDDLE, |place| zoom.seen(place));
        self.closer(from, Zoom::MIDDLE, factor);
    }

    /// Closer by the wheel. Where there is nothing more to see the page moves.
    pub(super) fn wheel(self, ev: &WheelEvent) {
        let factor = (-0.003 * ev.delta_y().clamp(-100.0, 100.0)).exp();
        if place(ev).is_some_and(|(at, _)| self.closer(at, at, factor)) {
            ev.prevent_default();
        }
    }
}

/// Where on the glass something happened, and the picture it happened to.
fn place(ev: &MouseEvent) -> Option<([f64; 2], Element)> {
    let svg: Element = ev.current_target()?.dyn_into().ok()?;
    let shown = svg.get_bounding_client_rect();
    let scale = WIDTH / shown.width().max(1.0);
    let at = [f64::from(ev.client_x()) - shown.left(), f64::from(ev.client_y()) - shown.top()];
    Some((at.map(|px| px * scale), svg))
}
