//! What is on the drawing's page: one group for each view, made of paths.

use super::frame::{Axes, Frame, HEIGHT, SURFACE, View, Views, WIDTH, seen};
use super::scene::{Drag, Drawn, Look, Picked, Scene};
use super::shape::{Outlines, Shape, depth_in};
use super::signs::{aim, is_seen, mark_view, path, sign_view, signs};
use super::zoom::Zoom;
use crate::state::BoatInHand;
use crate::ui::memo::memo;
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::unit::MILLIMETRE;

/// What the views are drawn from.
#[derive(Clone, Copy)]
pub(super) struct Page {
    pub(super) hand: Signal<Arc<BoatInHand>>,
    pub(super) scene: Signal<Scene>,
    pub(super) parts: Signal<Vec<Drawn>>,
    pub(super) picked: Signal<Option<Picked>>,
    pub(super) frame: Memo<Frame>,
}

/// Where metres fall on the page; while something is moved, where they fell when it was taken hold
/// of.
pub(super) fn frame_of(
    hand: Signal<Arc<BoatInHand>>,
    parts: Signal<Vec<Drawn>>,
    scene: Signal<Scene>,
    views: RwSignal<Views>,
    held: RwSignal<Option<Frame>>,
) -> Memo<Frame> {
    let bounds = move || {
        let model = hand.with(|h| h.model.bounds());
        parts.with(|all| {
            let meshes = all.iter().filter_map(|d| d.mesh.as_ref());
            meshes.map(|m| m.bounds()).fold(model, trimwright::geometry::Bounds::joined)
        })
    };
    memo(move || held.get().unwrap_or_else(|| Frame::of(bounds(), views.get(), &scene.get())))
}

impl Page {
    fn axes(self, view: View) -> Memo<Axes> {
        memo(move || self.frame.get().axes(view))
    }

    /// The shapes of a view, with the marks where they can be picked.
    pub(super) fn shapes(self, view: View, with_marks: bool) -> Memo<Vec<Shape>> {
        let axes = self.axes(view);
        let outlines = StoredValue::new(Outlines::default());
        memo(move || {
            let axes = axes.get();
            let shapes = |all: &Vec<Drawn>| outlines.try_update_value(|o| o.shapes(all, axes));
            let mut shapes = self.parts.with(shapes).unwrap_or_default();
            if with_marks {
                self.hand.with(|hand| {
                    let marks = hand.boat.marks.iter().enumerate();
                    let marks = marks.filter(|(_, mark)| is_seen(mark, view));
                    shapes.extend(marks.map(|(k, mark)| Shape::mark(k, mark, axes)));
                });
            }
            shapes
        })
    }

    /// Parts and tanks of a view, and the water in the tanks.
    pub(super) fn solids(self, view: View, shapes: Memo<Vec<Shape>>) -> impl IntoView + use<> {
        let axes = self.axes(view);
        let level = memo(move || self.frame.get().level(view));
        // How high the water stands over the middle of each tank, as seen.
        let water = memo(move || {
            let pose = self.scene.get().pose;
            let filled = |d: &Drawn| {
                let mesh = d.mesh.as_ref().filter(|_| d.look == Look::Tank && d.fill > 0.0)?;
                let middle = seen(axes.get(), mesh.bounds().centre().into());
                Some((d.what, middle, depth_in(mesh, d.fill, &pose)))
            };
            self.parts.with(|all| all.iter().filter_map(filled).collect::<Vec<_>>())
        });
        let strokes = move || {
            let water = water.get();
            let level = level.get();
            let mut strokes = Vec::new();
            for shape in shapes.get() {
                if matches!(shape.what, Picked::Mark(_)) {
                    continue;
                }
                let d = &shape.outline.path;
                strokes.push(path(class_of(&shape), shape.dot, Arc::clone(d)));
                if let Some((_, middle, depth)) = water.iter().find(|w| w.0 == shape.what) {
                    // From above the surface covers the tank.
                    let wet = if view == View::Plan {
                        Arc::clone(d)
                    } else {
                        shape.below(*middle, *depth, level).into()
                    };
                    strokes.push(path("in-tank".to_owned(), 0.0, wet));
                }
            }
            strokes
        };
        view! {
            <g class="boat" style=move || self.frame.get().style(view)>
                {strokes}
            </g>
        }
    }

    /// The design waterline and the marks.
    pub(super) fn lines(
        self,
        view: View,
        tap_mark: Option<Callback<String>>,
    ) -> impl IntoView + use<> {
        let axes = self.axes(view);
        move || {
            let (hand, axes) = (self.hand.get(), axes.get());
            let seen = hand.boat.marks.iter().filter(|mark| is_seen(mark, view));
            let marks = seen.map(|mark| mark_view(mark, axes, tap_mark)).collect_view();
            (path("aim".to_owned(), 0.0, aim(&hand, view, axes)), marks)
        }
    }

    fn picked_of(self, shapes: Memo<Vec<Shape>>) -> Option<Shape> {
        let picked = self.picked.get()?;
        shapes.with(|all| all.iter().find(|s| s.what == picked).cloned())
    }

    /// What is picked, once more and over everything else.
    pub(super) fn outlined(self, shapes: Memo<Vec<Shape>>) -> impl IntoView + use<> {
        move || {
            let Some(shape) = self.picked_of(shapes) else { return Vec::new() };
            let d = &shape.outline.path;
            let halo = if shape.dot > 0.0 { shape.dot + 8.0 } else { 0.0 };
            let dot = (shape.dot > 0.0).then(|| path(class_of(&shape), shape.dot, Arc::clone(d)));
            let mut strokes = vec![path("picked".to_owned(), halo, Arc::clone(d))];
            strokes.extend(dot);
            strokes
        }
    }

    /// Where what is picked can be taken hold of, by a finger or by arrow keys.
    pub(super) fn grip(
        self,
        view: View,
        shapes: Memo<Vec<Shape>>,
        seized: StoredValue<Option<View>>,
        drag: Callback<Drag>,
    ) -> impl IntoView {
        let name = move || {
            let picked = self.picked.get()?;
            if let Picked::Mark(k) = picked {
                return self.hand.with(|h| h.boat.marks.get(k).map(|m| format!("{} mark", m.name)));
            }
            self.parts.with(|all| all.iter().find(|d| d.what == picked).map(|d| d.name.clone()))
        };
        let words = move || {
            let place = view.words();
            name().map(|n| format!("Move {n} in the {place}: arrow keys 1 mm, with Shift 10 mm"))
        };
        let press = move |ev: KeyboardEvent| {
            let Some(what) = self.picked.get_untracked() else { return };
            let step = if ev.shift_key() { 10.0 } else { 1.0 } * MILLIMETRE;
            let (right, up) = match ev.key().as_str() {
                "ArrowRight" => (step, 0.0),
                "ArrowLeft" => (-step, 0.0),
                "ArrowUp" => (0.0, step),
                "ArrowDown" => (0.0, -step),
                _ => return,
            };
            ev.prevent_default();
            let [along, over] = self.frame.get_untracked().axes(view);
            drag.run(Drag { what, by: (along * right + over * up).into(), done: true });
        };
        view! {
            <path
                class="grip"
                data-testid=format!("grip-{}", view.words().replace(' ', "-"))
                role="application"
                aria-label=words
                tabindex=move || self.picked.get().map(|_| "0")
                d=move || self.picked_of(shapes).map(|s| Arc::clone(&s.outline.path))
                on:pointerdown=move |_| seized.set_value(Some(view))
                on:keydown=press
            />
        }
    }

    /// The centres of gravity and buoyancy, and the metacentre.
    pub(super) fn centres(self, view: View, zoom: RwSignal<Zoom>) -> impl IntoView + use<> {
        let times = memo(move || zoom.get().times);
        let placed = memo(move || signs(&self.scene.get(), &self.frame.get(), view, times.get()));
        move || placed.get().into_iter().map(sign_view).collect_view()
    }
}

fn class_of(shape: &Shape) -> String {
    let faint = if shape.faint { " faint" } else { "" };
    let big = if shape.big { " big" } else { "" };
    format!("part {}{faint}{big}", shape.look.class())
}

/// The water of the picture.
pub(super) fn water(class: &'static str) -> impl IntoView {
    view! { <rect class=class x="0" y=SURFACE width=WIDTH height=HEIGHT - SURFACE /> }
}

/// The patterns that tell materials apart: name, size of a tile in pixels, what is in it.
const PATTERNS: [(&str, f64, &str); 6] = [
    ("hatch", 9.0, "M0 4.5H9"),
    ("metal", 5.0, "M-1 1L1 -1M-1 6L6 -1M4 6L6 4"),
    ("plastic", 9.0, "M-1 8L1 10M-1 -1L10 10M8 -1L10 1"),
    ("wood", 12.0, "M0 2H12M0 6H5M8 6H12M0 10H12"),
    ("foam", 7.0, "M1.5 1.5h.01M5 5h.01"),
    ("composite", 7.0, "M0 3.5H7M3.5 0V7"),
];

/// The patterns, in the same size however close the page is seen.
pub(super) fn patterns(frame: Memo<Frame>, zoom: RwSignal<Zoom>) -> impl IntoView {
    let water = memo(move || format!("scale({:.4})", 1.0 / zoom.get().times));
    let parts = memo(move || {
        format!("scale({:.4})", 1e3 / (zoom.get().times * frame.get().scale).max(1e-3))
    });
    let pattern = move |(id, size, d): (&'static str, f64, &'static str)| {
        let scale = if id == "hatch" { water } else { parts };
        view! {
            <pattern id=id width=size height=size patternUnits="userSpaceOnUse" patternTransform=scale>
                <rect class=format!("ground {id}") width=size height=size />
                {path(format!("hatching {id}"), 0.0, d.into())}
            </pattern>
        }
    };
    view! { <defs>{PATTERNS.map(pattern).collect_view()}</defs> }
}
