//! Outlines of parts as they are seen, and which of them a finger meant.

use super::frame::{Axes, Frame, View, seen};
use super::placing::Area;
use super::scene::{Drawn, Look, Picked};
use nalgebra::Vector3;
use std::fmt::Write as _;
use std::sync::Arc;
use trimwright::boat::Mark;
use trimwright::geometry::{Mesh, outline, outline_with};
use trimwright::pause::Pause;

/// How far from a thing a finger may fall to mean it, pixels.
const REACH: f64 = 20.0;
/// What a large thing must be nearer by than a small one, pixels.
const LARGE: f64 = 16.0;

/// What must be between a word and a thing, pixels.
const NEAR: f64 = 4.0;

/// An outline in one view.
#[derive(Debug)]
pub(crate) struct Outline {
    /// As path data, millimetres.
    pub(crate) path: Arc<str>,
    /// Its points counter-clockwise, metres to the right and up.
    pub(super) points: Vec<[f64; 2]>,
    /// Its area, m².
    area: f64,
}

impl Outline {
    fn of(points: Vec<[f64; 2]>) -> Self {
        let after = points.iter().cycle().skip(1);
        let twice: f64 = points.iter().zip(after).map(|(a, b)| a[0] * b[1] - a[1] * b[0]).sum();
        Self { path: path_of(&points).into(), area: twice.abs() / 2.0, points }
    }

    /// The middle of its points, as seen.
    pub(crate) fn middle(&self) -> Option<[f64; 2]> {
        let n = self.points.len() as f64;
        let sum = self.points.iter().fold([0.0; 2], |[x, y], p| [x + p[0], y + p[1]]);
        (n > 0.0).then(|| sum.map(|s| s / n))
    }

    /// The corners of the box around it, as seen; none of nothing.
    pub(super) fn corners(&self) -> Option<[[f64; 2]; 4]> {
        let (first, rest) = self.points.split_first()?;
        let grown = |[low, high]: [[f64; 2]; 2], p: &[f64; 2]| {
            [[0, 1].map(|k| low[k].min(p[k])), [0, 1].map(|k| high[k].max(p[k]))]
        };
        let [low, high] = rest.iter().fold([*first; 2], grown);
        Some([low, [low[0], high[1]], high, [high[0], low[1]]])
    }

    /// Whether a point lies in it or at most so far from it, metres; of any shape.
    pub(super) fn is_near(&self, at: [f64; 2], reach: f64) -> bool {
        let after = self.points.iter().cycle().skip(1);
        // Where a way to the right from the point crosses an edge: an odd number of times from within.
        let crosses = |(a, b): &(&[f64; 2], &[f64; 2])| {
            let share = (at[1] - a[1]) / (b[1] - a[1]);
            (a[1] > at[1]) != (b[1] > at[1]) && at[0] < a[0] + share * (b[0] - a[0])
        };
        let is_in = self.points.iter().zip(after).filter(crosses).count() % 2 == 1;
        is_in || self.distance(at) <= reach
    }

    /// Distance of a point from the outline, metres; zero inside.
    fn distance(&self, [x, y]: [f64; 2]) -> f64 {
        let after = self.points.iter().cycle().skip(1);
        let mut inside = self.points.len() > 2;
        let mut least = f64::INFINITY;
        for (a, b) in self.points.iter().zip(after) {
            let (along, to) = ([b[0] - a[0], b[1] - a[1]], [x - a[0], y - a[1]]);
            inside &= along[0] * to[1] - along[1] * to[0] >= 0.0;
            let square = along[0] * along[0] + along[1] * along[1];
            let dot = along[0] * to[0] + along[1] * to[1];
            let share = if square > 0.0 { (dot / square).clamp(0.0, 1.0) } else { 0.0 };
            least = least.min((to[0] - share * along[0]).hypot(to[1] - share * along[1]));
        }
        if inside { 0.0 } else { least }
    }
}

/// A mesh alone as a picture, from the side or from above: its page and its path. With pauses where they are due.
pub(crate) async fn mesh_view(mesh: &Mesh, from_above: bool, due: Pause<'_>) -> (String, String) {
    let up = if from_above { Vector3::y() } else { Vector3::z() };
    let size = mesh.bounds().size();
    let points = outline_with(mesh, &Vector3::x(), &up, size.x / 400.0, due).await;
    // On a page of its own, a thousand wide.
    let times = 1.0 / size.x.max(f64::MIN_POSITIVE);
    let seen = points.iter().map(|[x, y]| [x * times, y * times]).collect::<Vec<_>>();
    let (low, high) = (mesh.bounds().low * times, mesh.bounds().high * times);
    let (bottom, top) = (up.dot(&low), up.dot(&high));
    let frame = format!(
        "{:.0} {:.0} 1020 {:.0}",
        low.x * 1e3 - 10.0,
        -top * 1e3 - 10.0,
        (top - bottom) * 1e3 + 20.0
    );
    (frame, path_of(&seen))
}

/// Closed path data of points, millimetres; a point alone becomes a stroke of no length, which
/// round ends make a dot.
pub(super) fn path_of(points: &[[f64; 2]]) -> String {
    let mut path = String::new();
    for (k, [x, y]) in points.iter().enumerate() {
        let letter = if k == 0 { 'M' } else { 'L' };
        // Writing to a text cannot fail.
        let _written = write!(path, "{letter}{:.1} {:.1}", x * 1e3, -y * 1e3);
    }
    match points.len() {
        0 => {}
        1 => path.push_str("h.01"),
        _ => path.push('Z'),
    }
    path
}

/// A part, tank or mark in one view.
#[derive(Debug, Clone)]
pub(crate) struct DrawnShape {
    /// Which it is.
    pub(crate) what: Picked,
    /// What it looks like.
    pub(crate) look: Look,
    /// Drawn dashed.
    pub(crate) faint: bool,
    /// Drawn dotted: it does not displace.
    pub(crate) inside: bool,
    /// It takes up much of the boat, and must not hide what is in it.
    pub(crate) big: bool,
    /// Diameter of the dot of a weight, pixels.
    pub(crate) dot: f64,
    /// Its outline.
    pub(crate) outline: Arc<Outline>,
}

impl DrawnShape {
    /// A mark, which is drawn by its own sign.
    pub(crate) fn mark(k: usize, mark: &Mark, axes: Axes) -> Self {
        let point = seen(axes, mark.at.vector().into());
        Self {
            what: Picked::Mark(k),
            look: Look::Weight,
            faint: false,
            inside: false,
            big: false,
            dot: 8.0,
            outline: Arc::new(Outline::of(vec![point])),
        }
    }
}

impl DrawnShape {
    /// The area it takes up on a page that is `times` as large; none of nothing.
    pub(super) fn area(&self, frame: &Frame, view: View, times: f64) -> Option<Area> {
        let corners = self.outline.corners()?.map(|at| frame.page_of_seen(view, at));
        let [x, y] = [0, 1].map(|k| corners.map(|at| at[k] * times));
        let (low, high) = (f64::min as fn(f64, f64) -> f64, f64::max as fn(f64, f64) -> f64);
        let end = |of: [f64; 4], which: fn(f64, f64) -> f64| of.into_iter().reduce(which);
        Some([end(x, low)?, end(y, low)?, end(x, high)?, end(y, high)?])
    }

    /// Whether some of it lies under an area of the page.
    pub(super) fn lies_under(
        &self,
        [left, top, right, foot]: &Area,
        frame: &Frame,
        view: View,
    ) -> bool {
        let reach = NEAR / frame.scale_of(view);
        let at = |across: f64, down: f64| {
            let at = [left + across * (right - left), top + down * (foot - top)];
            self.outline.is_near(frame.seen_at(view, at), reach)
        };
        [0.0, 0.5, 1.0].iter().any(|down| (0..=6).any(|k| at(f64::from(k) / 6.0, *down)))
    }
}

/// The outlines of one view, kept from one drawing to the next.
#[derive(Debug, Default)]
pub(crate) struct Outlines {
    axes: Axes,
    known: Vec<(Arc<Mesh>, Arc<Outline>)>,
}

impl Outlines {
    /// The outlines of meshes. Each is calculated once; those that are not asked for again are
    /// forgotten.
    fn of<'a>(
        &mut self,
        meshes: impl Iterator<Item = &'a Arc<Mesh>>,
        axes: Axes,
    ) -> Vec<Arc<Outline>> {
        if self.axes != axes {
            *self = Self { axes, ..Self::default() };
        }
        let known = std::mem::take(&mut self.known);
        let same = |a: &Arc<Mesh>, b: &Arc<Mesh>| Arc::ptr_eq(a, b) || a == b;
        let outline = |mesh: &Arc<Mesh>| {
            let found = known.iter().chain(&self.known).find(|(m, _)| same(m, mesh));
            let kept = found.map_or_else(|| outlined(mesh, axes), |(_, o)| Arc::clone(o));
            self.known.push((Arc::clone(mesh), Arc::clone(&kept)));
            kept
        };
        meshes.map(outline).collect()
    }

    /// The shapes of everything drawn, in the order in which they are drawn, and the outlines of spaces in
    /// them. The largest first, so that small ones are not hidden; from above, what takes up much of the boat
    /// first, then what lies lower, so that nothing is seen through what lies over it, and weights without a
    /// solid last.
    pub(crate) fn shapes(
        &mut self,
        drawn: &[Drawn],
        spaces: &[Arc<Mesh>],
        axes: Axes,
    ) -> (Vec<DrawnShape>, Vec<Arc<Outline>>) {
        let solid = drawn.iter().filter_map(|d| d.mesh.as_ref());
        let mut outlines = self.of(solid.chain(spaces), axes).into_iter();
        let mut shapes: Vec<(f64, DrawnShape)> = Vec::with_capacity(drawn.len());
        for d in drawn {
            let outline = d.mesh.as_ref().and_then(|_| outlines.next());
            let outline = outline.unwrap_or_else(|| Arc::new(Outline::of(vec![seen(axes, d.at)])));
            // A dot's area goes with its mass, as far as it can be seen and hides little.
            let dot = (18.0 * d.mass.max(0.0).sqrt()).clamp(4.0, 14.0);
            let dot = if d.mesh.is_some() { 0.0 } else { dot };
            let (what, look, faint, inside) = (d.what, d.look, d.faint, d.inside);
            let shape = DrawnShape { what, look, faint, inside, big: false, dot, outline };
            let top = d.mesh.as_ref().map_or(f64::INFINITY, |mesh| mesh.bounds().high.z);
            let place = shapes.partition_point(|(_, s)| s.outline.area >= shape.outline.area);
            shapes.insert(place, (top, shape));
        }
        let most = shapes.first().map_or(0.0, |(_, s)| s.outline.area);
        for (_, shape) in &mut shapes {
            shape.big = shape.outline.area > 0.3 * most;
        }
        let [right, up] = axes;
        if right.cross(&up).z > 0.9 {
            let height =
                |(top, shape): &(f64, DrawnShape)| if shape.big { f64::NEG_INFINITY } else { *top };
            shapes.sort_by(|a, b| height(a).total_cmp(&height(b)));
        }
        (shapes.into_iter().map(|(_, shape)| shape).collect(), outlines.collect())
    }
}

fn outlined(mesh: &Mesh, [right, up]: Axes) -> Arc<Outline> {
    // Finer than can be seen at the closest look.
    let detail = 2e-4 * mesh.bounds().size().norm();
    Arc::new(Outline::of(outline(mesh, &right, &up, detail)))
}

/// The things within a finger's reach of a place, the likeliest first: the nearest, and of things
/// equally near the smallest. `at` is as seen, metres; `scale` pixels to the metre.
pub(crate) fn near(shapes: &[DrawnShape], at: [f64; 2], scale: f64) -> Vec<(f64, Picked)> {
    let scored = shapes.iter().filter_map(|shape| {
        let distance = shape.outline.distance(at) * scale;
        let size = shape.outline.area.sqrt() * scale;
        (distance <= REACH).then_some((distance + LARGE * size / (size + REACH), shape.what))
    });
    scored.collect()
}

/// The one that was meant: the likeliest; after another tap at the same place the one after that
/// which is picked now.
pub(crate) fn meant(near: &[(f64, Picked)], now: Option<Picked>, again: bool) -> Option<Picked> {
    let here = near.iter().find(|(_, what)| again && Some(*what) == now);
    let next = here.and_then(|(score, _)| likeliest(near, *score));
    next.or_else(|| likeliest(near, -1.0))
}

/// The likeliest of those that are less likely than a score.
fn likeliest(near: &[(f64, Picked)], after: f64) -> Option<Picked> {
    let later = near.iter().filter(|(score, _)| *score > after);
    later.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, what)| *what)
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::Vector3;
    use trimwright::frame::Position;
    use trimwright::geometry::{Fineness, Solid};

    const SIDE: Axes = [Vector3::new(1.0, 0.0, 0.0), Vector3::new(0.0, 0.0, 1.0)];

    fn solid(k: usize, size: [f64; 3], at: [f64; 3]) -> Drawn {
        let [x, y, z] = at;
        let solid = Solid::Box { size, centre: Position::new(x, y, z) };
        let mesh = solid.mesh(Fineness::WORK).expect("a box");
        Drawn { mesh: Some(mesh), ..weight(k, at) }
    }

    fn weight(k: usize, at: [f64; 3]) -> Drawn {
        Drawn {
            what: Picked::Part(k),
            mesh: None,
            at,
            look: Look::Other,
            faint: false,
            inside: false,
            name: String::new(),
            mass: 0.1,
            fill: 0.0,
        }
    }

    /// A hull, a tank in it, and a weight in the tank.
    fn boat() -> Vec<Drawn> {
        vec![
            weight(0, [0.1, 0.0, 0.05]),
            solid(1, [0.2, 0.05, 0.06], [0.1, 0.0, 0.05]),
            solid(2, [0.9, 0.1, 0.1], [0.0, 0.0, 0.05]),
        ]
    }

    fn tap(at: [f64; 2], now: Option<Picked>, again: bool) -> Option<Picked> {
        meant(&near(&Outlines::default().shapes(&boat(), &[], SIDE).0, at, 390.0), now, again)
    }

    #[test]
    fn the_largest_is_drawn_first() {
        let shapes = Outlines::default().shapes(&boat(), &[], SIDE).0;
        let order: Vec<_> = shapes.iter().map(|s| s.what).collect();
        assert_eq!(order, [2, 1, 0].map(Picked::Part), "hull, tank, weight");
        let big: Vec<_> = shapes.iter().map(|s| s.big).collect();
        assert_eq!(big, [true, false, false], "the hull must not hide the rest");
    }

    #[test]
    fn from_above_what_lies_higher_is_drawn_over_what_lies_lower() {
        let plan = [Vector3::x(), Vector3::y()];
        // A keel under a tank, smaller than it, in a hull; and a weight in the keel.
        let mut drawn = boat();
        drawn.push(solid(3, [0.2, 0.02, 0.01], [0.15, 0.0, 0.005]));
        drawn[0] = weight(0, [0.1, 0.0, 0.005]);
        let order = |axes| {
            let shapes = Outlines::default().shapes(&drawn, &[], axes).0;
            shapes.iter().map(|s| s.what).collect::<Vec<_>>()
        };
        assert_eq!(order(plan), [2, 3, 1, 0].map(Picked::Part), "hull, keel, tank, weight");
        assert_eq!(order(SIDE), [2, 1, 3, 0].map(Picked::Part), "from the side by size");
    }

    #[test]
    fn what_lies_in_an_outline_or_at_its_edge_is_near_it_whatever_its_shape() {
        // An L: its corner at the origin, its arms two long and one broad.
        let corners = [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [1.0, 1.0], [1.0, 2.0], [0.0, 2.0]];
        let outline = Outline::of(corners.to_vec());
        for (at, is_near) in [
            ([0.5, 1.5], true),
            ([1.5, 0.5], true),
            ([1.5, 1.5], false),
            ([1.05, 1.5], true),
            ([-0.05, 1.0], true),
            ([-0.2, 1.0], false),
        ] {
            assert_eq!(outline.is_near(at, 0.1), is_near, "{at:?}");
        }
        assert_eq!(outline.corners().map(|c| (c[0], c[2])), Some(([0.0; 2], [2.0; 2])), "its box");
        assert_eq!(Outline::of(Vec::new()).corners(), None, "of nothing");
    }

    #[test]
    fn a_finger_means_the_small_thing_it_nearly_hits() {
        assert_eq!(tap([0.1, 0.05], None, false), Some(Picked::Part(0)), "the weight itself");
        assert_eq!(tap([0.112, 0.05], None, false), Some(Picked::Part(0)), "5 pixels beside it");
        assert_eq!(tap([0.17, 0.05], None, false), Some(Picked::Part(1)), "27 pixels beside it");
        assert_eq!(tap([-0.3, 0.05], None, false), Some(Picked::Part(2)), "the hull alone");
        assert_eq!(tap([-0.3, 0.14], None, false), Some(Picked::Part(2)), "16 pixels over it");
        assert_eq!(tap([-0.3, 0.17], None, false), None, "27 pixels over it");
    }

    #[test]
    fn tapping_again_goes_through_what_lies_there() {
        let at = [0.1, 0.05];
        let first = tap(at, None, false);
        let second = tap(at, first, true);
        let third = tap(at, second, true);
        let order = [first, second, third, tap(at, third, true)];
        assert_eq!(
            order,
            [0, 1, 2, 0].map(|k| Some(Picked::Part(k))),
            "weight, tank, hull, weight"
        );
        assert_eq!(tap(at, Some(Picked::Part(1)), false), Some(Picked::Part(0)), "a new tap");
    }

    #[test]
    fn outlines_of_what_did_not_move_are_kept() {
        let mut outlines = Outlines::default();
        let mut drawn = boat();
        let before = outlines.shapes(&drawn, &[], SIDE).0;
        drawn[1] = solid(1, [0.2, 0.05, 0.06], [0.11, 0.0, 0.05]);
        // The same hull, meshed again.
        drawn[2] = solid(2, [0.9, 0.1, 0.1], [0.0, 0.0, 0.05]);
        let after = outlines.shapes(&drawn, &[], SIDE).0;
        let kept: Vec<_> =
            before.iter().zip(&after).map(|(a, b)| Arc::ptr_eq(&a.outline, &b.outline)).collect();
        assert_eq!(kept[..2], [true, false], "only the tank moved");
    }
}
