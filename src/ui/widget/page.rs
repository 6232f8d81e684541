//! What is on the drawing's page, as markup: for each view what lies in the water and what is
//! drawn over it.
//!
//! Text and not elements: a drawing is made of many like things that only change together.

use super::frame::{Frame, HEIGHT, SURFACE, View, Views, WIDTH, seen};
use super::scene::{Drag, Drawn, Look, Picked, Scene};
use super::shape::{Outlines, Shape};
use super::signs::{aim, is_seen, letters, load_markup, mark_markup, path, sign_markup, signs};
use super::zoom::Zoom;
use crate::state::BoatInHand;
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::geometry::{Bounds, Mesh};
use trimwright::unit::MILLIMETRE;

/// How the page is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Glass {
    /// How close.
    pub(super) zoom: Zoom,
    /// While something is moved: where metres fell when it was taken hold of. The boat lies still
    /// meanwhile, so that what is moved stays under the finger.
    pub(super) held: Option<Frame>,
}

/// What the page is made from.
#[derive(Clone, Copy)]
pub(super) struct Page {
    pub(super) hand: Signal<Arc<BoatInHand>>,
    pub(super) scene: Signal<Scene>,
    pub(super) parts: Signal<Vec<Drawn>>,
    pub(super) picked: Signal<Option<Picked>>,
    pub(super) views: RwSignal<Views>,
    pub(super) glass: RwSignal<Glass>,
    /// Of each view; kept from one drawing to the next.
    pub(super) outlines: StoredValue<[Outlines; 3]>,
}

impl Page {
    /// Where metres fall.
    pub(super) fn frame(self) -> Frame {
        if let Some(held) = self.glass.get().held {
            return held;
        }
        let model = self.hand.with(|h| h.model.bounds());
        let bounds = self.parts.with(|all| {
            let meshes = all.iter().filter_map(|d| d.mesh.as_deref());
            meshes.map(Mesh::bounds).fold(model, Bounds::joined)
        });
        Frame::of(bounds, self.views.get(), &self.scene.get())
    }

    /// The shapes of a view, marks last; none while it is not shown.
    pub(super) fn shapes(self, view: View, frame: &Frame) -> Vec<Shape> {
        if !self.views.get().shown().contains(&view) {
            return Vec::new();
        }
        let axes = frame.axes(view);
        let mut shapes = self.parts.with(|all| {
            let kept = self.outlines.try_update_value(|kept| {
                kept.get_mut(view as usize).map(|outlines| outlines.shapes(all, axes))
            });
            kept.flatten().unwrap_or_default()
        });
        self.hand.with(|hand| {
            let marks = hand.boat.marks.iter().enumerate();
            let marks = marks.filter(|(_, mark)| is_seen(mark, view));
            shapes.extend(marks.map(|(k, mark)| Shape::mark(k, mark, axes)));
        });
        shapes
    }

    /// Parts and tanks of a view, and the water in the tanks.
    pub(super) fn solids(self, view: View) -> String {
        let frame = self.frame();
        let shapes = self.shapes(view, &frame);
        let mut markup = String::new();
        self.parts.with(|all| {
            for shape in shapes.iter().filter(|s| !matches!(s.what, Picked::Mark(_))) {
                let d = &shape.outline.path;
                markup.push_str(&path(&class_of(shape), shape.dot, d));
                let tank = all.iter().find(|d| d.what == shape.what && d.look == Look::Tank);
                let Some((tank, mesh)) = tank.and_then(|t| t.mesh.as_ref().map(|m| (t, m))) else {
                    continue;
                };
                // From above the surface covers the tank.
                let wet = if tank.fill <= 0.0 {
                    String::new()
                } else if view == View::Plan {
                    d.to_string()
                } else {
                    let middle = seen(frame.axes(view), mesh.bounds().centre().into());
                    let depth = self.outlines.try_update_value(|kept| {
                        let outlines = kept.get_mut(view as usize);
                        outlines.map(|o| o.depth(mesh, tank.fill, frame.pose))
                    });
                    shape.below(middle, depth.flatten().unwrap_or(0.0), frame.level(view))
                };
                markup.push_str(&path("in-tank", 0.0, &wet));
            }
        });
        markup
    }

    /// The design waterline, the marks, the boat's centres, and what is picked once more, over
    /// everything else.
    pub(super) fn lines(self, view: View) -> String {
        let frame = &self.frame();
        if !self.views.get().shown().contains(&view) {
            return String::new();
        }
        let axes = frame.axes(view);
        let mut markup = self.hand.with(|hand| {
            let marks = hand.boat.marks.iter().filter(|mark| is_seen(mark, view));
            path("aim", 0.0, &aim(hand, view, axes))
                + &marks.map(|mark| mark_markup(mark, axes)).collect::<String>()
        });
        if let Some(shape) = self.picked_of(view, frame) {
            let (d, dot) = (&shape.outline.path, shape.dot);
            let halo = if dot > 0.0 { dot + 8.0 } else { 0.0 };
            markup.push_str(&path("picked", halo, d));
            if dot > 0.0 {
                markup.push_str(&path(&class_of(&shape), dot, d));
            }
        }
        let centres = signs(&self.scene.get(), frame, view, self.glass.get().zoom.times);
        markup.extend(centres.iter().map(sign_markup));
        markup
    }

    /// What to do, and the words in the picture.
    pub(super) fn words(self) -> String {
        let frame = &self.frame();
        let scene = self.scene.get();
        let datum = self.hand.with(|h| h.datum.x);
        let mut markup =
            scene.load.map(|load| load_markup(load, &scene, frame, datum)).unwrap_or_default();
        let foot = HEIGHT - 6.0;
        markup.push_str(&if self.views.get() == Views::Plan {
            letters("small word", [WIDTH / 2.0, foot], "seen from above, port side up")
        } else {
            letters("small word water-word", [frame.gap, SURFACE - 5.0], "water")
                + &letters("small word", [frame.end.min(WIDTH - 50.0), foot], "seen forward")
        });
        if frame.larger && self.views.get() == Views::Side {
            markup.push_str(&letters("small word end", [WIDTH - 6.0, 14.0], "angles × 3"));
        }
        markup
    }

    /// The shape of what is picked.
    pub(super) fn picked_of(self, view: View, frame: &Frame) -> Option<Shape> {
        let picked = self.picked.get()?;
        self.shapes(view, frame).into_iter().find(|s| s.what == picked)
    }

    /// Where on the page what is picked lies, in the first view that has it.
    pub(super) fn place_of_picked(self) -> Option<[f64; 2]> {
        let frame = self.frame();
        let view = *self.views.get().shown().first()?;
        let middle = self.picked_of(view, &frame)?.outline.middle()?;
        Some(frame.page_of_seen(view, middle))
    }

    /// What an assistive program says of the grip in a view.
    pub(super) fn grip_words(self, view: View) -> Option<String> {
        let picked = self.picked.get()?;
        let name = if let Picked::Mark(k) = picked {
            self.hand.with(|h| h.boat.marks.get(k).map(|m| format!("{} mark", m.name)))
        } else {
            self.parts.with(|all| all.iter().find(|d| d.what == picked).map(|d| d.name.clone()))
        };
        let place = view.words();
        name.map(|n| format!("Move {n} in the {place}: arrow keys 1 mm, with Shift 10 mm"))
    }

    /// What an arrow key on the grip of a view asks for.
    pub(super) fn key(self, view: View, ev: &KeyboardEvent) -> Option<Drag> {
        let what = self.picked.get_untracked()?;
        let step = if ev.shift_key() { 10.0 } else { 1.0 } * MILLIMETRE;
        let (right, up) = match ev.key().as_str() {
            "ArrowRight" => (step, 0.0),
            "ArrowLeft" => (-step, 0.0),
            "ArrowUp" => (0.0, step),
            "ArrowDown" => (0.0, -step),
            _ => return None,
        };
        ev.prevent_default();
        let [along, over] = untrack(|| self.frame()).axes(view);
        Some(Drag { what, by: (along * right + over * up).into(), done: true })
    }
}

fn class_of(shape: &Shape) -> String {
    let faint = if shape.faint { " faint" } else { "" };
    let big = if shape.big { " big" } else { "" };
    format!("part {}{faint}{big}", shape.look.class())
}

/// The patterns that tell materials apart: name, size of a tile in pixels, what is in it.
const PATTERNS: [(&str, f64, &str); 7] = [
    ("hatch", 9.0, "M0 4.5H9"),
    ("tank-hatch", 5.0, "M0 2.5H5"),
    ("metal", 5.0, "M-1 1L1 -1M-1 6L6 -1M4 6L6 4"),
    ("plastic", 9.0, "M-1 8L1 10M-1 -1L10 10M8 -1L10 1"),
    ("wood", 12.0, "M0 2H12M0 6H5M8 6H12M0 10H12"),
    ("foam", 7.0, "M1.5 1.5h.01M5 5h.01"),
    ("composite", 7.0, "M0 3.5H7M3.5 0V7"),
];

/// The patterns, in the same size however close the page is seen.
pub(super) fn patterns(scale: f64, zoom: Zoom) -> String {
    let pattern = |(id, size, d): (&str, f64, &str)| {
        // The water lies on the page, where a unit is a pixel; parts are drawn in millimetres.
        let unit = if id == "hatch" { 1.0 } else { 1e3 / scale.max(1e-3) } / zoom.times;
        let lines = path(&format!("hatching {id}"), 0.0, d);
        format!(
            "<pattern id=\"{id}\" width=\"{size}\" height=\"{size}\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"scale({unit:.4})\"><rect class=\"ground {id}\" width=\"{size}\" \
             height=\"{size}\"/>{lines}</pattern>"
        )
    };
    PATTERNS.map(pattern).concat()
}
