//! The outline of a mesh that need not be convex, for drawing: its upper and lower edge, followed
//! column by column. What lies between the two counts as filled.

use super::mesh::Mesh;
use crate::pause::{Pause, at_once, pause};
use nalgebra::Vector3;

/// A point of an outline: along the first and along the second direction of sight, metres.
pub type OutlinePoint = [f64; 2];

/// The edges over one column, each at its left and its right border.
#[derive(Debug, Clone, Copy)]
struct Column {
    low: [f64; 2],
    high: [f64; 2],
}

impl Column {
    const EMPTY: Self = Self { low: [f64::INFINITY; 2], high: [f64::NEG_INFINITY; 2] };

    fn is_empty(&self) -> bool {
        self.low[0] > self.high[0] || self.low[1] > self.high[1]
    }

    /// Takes in the heights at both borders, from the lowest to the highest.
    fn take(&mut self, left: [f64; 2], right: [f64; 2]) {
        // By components: this is asked of every column of every triangle.
        self.low = [self.low[0].min(left[0]), self.low[1].min(right[0])];
        self.high = [self.high[0].max(left[1]), self.high[1].max(right[1])];
    }
}

/// Strips of equal width, side by side.
#[derive(Debug, Clone, Copy)]
pub(super) struct Strips {
    start: f64,
    width: f64,
    count: usize,
}

impl Strips {
    /// So many over all the points; none if these have no width.
    pub(super) fn over(points: &[OutlinePoint], count: usize) -> Option<Self> {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for point in points {
            (low, high) = (low.min(point[0]), high.max(point[0]));
        }
        let count = count.clamp(1, 4096);
        let width = (high - low) / count as f64;
        (width.is_finite() && width > 0.0).then_some(Self { start: low, width, count })
    }

    fn border(&self, strip: usize) -> f64 {
        self.start + self.width * strip as f64
    }

    /// The strip over a place; places on a border belong to the one on the right.
    pub(super) fn of(&self, place: f64) -> usize {
        let strip = ((place - self.start) / self.width).max(0.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not below 0")]
        let strip = strip as usize;
        strip.min(self.count - 1)
    }
}

/// What is seen over strips.
struct Columns {
    strips: Strips,
    all: Vec<Column>,
}

impl Columns {
    fn border(&self, column: usize) -> f64 {
        self.strips.border(column)
    }

    /// Takes in a triangle whose corners go from left to right. Over a column that it spans, its
    /// edges are taken as they run; over one in which it has a corner, its highest and lowest
    /// point stand for the whole column, so that nothing is cut off.
    fn take(&mut self, corners: [OutlinePoint; 3]) {
        let [a, b, c] = corners;
        let section = |x: f64| {
            let long = height(a, c, x);
            let is_before = x <= b[0] && a[0] < b[0];
            let short = if is_before { height(a, b, x) } else { height(b, c, x) };
            [long.min(short), long.max(short)]
        };
        for column in self.strips.of(a[0])..=self.strips.of(c[0]) {
            let (left, right) = (self.border(column), self.border(column + 1));
            let (mut at_left, mut at_right) = (section(left.max(a[0])), section(right.min(c[0])));
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            for corner in &corners {
                if corner[0] > left && corner[0] < right {
                    (low, high) = (low.min(corner[1]), high.max(corner[1]));
                }
            }
            if low <= high {
                low = low.min(at_left[0]).min(at_right[0]);
                high = high.max(at_left[1]).max(at_right[1]);
                (at_left, at_right) = ([low, high], [low, high]);
            }
            if let Some(column) = self.all.get_mut(column) {
                column.take(at_left, at_right);
            }
        }
    }

    /// Columns over nothing, between two solids, get a line from one to the other.
    fn bridge(&mut self) {
        let mut before = None;
        for column in &mut self.all {
            if column.is_empty() {
                if let Some(middle) = before {
                    *column = Column { low: [middle; 2], high: [middle; 2] };
                }
            } else {
                before = Some(f64::midpoint(column.low[1], column.high[1]));
            }
        }
    }

    /// The closed line around it, counter-clockwise from the lower left.
    fn around(&self) -> Vec<OutlinePoint> {
        let columns = || self.all.iter().enumerate().filter(|(_, column)| !column.is_empty());
        let under = columns().flat_map(|(k, column)| {
            [[self.border(k), column.low[0]], [self.border(k + 1), column.low[1]]]
        });
        let over = columns().rev().flat_map(|(k, column)| {
            [[self.border(k + 1), column.high[1]], [self.border(k), column.high[0]]]
        });
        under.chain(over).collect()
    }
}

/// Height over x of the line through two points.
fn height(from: OutlinePoint, to: OutlinePoint, x: f64) -> f64 {
    let run = to[0] - from[0];
    if run > 0.0 { from[1] + (to[1] - from[1]) * ((x - from[0]) / run) } else { to[1] }
}

/// The outline of the mesh projected on two directions, counter-clockwise, as its lower and upper
/// edge over so many columns of equal width. Where an edge runs straight across a column it is
/// exact; a step stands within a column of its place.
pub fn silhouette(
    mesh: &Mesh,
    right: &Vector3<f64>,
    up: &Vector3<f64>,
    columns: usize,
) -> Vec<OutlinePoint> {
    let points = seen(mesh, right, up);
    at_once(|due| Box::pin(silhouette_of(&points, mesh.faces(), columns, due)))
}

/// The corners of a mesh as they are seen.
pub(super) fn seen(mesh: &Mesh, right: &Vector3<f64>, up: &Vector3<f64>) -> Vec<OutlinePoint> {
    // By components: this is asked of every corner.
    let along = |direction: &Vector3<f64>, p: &Vector3<f64>| {
        direction.x * p.x + direction.y * p.y + direction.z * p.z
    };
    mesh.vertices().iter().map(|p| [along(right, p), along(up, p)]).collect()
}

/// Triangles that are worked on between two looks whether a pause is due.
const AT_ONCE: usize = 4000;

/// As [`silhouette`], of corners as they are [`seen`] and the triangles between them, with pauses where they are due.
pub(super) async fn silhouette_of(
    points: &[OutlinePoint],
    faces: &[[u32; 3]],
    columns: usize,
    due: Pause<'_>,
) -> Vec<OutlinePoint> {
    let Some(strips) = Strips::over(points, columns) else { return Vec::new() };
    let mut over = Columns { strips, all: vec![Column::EMPTY; strips.count] };
    for faces in faces.chunks(AT_ONCE) {
        pause(due).await;
        for &[a, b, c] in faces {
            // Indices are checked before a mesh exists.
            let (Some(&a), Some(&b), Some(&c)) =
                (points.get(a as usize), points.get(b as usize), points.get(c as usize))
            else {
                continue;
            };
            // Those that face the eye cover all that the others do.
            if (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0.0 {
                let (a, b) = if a[0] > b[0] { (b, a) } else { (a, b) };
                let (b, c) = if b[0] > c[0] { (c, b) } else { (b, c) };
                let (a, b) = if a[0] > b[0] { (b, a) } else { (a, b) };
                over.take([a, b, c]);
            }
        }
    }
    pause(due).await;
    over.bridge();
    over.around()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid, outline};

    fn solid(size: [f64; 3], centre: Position<crate::frame::Body>) -> std::sync::Arc<Mesh> {
        Solid::Box { size, centre }.mesh(Fineness::WORK).expect("a box")
    }

    /// Several solids as one mesh.
    fn together(solids: &[std::sync::Arc<Mesh>]) -> Mesh {
        let (mut vertices, mut faces) = (Vec::new(), Vec::new());
        for mesh in solids {
            let first = u32::try_from(vertices.len()).expect("few");
            vertices.extend_from_slice(mesh.vertices());
            faces.extend(mesh.faces().iter().map(|face| face.map(|i| i + first)));
        }
        Mesh::closed(vertices, faces).expect("solids side by side")
    }

    fn area(line: &[OutlinePoint]) -> f64 {
        let next = line.iter().cycle().skip(1);
        line.iter().zip(next).map(|(p, q)| (p[0] * q[1] - p[1] * q[0]) / 2.0).sum()
    }

    #[test]
    fn a_box_is_exact_with_any_number_of_columns() {
        let mesh = solid([2.0, 1.0, 0.5], Position::new(0.3, 0.0, 0.1));
        for columns in [1, 7, 100, 512] {
            let seen = silhouette(&mesh, &Vector3::x(), &Vector3::z(), columns);
            let off = (area(&seen) - 1.0).abs();
            assert!(off < 1e-12, "{columns} columns: {off:e}");
        }
    }

    #[test]
    fn a_sail_stands_on_its_hull_and_the_rest_stays_free() {
        let hull = solid([2.0, 0.2, 0.2], Position::ORIGIN);
        let sail = solid([0.3, 0.1, 0.4], Position::new(0.21, 0.0, 0.3));
        let mesh = together(&[hull, sail]);
        let seen = outline(&mesh, &Vector3::x(), &Vector3::z(), 0.005);
        let exact = 0.4 + 0.3 * 0.4;
        // A step is in its place to a column: 2 m / 400, on both sides of the sail.
        let off = (area(&seen) - exact).abs();
        assert!(off < 2.0 * 0.4 * 0.005, "area {} instead of {exact}", area(&seen));
        assert!(seen.len() <= 12, "straight edges need few points: {seen:?}");
        let end = outline(&mesh, &-Vector3::y(), &Vector3::z(), 0.0005);
        let off = (area(&end) - (0.04 + 0.04)).abs();
        assert!(off < 2.0 * 0.4 * 0.0005, "from the end: {}", area(&end));
    }

    #[test]
    fn solids_apart_are_joined_by_a_line() {
        let one = solid([1.0, 1.0, 1.0], Position::ORIGIN);
        let other = solid([1.0, 1.0, 0.2], Position::new(4.0, 0.0, 0.0));
        let seen = outline(&together(&[one, other]), &Vector3::x(), &Vector3::z(), 0.01);
        let off = (area(&seen) - 1.2).abs();
        assert!(off < 0.03, "area {}: {seen:?}", area(&seen));
    }

    #[test]
    fn a_round_solid_keeps_its_exact_convex_outline() {
        let ball = Solid::Sphere { diameter: 2.0, centre: Position::ORIGIN };
        let mesh = ball.mesh(Fineness { around: 128, along: 64 }).expect("a sphere");
        for detail in [1e-3, 1e-2, 5e-2] {
            let seen = outline(&mesh, &Vector3::x(), &Vector3::z(), detail);
            let corner = |p: &OutlinePoint| {
                mesh.vertices().iter().any(|v| (v.x - p[0]).abs() + (v.z - p[1]).abs() < 1e-12)
            };
            assert!(seen.iter().all(corner), "points that are no corners, at {detail}");
        }
    }

    #[test]
    fn nothing_to_see_is_no_line() {
        let mesh = solid([1.0, 1.0, 1.0], Position::ORIGIN);
        let wild = Vector3::repeat(f64::NAN);
        assert!(silhouette(&mesh, &wild, &Vector3::z(), 10).is_empty(), "no direction");
        let _any = outline(&mesh, &wild, &wild, f64::NAN);
        let _any = outline(&mesh, &Vector3::zeros(), &Vector3::z(), 0.0);
    }
}
