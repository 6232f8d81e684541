//! What the drawing shows, and where it falls on the page. No signals in here.

use crate::state::BoatInHand;
use nalgebra::Vector3;
use std::fmt::Write as _;
use trimwright::ballast::{Advice, Step};
use trimwright::frame::Pose;
use trimwright::geometry::outline;

/// A weight in the drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Load {
    /// Put on at (x, y, z), metres.
    Add([f64; 3]),
    /// Taken off there.
    TakeOff([f64; 3]),
    /// Shifted by (forward, to port), metres.
    Shift([f64; 2]),
}

impl Load {
    /// The first step of an advice, if it has one.
    pub(crate) fn of(advice: &Advice) -> Option<Self> {
        Some(match advice.steps.first()? {
            Step::Add(w) => Self::Add([w.x.value, w.y.value, w.place.z]),
            Step::TakeOff(w) => Self::TakeOff([w.x.value, w.y.value, w.place.z]),
            Step::Shift { forward, to_port, .. } => Self::Shift([forward.value, to_port.value]),
        })
    }
}

/// What the drawing shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scene {
    /// How the boat lies.
    pub(crate) pose: Pose,
    /// Wholly under: there is no surface in the picture.
    pub(crate) under: bool,
    /// Centre of gravity, body axes, metres.
    pub(crate) gravity: [f64; 3],
    /// What to do.
    pub(crate) load: Option<Load>,
    /// Whether its place along, and across, the boat was read; if not, no distance is drawn.
    pub(crate) told: [bool; 2],
}

/// The page of the drawing, in its own units (pixels at a width of 390).
pub(crate) const WIDTH: f64 = 390.0;
/// Its height.
pub(crate) const HEIGHT: f64 = 194.0;
/// Where the water surface is drawn.
pub(crate) const SURFACE: f64 = 84.0;
/// Angles below this are drawn larger, degrees.
const SMALL: f64 = 4.0;
/// How much larger.
const LARGER: f64 = 3.0;
/// Heel beyond which the side view is projected anew rather than turned, radians.
const FLAT: f64 = 0.35;

/// Where metres fall on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Layout {
    /// Pixels per metre.
    pub(crate) scale: f64,
    /// Page x of midship in the side view.
    pub(crate) side: f64,
    /// Page x of the centre plane in the end view.
    pub(crate) end: f64,
    /// Page x of the middle of the gap between the two.
    pub(crate) gap: f64,
}

impl Layout {
    /// Fits the boat's side view and end view beside one another.
    pub(crate) fn of(hand: &BoatInHand) -> Self {
        let bounds = hand.model.bounds();
        let size = bounds.size();
        let broad = size.y.max(0.35 * size.z);
        let margin = 14.0;
        let gap = 26.0;
        let across = (WIDTH - 2.0 * margin - gap) / (size.x + broad);
        let upright = 120.0 / size.z.max(1e-3);
        let scale = across.min(upright);
        let used = (size.x + broad) * scale + gap;
        let left = (WIDTH - used) / 2.0;
        Self {
            scale,
            side: left - bounds.low.x * scale,
            end: left + size.x * scale + gap + broad * scale / 2.0,
            gap: left + size.x * scale + gap / 2.0,
        }
    }
}

/// Where the boat is turned and put in both views.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Placing {
    /// Style of the side view's group.
    pub(crate) side: [f64; 5],
    /// Style of the end view's group.
    pub(crate) end: [f64; 5],
    /// Angles are drawn three times as large.
    pub(crate) larger: bool,
}

impl Placing {
    /// Turns the boat about the point where the water meets it, so that small angles can be drawn
    /// larger without lifting it out of the water.
    pub(crate) fn of(scene: &Scene, layout: Layout, hand: &BoatInHand) -> Self {
        let bounds = hand.model.bounds();
        let (heel, trim) = (scene.pose.heel(), scene.pose.trim());
        let larger = heel.abs().max(trim.abs()) < SMALL.to_radians()
            && heel.abs().max(trim.abs()) > 0.05_f64.to_radians();
        let times = if larger { LARGER } else { 1.0 };
        let x = scene.gravity[0];
        // Height of the water in the side view's plane at x; under water the middle of the boat
        // is put well below the surface.
        let mid = f64::midpoint(bounds.low.z, bounds.high.z);
        let (water, depth) = if scene.under {
            (mid, 46.0)
        } else {
            ((trim.sin() * x - scene.pose.height()) / trim.cos().max(0.05), 0.0)
        };
        let s = layout.scale;
        let y = SURFACE + depth;
        let side = [layout.side + x * s, y, times * trim.to_degrees(), -x * s, water * s];
        let rolled = heel.cos();
        let at_x = scene.pose.height() - trim.sin() * x;
        let end = if scene.under {
            [layout.end, y, times * heel.to_degrees(), 0.0, mid * s]
        } else if rolled > 0.5 {
            [layout.end, y, times * heel.to_degrees(), 0.0, -at_x / rolled * s]
        } else {
            [layout.end, y - at_x * s, heel.to_degrees(), 0.0, 0.0]
        };
        Self { side, end, larger }
    }
}

/// The style that puts a group in its place.
pub(crate) fn style([x, y, turn, dx, dy]: [f64; 5]) -> String {
    format!(
        "transform: translate({x:.2}px, {y:.2}px) rotate({turn:.3}deg) translate({dx:.2}px, {dy:.2}px)"
    )
}

/// Outlines of all solids as SVG path data, in pixels about the body's origin: seen from
/// starboard's side with the bow to the right.
pub(crate) fn side_paths(hand: &BoatInHand, scale: f64, heel: f64) -> Vec<String> {
    let heel = if heel.abs() < FLAT { 0.0 } else { heel };
    let up = Vector3::new(0.0, heel.sin(), heel.cos());
    paths(hand, scale, &Vector3::x(), &up)
}

/// The same seen looking forward: port is to the left.
pub(crate) fn end_paths(hand: &BoatInHand, scale: f64) -> Vec<String> {
    paths(hand, scale, &-Vector3::y(), &Vector3::z())
}

fn paths(hand: &BoatInHand, scale: f64, right: &Vector3<f64>, up: &Vector3<f64>) -> Vec<String> {
    // Largest first, so that small parts are not hidden.
    let mut solids: Vec<_> = hand.model.solids().iter().collect();
    solids.sort_by(|a, b| b.volume().total_cmp(&a.volume()));
    solids
        .into_iter()
        .map(|solid| {
            let mut path = String::new();
            for (k, [x, z]) in outline(solid, right, up, 0.4 / scale).into_iter().enumerate() {
                let letter = if k == 0 { 'M' } else { 'L' };
                // Writing to a text cannot fail.
                let _written = write!(path, "{letter}{:.1} {:.1}", x * scale, -z * scale);
            }
            path.push('Z');
            path
        })
        .collect()
}
