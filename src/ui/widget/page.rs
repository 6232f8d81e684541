//! What is on the drawing's page, as markup: for each view what lies in the water and what is
//! drawn over it.
//!
//! Text and not elements: a drawing is made of many like things that only change together.

use super::frame::{Axes, Frame, View, Views};
use super::placing::{about, overlap, water_place};
use super::scene::{Drag, Drawn, Picked, Scene};
use super::shape::{DrawnShape, Outline, Outlines};
use super::signs::{aim, blocks, is_seen, mark_markup, path};
use super::tank::{Spaces, WaterLevel, fills_of};
use super::word::PlacedWord;
use super::zoom::Zoom;
use crate::signal::{Memo, RwSignal, StoredValue, memo};
use crate::state::BoatInHand;
use crate::ui::markup::{Attr, Markup};
use crate::ui::text;
use crate::words::speech::speech;
use crate::words::t;
use leptos::ev::KeyboardEvent;
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::geometry::{Bounds, Mesh};

/// How the page is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Glass {
    /// How close.
    pub(super) zoom: Zoom,
    /// While something is moved: where metres fell when it was taken hold of. The boat lies still
    /// meanwhile, so that what is moved stays under the finger.
    pub(super) held: Option<Frame>,
}

/// What a view is drawn from that does not depend on how the boat lies.
#[derive(Debug, Default)]
pub(super) struct StaticView {
    /// Parts and tanks, marks last.
    pub(super) shapes: Vec<DrawnShape>,
    axes: Axes,
    /// The spaces of the tanks.
    spaces: Vec<Arc<Outline>>,
    /// The bulkheads in them, as path data.
    pub(super) bulkheads: String,
}

/// One view of the page.
#[derive(Debug, Clone, Copy)]
struct OnPage {
    /// Where metres fall, as a style.
    style: Memo<String>,
    /// What is seen; nothing while the view is not shown.
    sight: Memo<Arc<StaticView>>,
}

/// What the page is made from.
#[derive(Clone, Copy)]
pub(super) struct DrawingPage {
    pub(super) hand: Memo<Arc<BoatInHand>>,
    pub(super) scene: Memo<Scene>,
    pub(super) parts: Memo<Vec<Drawn>>,
    pub(super) picked: Memo<Option<Picked>>,
    pub(super) views: RwSignal<Views>,
    pub(super) glass: RwSignal<Glass>,
    /// Where metres fall.
    frame: Memo<Frame>,
    of_views: [OnPage; 3],
    spaces: Memo<Arc<Spaces>>,
    /// How the water in the tanks stands.
    levels: Memo<Vec<WaterLevel>>,
    /// Where the word at the surface stands.
    pub(super) water_word: Memo<[f64; 2]>,
}

/// Half of what a weight to put on needs, pixels.
pub(super) const BLOCK: f64 = 12.0;

impl DrawingPage {
    /// The page of a boat. Water in tanks is drawn by `fills`, the shares of the boat's tanks that
    /// are full; without them as the parts say.
    ///
    /// While a boat is shown on its way from one attitude to another, all that changes is where
    /// metres fall, the water in its tanks, and its centres: the rest is kept in memos.
    pub(super) fn new(
        hand: Memo<Arc<BoatInHand>>,
        scene: Memo<Scene>,
        parts: Memo<Vec<Drawn>>,
        picked: Memo<Option<Picked>>,
        views: RwSignal<Views>,
        fills: Option<Memo<Vec<f64>>>,
    ) -> Self {
        let glass = RwSignal::new(Glass { zoom: Zoom::WHOLE, held: None });
        let bounds = memo(move || {
            let model = hand.with(|h| h.model.bounds());
            parts.with(|all| {
                let meshes = all.iter().filter_map(|d| d.mesh.as_deref());
                meshes.map(Mesh::bounds).fold(model, Bounds::joined)
            })
        });
        let frame = memo(move || {
            let fitted = || Frame::of(bounds.get(), views.get(), &scene.get());
            glass.get().held.unwrap_or_else(fitted)
        });
        let spaces = Memo::new_with_compare(
            move |before: Option<&Arc<Spaces>>| {
                let before = before.map(Arc::as_ref);
                parts.with(|all| hand.with(|h| Arc::new(Spaces::of(all, &h.boat.tanks, before))))
            },
            |_, _| true,
        );
        let levels = Memo::new(move |before: Option<&Vec<WaterLevel>>| {
            let pose = frame.get().pose;
            let fills = fills.map_or_else(|| parts.with(|all| fills_of(all)), Memo::get);
            spaces.with(|s| s.levels(&fills, &pose, before))
        });
        let of_views = View::ALL.map(|view| {
            // Kept from one drawing to the next.
            let outlines = StoredValue::new(Outlines::default());
            let axes = memo(move || {
                let is_shown = views.get().shown().contains(&view) && frame.get().shows(view);
                is_shown.then(|| frame.get().axes(view))
            });
            let sight = Memo::new_with_compare(
                move |_| {
                    let Some(axes) = axes.get() else { return Arc::default() };
                    let spaces = spaces.get();
                    let seen = outlines.try_update_value(|outlines| {
                        parts.with(|all| outlines.shapes(all, &spaces.meshes, axes))
                    });
                    let (mut shapes, within) = seen.unwrap_or_default();
                    hand.with(|hand| {
                        let marks = hand.boat.marks.iter().enumerate();
                        let marks = marks.filter(|(_, mark)| is_seen(mark, view));
                        shapes.extend(marks.map(|(k, mark)| DrawnShape::mark(k, mark, axes)));
                    });
                    let bulkheads = spaces.bulkheads(&shapes, axes);
                    Arc::new(StaticView { axes, shapes, spaces: within, bulkheads })
                },
                |_, _| true,
            );
            OnPage { style: memo(move || frame.get().style(view)), sight }
        });
        let water_word = Memo::new(move |before: Option<&[f64; 2]>| {
            let (frame, scene) = (frame.get(), scene.get());
            let [side, end, _] = of_views;
            let seen = [(View::Side, side.sight.get()), (View::End, end.sight.get())];
            let half = PlacedWord::half(&t!("widget.water"));
            let blocks = blocks(&scene, &frame);
            water_place(half, frame.gap, before.copied(), |area| {
                let on_block = blocks.iter().any(|at| overlap(area, &about(*at, BLOCK)));
                let mut shapes =
                    seen.iter().flat_map(|(view, s)| s.shapes.iter().map(|s| (*view, s)));
                !on_block && !shapes.any(|(view, shape)| shape.lies_under(area, &frame, view))
            })
        });
        Self {
            hand,
            scene,
            parts,
            picked,
            views,
            glass,
            frame,
            of_views,
            spaces,
            levels,
            water_word,
        }
    }

    /// Where metres fall.
    pub(super) fn frame(self) -> Frame {
        self.frame.get()
    }

    fn of(self, view: View) -> OnPage {
        let [side, end, plan] = self.of_views;
        match view {
            View::Side => side,
            View::End => end,
            View::Plan => plan,
        }
    }

    /// The style that puts a view in its place.
    pub(super) fn style(self, view: View) -> String {
        self.of(view).style.get()
    }

    /// What is seen in a view.
    pub(super) fn sight(self, view: View) -> Arc<StaticView> {
        self.of(view).sight.get()
    }

    /// Parts and tanks of a view.
    pub(super) fn solids(self, view: View) -> Markup {
        let sight = self.sight(view);
        let over_all = |what: Picked| matches!(what, Picked::Mark(_) | Picked::Phone);
        let shapes = sight.shapes.iter().filter(|s| !over_all(s.what));
        shapes.map(|s| path(&class_of(s), s.dot, &s.outline.path)).collect()
    }

    /// Water in the tanks of a view and its surfaces, as path data.
    pub(super) fn water(self, view: View) -> [String; 2] {
        let sight = self.sight(view);
        let frame = self.frame.get();
        self.levels.with(|l| self.spaces.with(|s| s.water(&sight.spaces, l, view, &frame)))
    }

    /// The design waterline, the phone, the marks, and what is picked once more, over everything else.
    pub(super) fn lines(self, view: View) -> Markup {
        let sight = self.sight(view);
        if sight.shapes.is_empty() {
            return Markup::default();
        }
        let axes = sight.axes;
        let mut markup = self.hand.with(|hand| {
            let marks = hand.boat.marks.iter().filter(|mark| is_seen(mark, view));
            let aim = path("aim", 0.0, &aim(hand, view, axes));
            std::iter::once(aim)
                .chain(marks.map(|mark| mark_markup(mark, axes)))
                .collect::<Markup>()
        });
        if let Some(phone) = sight.shapes.iter().find(|s| s.what == Picked::Phone) {
            markup += path("phone halo", 0.0, &phone.outline.path);
            markup += path("phone", 0.0, &phone.outline.path);
        }
        if let Some(shape) = self.picked_of(view).filter(|s| s.what != Picked::Phone) {
            let (d, dot) = (&shape.outline.path, shape.dot);
            let halo = if dot > 0.0 { dot + 8.0 } else { 0.0 };
            markup += path("picked", halo, d);
            if dot > 0.0 {
                markup += path(&class_of(&shape), dot, d);
            }
        }
        markup
    }

    /// The phone, where it lies aboard.
    pub(super) fn phone(self) -> Option<Drawn> {
        self.parts.with(|all| all.iter().find(|d| d.what == Picked::Phone).cloned())
    }

    /// The shape of what is picked.
    pub(super) fn picked_of(self, view: View) -> Option<DrawnShape> {
        let picked = self.picked.get()?;
        self.sight(view).shapes.iter().find(|s| s.what == picked).cloned()
    }

    /// Where on the page what is picked lies, in the first view that has it.
    pub(super) fn place_of_picked(self) -> Option<[f64; 2]> {
        let frame = self.frame();
        let view = *self.views.get().shown().first()?;
        let middle = self.picked_of(view)?.outline.middle()?;
        Some(frame.page_of_seen(view, middle))
    }

    /// What an assistive program says of the grip in a view.
    pub(super) fn grip_words(self, view: View) -> Option<String> {
        let picked = self.picked.get()?;
        let name = if let Picked::Mark(k) = picked {
            self.hand.with(|h| h.boat.marks.get(k).map(|m| t!("widget.mark", mark = m.name)))
        } else {
            self.parts.with(|all| all.iter().find(|d| d.what == picked).map(|d| d.name.clone()))
        };
        let place = view.words();
        let [step, far] = [1.0, 10.0].map(|n| text::millimetres(n * speech().length_step()));
        name.map(|n| t!("widget.move", name = n, view = place, step = step, far = far))
    }

    /// What an arrow key on the grip of a view asks for.
    pub(super) fn key(self, view: View, ev: &KeyboardEvent) -> Option<Drag> {
        let what = self.picked.get_untracked()?;
        let step = if ev.shift_key() { 10.0 } else { 1.0 } * speech().length_step();
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

fn class_of(shape: &DrawnShape) -> String {
    let faint = if shape.faint { " faint" } else { "" };
    let big = if shape.big { " big" } else { "" };
    let inside = if shape.inside { " inside" } else { "" };
    format!("part {}{faint}{big}{inside}", shape.look.class())
}

/// The patterns that tell materials apart: name, size of a tile in pixels, what is in it.
const PATTERNS: [(&str, f64, &str); 7] = [
    ("hatch", 9.0, "M0 4.5H9"),
    ("tank-hatch", 4.0, "M0 2H4"),
    ("metal", 5.0, "M-1 1L1 -1M-1 6L6 -1M4 6L6 4"),
    ("plastic", 9.0, "M-1 8L1 10M-1 -1L10 10M8 -1L10 1"),
    ("wood", 12.0, "M0 2H12M0 6H5M8 6H12M0 10H12"),
    ("foam", 7.0, "M1.5 1.5h.01M5 5h.01"),
    ("composite", 7.0, "M0 3.5H7M3.5 0V7"),
];

/// The patterns, in the same size however close the page is seen.
pub(super) fn patterns(scale: f64, zoom: Zoom) -> Markup {
    let pattern = |(id, size, d): (&str, f64, &str)| {
        // The water lies on the page, where a unit is a pixel; parts are drawn in millimetres.
        let unit = if id == "hatch" { 1.0 } else { 1e3 / scale.max(1e-3) } / zoom.times;
        let class = format!("ground {id}");
        let ground = [("class", &class as _), ("width", &size as _), ("height", &size as _)];
        let pieces = [Markup::empty("rect", &ground), path(&format!("hatching {id}"), 0.0, d)];
        let transform = format!("scale({unit:.4})");
        let tile: [Attr<'_>; 5] = [
            ("id", &id),
            ("width", &size),
            ("height", &size),
            ("patternUnits", &"userSpaceOnUse"),
            ("patternTransform", &transform),
        ];
        Markup::element("pattern", &tile, &pieces.into_iter().collect())
    };
    PATTERNS.map(pattern).into_iter().collect()
}
