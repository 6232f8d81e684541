//! The views of the drawing, and where metres of the boat fall on its page.

use super::scene::Scene;
use crate::words::{t, word};
use nalgebra::Vector3;
use std::f64::consts::FRAC_PI_4;
use trimwright::frame::Pose;
use trimwright::geometry::Bounds;

/// The page of the drawing, in its own units (pixels at a width of 390).
pub(crate) const WIDTH: f64 = 390.0;
/// Its height.
pub(crate) const HEIGHT: f64 = 194.0;
/// Where the water surface is drawn.
pub(crate) const SURFACE: f64 = 84.0;
/// Where the middle of a boat wholly under is drawn, below the surface.
const DEPTH: f64 = 46.0;
/// Angles below this are drawn larger, degrees.
pub(crate) const SMALL: f64 = 4.0;
/// How much larger.
const LARGER: f64 = 3.0;
/// How high an end view that may be larger is drawn, pixels, and how much larger at most.
const END: f64 = 100.0;
const MOST: f64 = 3.0;
/// Heel beyond which the side view is projected anew rather than turned, radians.
const FLAT: f64 = 0.35;

/// One view of the boat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum View {
    /// From starboard: the bow is to the right.
    Side,
    /// Looking forward: port is to the left.
    End,
    /// From above: the bow is to the right, port is up.
    Plan,
}

impl View {
    /// The views, in the order in which they are drawn.
    pub(crate) const ALL: [Self; 3] = [Self::Side, Self::End, Self::Plan];

    /// In words, for a screen reader.
    pub(crate) fn words(self) -> String {
        t!(match self {
            Self::Side => word!("widget.side_view"),
            Self::End => word!("widget.end_view"),
            Self::Plan => word!("widget.plan_view"),
        })
    }

    /// Its name for tests.
    pub(crate) fn slug(self) -> &'static str {
        match self {
            Self::Side => "side-view",
            Self::End => "end-view",
            Self::Plan => "plan",
        }
    }
}

/// What is on the page together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Views {
    /// Side view and end view.
    #[default]
    Side,
    /// The plan.
    Plan,
}

impl Views {
    /// The views on the page.
    pub(crate) fn shown(self) -> &'static [View] {
        match self {
            Self::Side => &[View::Side, View::End],
            Self::Plan => &[View::Plan],
        }
    }
}

/// The body directions that point right and up in a view.
pub(crate) type Axes = [Vector3<f64>; 2];

/// Where a view is turned and put: to `x`, `y` on the page, by an angle clockwise, about a point
/// that lies at minus `dx`, `dy` from the body's origin. Pixels and degrees.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Turn {
    x: f64,
    y: f64,
    degrees: f64,
    dx: f64,
    dy: f64,
}

impl Turn {
    /// As at the surface, or by a share from there to a place under it, at the same angle.
    fn sunk(self, share: f64, y: f64, dy: f64) -> Self {
        // Written so that nothing and the whole are exact.
        let between = |from: f64, to: f64| (1.0 - share) * from + share * to;
        Self { y: between(self.y, y), dy: between(self.dy, dy), ..self }
    }
}

/// Where metres fall on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Frame {
    /// Pixels per metre; those of the end view may be more: see [`Frame::scale_of`].
    pub(crate) scale: f64,
    /// How much larger the end view is drawn than the others.
    pub(crate) end_times: f64,
    /// Page x of midship in the side view and the plan.
    pub(crate) side: f64,
    /// Page x of the centre plane in the end view.
    pub(crate) end: f64,
    /// Page x of the middle of the gap between the two.
    pub(crate) gap: f64,
    /// The box around everything drawn.
    pub(crate) bounds: Bounds,
    /// Angles are drawn three times as large.
    pub(crate) larger: bool,
    /// The boat lies on its bow or its stern: there is nothing to be seen of it looking forward.
    pub(crate) on_end: bool,
    /// How the boat lies.
    pub(crate) pose: Pose,
    turns: [Turn; 3],
    /// Up in the side view, body axes.
    up: Vector3<f64>,
}

impl Frame {
    /// Fits the views beside one another, and turns the boat about the point where the water
    /// meets it, so that small angles can be drawn larger without lifting it out of the water.
    pub(crate) fn of(bounds: Bounds, views: Views, scene: &Scene) -> Self {
        let size = bounds.size();
        let margin = 14.0;
        let (broad, gap, high) = match views {
            Views::Side => (size.y.max(0.35 * size.z), 26.0, size.z),
            Views::Plan => (0.0, 0.0, size.y),
        };
        let fitted = |broad: f64| {
            let across = (WIDTH - 2.0 * margin - gap) / (size.x + broad).max(1e-3);
            across.min(120.0 / high.max(1e-3))
        };
        // On a way from one attitude to another a lean must be seen.
        let end_times = match (views, scene.passing) {
            (Views::Side, Some(_)) => (END / (high * fitted(broad)).max(1e-3)).clamp(1.0, MOST),
            _ => 1.0,
        };
        let broad = broad * end_times;
        let scale = fitted(broad).min(if views == Views::Side {
            far_over_fits(bounds, scene)
        } else {
            f64::INFINITY
        });
        let left = (WIDTH - (size.x + broad) * scale - gap) / 2.0;
        let heel = scene.pose.heel();
        let far_over = if heel.abs() < FLAT { 0.0 } else { (heel / 0.1).round() * 0.1 };
        // A boat that has fallen over is broader: it stays on the page.
        let tall = bounds.low.z.abs().max(bounds.high.z.abs());
        let reach = (heel.cos().abs() * size.y / 2.0 + heel.sin().abs() * tall) * scale * end_times;
        let end = left + size.x * scale + gap + broad * scale / 2.0;
        let mut frame = Self {
            scale,
            end_times,
            side: left - bounds.low.x * scale,
            end: if heel.abs() < FLAT { end } else { end.min(WIDTH - 4.0 - reach) },
            gap: left + size.x * scale + gap / 2.0,
            bounds,
            larger: false,
            on_end: scene.passing.is_none() && scene.pose.trim().abs() > FRAC_PI_4,
            pose: scene.pose,
            turns: [Turn::default(); 3],
            up: Vector3::new(0.0, far_over.sin(), far_over.cos()),
        };
        frame.turn(scene);
        frame
    }

    fn turn(&mut self, scene: &Scene) {
        let Bounds { low, high } = self.bounds;
        let (s, s_end) = (self.scale, self.scale_of(View::End));
        let (heel, trim) = (scene.pose.heel(), scene.pose.trim());
        let most = heel.abs().max(trim.abs()).to_degrees();
        self.larger = scene.passing.map_or(most < SMALL && most > 0.05, |p| p.larger);
        let times = if self.larger { LARGER } else { 1.0 };
        let x = scene.gravity[0];
        // Under water the middle of the boat is put well below the surface.
        let mid = f64::midpoint(low.z, high.z);
        let sunk = scene.passing.map_or(f64::from(u8::from(scene.under)), |p| p.sunk);
        let deep = SURFACE + DEPTH;
        // Height of the water in the side view's plane at x.
        let water = (trim.sin() * x - scene.pose.height()) / trim.cos().max(0.05);
        let (dx, dy, degrees) = (-x * s, water * s, times * trim.to_degrees());
        let mut side = Turn { x: self.side + x * s, y: SURFACE, degrees, dx, dy };
        if self.on_end {
            // About the point of its length where the water meets it.
            let along = scene.pose.height() / trim.sin();
            let middle = f64::midpoint(low.x, high.x);
            side = Turn { x: self.side + middle * s, dx: -along * s, dy: 0.0, ..side };
        }
        let rolled = heel.cos();
        let at_x = scene.pose.height() - trim.sin() * x;
        let end = Turn { x: self.end, y: SURFACE, degrees: times * heel.to_degrees(), ..side };
        let end = if rolled > 0.5 || scene.under {
            Turn { dx: 0.0, dy: -at_x / rolled.max(0.5) * s_end, ..end }
        } else {
            Turn { y: SURFACE - at_x * s_end, degrees: heel.to_degrees(), dx: 0.0, dy: 0.0, ..end }
        };
        let side = side.sunk(sunk, deep, mid * s);
        let end = end.sunk(sunk, deep, mid * s_end);
        let plan = Turn {
            x: self.side,
            y: HEIGHT / 2.0,
            dy: f64::midpoint(low.y, high.y) * s,
            ..Turn::default()
        };
        self.turns = [side, end, plan];
    }

    fn turn_of(&self, view: View) -> Turn {
        let [side, end, plan] = self.turns;
        match view {
            View::Side => side,
            View::End => end,
            View::Plan => plan,
        }
    }

    /// Pixels per metre in a view.
    pub(crate) fn scale_of(&self, view: View) -> f64 {
        if view == View::End { self.scale * self.end_times } else { self.scale }
    }

    /// Whether a view of those on the page can show the boat as it lies.
    pub(crate) fn shows(&self, view: View) -> bool {
        view != View::End || !self.on_end
    }

    /// The body directions that point right and up in a view.
    pub(crate) fn axes(&self, view: View) -> Axes {
        match view {
            View::Side => [Vector3::x(), self.up],
            View::End => [-Vector3::y(), Vector3::z()],
            View::Plan => [Vector3::x(), Vector3::y()],
        }
    }

    /// Where a point of the body lies on the page.
    pub(crate) fn page(&self, view: View, at: [f64; 3]) -> [f64; 2] {
        self.page_of_seen(view, seen(self.axes(view), at))
    }

    /// The same of a point as seen.
    pub(crate) fn page_of_seen(&self, view: View, [right, up]: [f64; 2]) -> [f64; 2] {
        let Turn { x, y, degrees, dx, dy } = self.turn_of(view);
        let scale = self.scale_of(view);
        let [along, down] = turned([right * scale + dx, -up * scale + dy], degrees.to_radians());
        [x + along, y + down]
    }

    /// What is seen at a place of the page: metres to the right and up.
    pub(crate) fn seen_at(&self, view: View, [px, py]: [f64; 2]) -> [f64; 2] {
        let Turn { x, y, degrees, dx, dy } = self.turn_of(view);
        let [along, down] = turned([px - x, py - y], -degrees.to_radians());
        [(along - dx) / self.scale_of(view), -(down - dy) / self.scale_of(view)]
    }

    /// How far a way across the page goes in the body, in the plane of the view: body axes, whole
    /// millimetres, in metres.
    pub(crate) fn way(&self, view: View, by: [f64; 2]) -> [f64; 3] {
        let [along, down] = turned(by, -self.turn_of(view).degrees.to_radians());
        let [right, up] = self.axes(view);
        let by = (right * along - up * down) / self.scale_of(view);
        // Adding zero makes a negative zero plain.
        by.map(|metres| (metres * 1e3).round() / 1e3 + 0.0).into()
    }

    /// The direction of the page's up as it is seen in the turned boat.
    pub(crate) fn level(&self, view: View) -> [f64; 2] {
        let [right, down] = turned([0.0, -1.0], -self.turn_of(view).degrees.to_radians());
        [right, -down]
    }

    /// The style that puts a view's group in its place; in the group a unit is a millimetre.
    pub(crate) fn style(&self, view: View) -> String {
        let Turn { x, y, degrees, dx, dy } = self.turn_of(view);
        let scale = self.scale_of(view) / 1e3;
        format!(
            "transform: translate({x:.2}px, {y:.2}px) rotate({degrees:.3}deg) \
             translate({dx:.2}px, {dy:.2}px) scale({scale:.5}); --scale: {scale:.5}"
        )
    }

    /// The style by which signs in that group stand upright. Apart from the group's own: all that
    /// is in it would have to be styled anew whenever the boat turns.
    pub(crate) fn upright(&self, view: View) -> String {
        format!("--turn: {:.3}deg", -self.turn_of(view).degrees)
    }
}

/// Pixels per metre at which a boat that lies far over has room above the surface and below it. One on its way
/// from one attitude to another keeps its size.
fn far_over_fits(bounds: Bounds, scene: &Scene) -> f64 {
    let pose = scene.pose;
    if scene.under || scene.passing.is_some() || pose.heel().abs().max(pose.trim().abs()) < FLAT {
        return f64::INFINITY;
    }
    let up = pose.up();
    let ends = |high: bool| {
        let farthest = |k: usize| {
            let [low, high_end] = [up[k] * bounds.low[k], up[k] * bounds.high[k]];
            if high { low.max(high_end) } else { low.min(high_end) }
        };
        (0..3).map(farthest).sum::<f64>() + pose.height()
    };
    let above = (SURFACE - 8.0) / ends(true).max(1e-3);
    above.min((HEIGHT - SURFACE - 24.0) / (-ends(false)).max(1e-3))
}

/// A point of the body as it is seen, metres to the right and up before the boat is turned.
pub(crate) fn seen(axes: Axes, at: [f64; 3]) -> [f64; 2] {
    axes.map(|axis| axis.dot(&Vector3::from(at)))
}

/// Turned clockwise on the page.
fn turned([x, y]: [f64; 2], angle: f64) -> [f64; 2] {
    let (sin, cos) = angle.sin_cos();
    [x * cos - y * sin, x * sin + y * cos]
}

#[cfg(test)]
mod tests {
    use super::super::scene::Passing;
    use super::*;

    fn bounds() -> Bounds {
        Bounds { low: Vector3::new(-0.46, -0.08, 0.0), high: Vector3::new(0.46, 0.08, 0.208) }
    }

    fn scene(pose: Pose) -> Scene {
        Scene {
            pose,
            under: false,
            gravity: [0.02, 0.0, 0.05],
            buoyancy: None,
            metacentre: None,
            load: None,
            told: [true; 2],
            passing: None,
        }
    }

    #[track_caller]
    fn assert_near(by: [f64; 3], wanted: [f64; 3], words: &str) {
        let off = (Vector3::from(by) - Vector3::from(wanted)).norm();
        assert!(off < 1e-15, "{words}: {by:?}, wanted {wanted:?}");
    }

    #[test]
    fn both_pages_hold_the_whole_boat() {
        for views in [Views::Side, Views::Plan] {
            let frame = Frame::of(bounds(), views, &scene(Pose::upright(-0.106)));
            for &view in views.shown() {
                for at in [[-0.46, -0.08, 0.0], [0.46, 0.08, 0.208], [0.46, -0.08, 0.0]] {
                    let [x, y] = frame.page(view, at);
                    let inside = (0.0..=WIDTH).contains(&x) && (0.0..=HEIGHT).contains(&y);
                    assert!(inside, "{view:?} {at:?} falls at {x}, {y}");
                }
            }
        }
    }

    #[test]
    fn a_boat_that_lies_far_over_keeps_to_the_page_with_the_water_at_its_line() {
        let quarter = std::f64::consts::FRAC_PI_2;
        for (heel, trim, height) in [
            (2.0 * quarter, 0.0, 0.1),
            (quarter, 0.0, 0.0),
            (0.0, quarter, 0.2),
            (0.0, -quarter, -0.3),
            (0.3, -1.1, 0.1),
        ] {
            let pose = Pose::from_angles(height, heel, trim);
            let frame = Frame::of(bounds(), Views::Side, &scene(pose));
            let steep = trim.abs() > 1.0;
            assert_eq!(frame.shows(View::End), !steep, "nothing is seen of it looking forward");
            for k in 0..8_u8 {
                let end = |bit: u8, low: f64, high: f64| if k & bit == 0 { low } else { high };
                let at = [end(1, -0.46, 0.46), end(2, -0.08, 0.08), end(4, 0.0, 0.208)];
                for &view in Views::Side.shown().iter().filter(|view| frame.shows(**view)) {
                    let [x, y] = frame.page(view, at);
                    let inside = (0.0..=WIDTH).contains(&x) && (0.0..=HEIGHT).contains(&y);
                    assert!(inside, "{heel} {trim} {view:?}: {at:?} falls at {x}, {y}");
                }
            }
            if steep {
                // The point of its length where the water meets it, by its height in the world.
                let there = [height / trim.sin(), 0.0, 0.0];
                let [_, y] = frame.page(View::Side, there);
                assert!((y - SURFACE).abs() < 1e-9, "{trim}: the water is drawn at {y}");
            }
        }
    }

    #[test]
    fn on_its_way_a_slim_boat_is_seen_larger_from_behind() {
        for sunk in [0.0, 0.4, 1.0] {
            let passing = Some(Passing { sunk, larger: false });
            let pose = Pose::from_angles(-0.106, 0.2, 0.0);
            let way = Scene { under: sunk > 0.5, passing, ..scene(pose) };
            let slim =
                Bounds { low: Vector3::new(-0.6, -0.05, 0.0), high: Vector3::new(0.6, 0.05, 0.15) };
            let frame = Frame::of(slim, Views::Side, &way);
            assert!(frame.end_times > 1.5, "{} times", frame.end_times);
            for (view, at) in [
                (View::Side, [0.6, 0.0, 0.0]),
                (View::Side, [-0.6, 0.0, 0.15]),
                (View::End, [0.0, -0.05, 0.0]),
                (View::End, [0.0, 0.05, 0.15]),
            ] {
                let [x, y] = frame.page(view, at);
                let inside = (0.0..=WIDTH).contains(&x) && (0.0..=HEIGHT).contains(&y);
                assert!(inside, "{view:?} {at:?} falls at {x}, {y}");
                let (there, back) =
                    (seen(frame.axes(view), at), frame.seen_at(view, frame.page(view, at)));
                let off = (there[0] - back[0]).hypot(there[1] - back[1]);
                assert!(off < 1e-12, "{view:?}: {there:?} became {back:?}");
            }
        }
    }

    #[test]
    fn going_under_a_boat_moves_from_the_surface_to_its_depth() {
        let at = |sunk: f64| {
            let passing = Some(Passing { sunk, larger: false });
            let way = Scene { under: sunk > 0.0, passing, ..scene(Pose::upright(-0.2)) };
            let frame = Frame::of(bounds(), Views::Side, &way);
            [View::Side, View::End].map(|view| frame.page(view, [0.0, 0.0, 0.2])[1])
        };
        let (before, begun, middle, deep) = (at(0.0), at(1e-9), at(0.5), at(1.0));
        for k in 0..2 {
            assert!((before[k] - SURFACE).abs() < 1e-9, "awash: {before:?}");
            assert!((begun[k] - before[k]).abs() < 1e-6, "no jump: {before:?}, {begun:?}");
            let half = f64::midpoint(before[k], deep[k]);
            assert!((middle[k] - half).abs() < 1e-9, "half way: {middle:?}");
            assert!(deep[k] > SURFACE, "wholly under: {deep:?}");
        }
    }

    #[test]
    fn bow_is_right_port_is_left_from_behind_and_up_from_above() {
        let frame = Frame::of(bounds(), Views::Side, &scene(Pose::upright(-0.106)));
        let [origin, bow] = [[0.0; 3], [0.1, 0.0, 0.0]].map(|p| frame.page(View::Side, p)[0]);
        assert!(bow > origin, "bow at {bow}, midship at {origin}");
        let [origin, port] = [[0.0; 3], [0.0, 0.1, 0.0]].map(|p| frame.page(View::End, p)[0]);
        assert!(port < origin, "port at {port}, centre at {origin}");
        let plan = Frame::of(bounds(), Views::Plan, &scene(Pose::upright(-0.106)));
        let [origin, port] = [[0.0; 3], [0.0, 0.05, 0.0]].map(|p| plan.page(View::Plan, p)[1]);
        assert!(port < origin, "port at {port}, centre at {origin}");
    }

    #[test]
    fn starboard_down_is_drawn_starboard_down() {
        let pose = Pose::from_angles(-0.1, 0.2, 0.0);
        let frame = Frame::of(bounds(), Views::Side, &scene(pose));
        let [port, starboard] =
            [[0.0, 0.05, 0.1], [0.0, -0.05, 0.1]].map(|p| frame.page(View::End, p));
        assert!(starboard[0] > port[0] && starboard[1] > port[1], "{port:?} {starboard:?}");
    }

    #[test]
    fn the_water_stays_at_the_surface_line() {
        let pose = Pose::from_angles(-0.1, 0.0, 0.12);
        let frame = Frame::of(bounds(), Views::Side, &scene(pose));
        for x in [-0.4, 0.02, 0.4] {
            let [_, y] = frame.page(View::Side, [x, 0.0, pose.water_height_at(x, 0.0)]);
            assert!((y - SURFACE).abs() < 1e-9, "water at {x} is drawn at {y}");
        }
    }

    #[test]
    fn the_page_leads_back_to_the_body() {
        let pose = Pose::from_angles(-0.1, 0.05, -0.03);
        let frame = Frame::of(bounds(), Views::Side, &scene(pose));
        for view in [View::Side, View::End, View::Plan] {
            let at = [0.12, -0.03, 0.07];
            let (seen, back) =
                (seen(frame.axes(view), at), frame.seen_at(view, frame.page(view, at)));
            let off = (seen[0] - back[0]).hypot(seen[1] - back[1]);
            assert!(off < 1e-12, "{view:?}: {seen:?} became {back:?}");
        }
    }

    #[test]
    fn a_way_across_the_page_is_whole_millimetres_in_the_views_plane() {
        let frame = Frame::of(bounds(), Views::Side, &scene(Pose::upright(-0.106)));
        let px = frame.scale * 1e-3;
        let by = frame.way(View::Side, [12.3 * px, -4.6 * px]);
        assert_near(by, [0.012, 0.0, 0.005], "along and up, nothing across");
        let by = frame.way(View::End, [-7.2 * px, 3.0 * px]);
        assert_near(by, [0.0, 0.007, -0.003], "to port and down, nothing along");
        let by = frame.way(View::Plan, [-2.0 * px, -9.4 * px]);
        assert_near(by, [-0.002, 0.009, 0.0], "aft and to port, nothing up");
    }

    #[test]
    fn a_way_in_a_turned_boat_follows_the_finger() {
        let pose = Pose::from_angles(-0.1, 0.0, 0.03);
        let frame = Frame::of(bounds(), Views::Side, &scene(pose));
        let at = [0.1, 0.0, 0.05];
        let from = frame.page(View::Side, at);
        let by = frame.way(View::Side, [40.0, 25.0]);
        let to = frame.page(View::Side, [at[0] + by[0], at[1] + by[1], at[2] + by[2]]);
        let off = (to[0] - from[0] - 40.0).hypot(to[1] - from[1] - 25.0);
        assert!(off < frame.scale * 1e-3, "the finger went (40, 25), the thing {from:?} to {to:?}");
    }

    #[test]
    fn level_is_the_pages_up() {
        let pose = Pose::from_angles(-0.1, 0.0, 0.2);
        let frame = Frame::of(bounds(), Views::Side, &scene(pose));
        let up = pose.up();
        let level = frame.level(View::Side);
        let off = (level[0] - up.x).hypot(level[1] - up.z);
        assert!(off < 1e-12, "{level:?} against {up:?}");
    }
}
