//! The outline of a mesh seen along a direction, for drawing.

use super::mesh::Mesh;
use super::silhouette::{OutlinePoint, Strips, seen, silhouette_of};
use crate::pause::{Pause, Work, at_once, pause};
use nalgebra::Vector3;

/// The outline of the mesh projected on two directions, counter-clockwise, without points that
/// stand out less than `detail` metres.
///
/// A convex outline has corners of the mesh. Any other is followed column by column ([`silhouette`]): a hull with
/// a sail is drawn with the sail standing on it; what lies between upper and lower edge is filled.
pub fn outline(
    mesh: &Mesh,
    right: &Vector3<f64>,
    up: &Vector3<f64>,
    detail: f64,
) -> Vec<OutlinePoint> {
    at_once(|due| outline_with(mesh, right, up, detail, due))
}

/// As [`outline`], with pauses where they are due.
pub fn outline_with<'a>(
    mesh: &'a Mesh,
    right: &'a Vector3<f64>,
    up: &'a Vector3<f64>,
    detail: f64,
    due: Pause<'a>,
) -> Work<'a, Vec<OutlinePoint>> {
    Box::pin(followed(mesh, right, up, detail, due))
}

async fn followed(
    mesh: &Mesh,
    right: &Vector3<f64>,
    up: &Vector3<f64>,
    detail: f64,
    due: Pause<'_>,
) -> Vec<OutlinePoint> {
    let (low, high) = mesh.bounds().reach(right);
    let wanted = ((high - low) / detail).clamp(FEWEST, MOST);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "it is clamped")]
    let columns = if wanted.is_nan() { FEWEST } else { wanted } as usize;
    let points = seen(mesh, right, up);
    let edges = silhouette_of(&points, mesh.faces(), columns, due).await;
    if is_convex(&edges, columns) {
        pause(due).await;
        convex(points, columns, detail)
    } else {
        smoothed(&edges, detail)
    }
}

/// Columns for a mesh that is small in the drawing, and for a large one.
const FEWEST: f64 = 32.0;
const MOST: f64 = 512.0;

/// True if a silhouette fills its convex outline, but for what its columns round off. Over a
/// convex shape the upper and the lower edge rise and fall by its height once each, so that their
/// steps, of half a column's width at most, leave out no more than twice the height by a column.
fn is_convex(seen: &[OutlinePoint], columns: usize) -> bool {
    let half = seen.len() / 2;
    let (lower, upper) = seen.split_at(half);
    let around = [chain(lower.iter()), chain(upper.iter())].concat();
    let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
    for p in seen {
        low = [low[0].min(p[0]), low[1].min(p[1])];
        high = [high[0].max(p[0]), high[1].max(p[1])];
    }
    let column = (high[0] - low[0]) * (high[1] - low[1]) / columns as f64;
    let left_out = area(&around) - area(seen);
    left_out.is_nan() || left_out <= 2.0 * column
}

/// The area within a closed line, counter-clockwise.
fn area(line: &[OutlinePoint]) -> f64 {
    let next = line.iter().cycle().skip(1);
    line.iter().zip(next).map(|(p, q)| (p[0] * q[1] - p[1] * q[0]) / 2.0).sum()
}

/// The convex outline, without points nearer than `detail` to the one before.
///
/// Source: Andrew 1979, Information Processing Letters 9:216 (monotone chain).
fn convex(mut points: Vec<OutlinePoint>, columns: usize, detail: f64) -> Vec<OutlinePoint> {
    if points.len() > MANY * columns {
        points = outermost(&points, columns);
    }
    points.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let mut lower = chain(points.iter());
    let mut upper = chain(points.iter().rev());
    lower.pop();
    upper.pop();
    lower.extend(upper);
    let far = |a: &OutlinePoint, b: &OutlinePoint| (a[0] - b[0]).hypot(a[1] - b[1]) >= detail;
    let mut thin: Vec<OutlinePoint> = Vec::with_capacity(lower.len());
    for point in lower {
        if thin.last().is_none_or(|last| far(last, &point)) {
            thin.push(point);
        }
    }
    thin
}

/// Points to a column from which on the outermost ones of each column stand for all: to sort them all takes longer than
/// all else, and what is then cut off is a quarter of a column at most.
const MANY: usize = 16;

/// Ways out of a column: up, down and to the sides, and between these, so that the corners of a flat end are kept.
const OUTWARDS: [[f64; 2]; 8] = [
    [1.0, 0.0],
    [1.0, 1.0],
    [0.0, 1.0],
    [-1.0, 1.0],
    [-1.0, 0.0],
    [-1.0, -1.0],
    [0.0, -1.0],
    [1.0, -1.0],
];

/// Of each of so many columns the points that are furthest out each way.
fn outermost(points: &[OutlinePoint], columns: usize) -> Vec<OutlinePoint> {
    let Some(strips) = Strips::over(points, columns) else { return points.to_vec() };
    let mut ends: Vec<Option<[OutlinePoint; OUTWARDS.len()]>> = vec![None; columns];
    for point in points {
        let Some(ends) = ends.get_mut(strips.of(point[0])) else { continue };
        let ends = ends.get_or_insert([*point; OUTWARDS.len()]);
        for (end, way) in ends.iter_mut().zip(OUTWARDS) {
            if (point[0] - end[0]) * way[0] + (point[1] - end[1]) * way[1] > 0.0 {
                *end = *point;
            }
        }
    }
    ends.into_iter().flatten().flatten().collect()
}

/// One half of the outline: points at which it turns left.
fn chain<'a>(points: impl Iterator<Item = &'a OutlinePoint>) -> Vec<OutlinePoint> {
    let mut hull: Vec<OutlinePoint> = Vec::new();
    for &p in points {
        while let [.., a, b] = hull.as_slice() {
            let turn = (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
            if turn > 0.0 {
                break;
            }
            hull.pop();
        }
        hull.push(p);
    }
    hull
}

/// The line without points that stand out less than `detail` from what is left.
///
/// Source: Douglas & Peucker 1973, Cartographica 10:112 (from memory, not seen).
fn smoothed(line: &[OutlinePoint], detail: f64) -> Vec<OutlinePoint> {
    let last = line.len().saturating_sub(1);
    let mut stays = vec![false; line.len()];
    let mut pieces = vec![(0, last)];
    // Each piece either ends or is divided at a point that stays from then on.
    while let Some((start, end)) = pieces.pop() {
        let (Some(&from), Some(&to)) = (line.get(start), line.get(end)) else { break };
        (stays[start], stays[end]) = (true, true);
        let (mut furthest, mut off) = (start, 0.0);
        for (k, p) in line.iter().enumerate().take(end).skip(start + 1) {
            let here = distance_squared(*p, from, to);
            if here >= off {
                (furthest, off) = (k, here);
            }
        }
        if off > detail * detail {
            pieces.push((start, furthest));
            pieces.push((furthest, end));
        }
    }
    line.iter().zip(stays).filter_map(|(p, stays)| stays.then_some(*p)).collect()
}

/// Distance of a point from the piece of a line between two others, squared.
fn distance_squared(p: OutlinePoint, from: OutlinePoint, to: OutlinePoint) -> f64 {
    let along = [to[0] - from[0], to[1] - from[1]];
    let off = [p[0] - from[0], p[1] - from[1]];
    let length = along[0] * along[0] + along[1] * along[1];
    let share = (off[0] * along[0] + off[1] * along[1]) / length;
    // A piece of no length has no share.
    let share = if share.is_nan() { 0.0 } else { share.clamp(0.0, 1.0) };
    let left = [off[0] - along[0] * share, off[1] - along[1] * share];
    left[0] * left[0] + left[1] * left[1]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};
    use std::f64::consts::PI;

    #[test]
    fn the_outermost_points_of_many_stand_for_all() {
        // A ball of so many corners that they are not all sorted; its outline is a circle, of area π.
        let ball = Solid::Sphere { diameter: 2.0, centre: Position::ORIGIN };
        let mesh = ball.mesh(Fineness { around: 256, along: 128 }).expect("a sphere");
        let columns = 64;
        assert!(mesh.vertices().len() > MANY * columns, "many");
        let seen = outline(&mesh, &Vector3::x(), &Vector3::z(), 2.0 / columns as f64);
        let off = (area(&seen) - PI).abs();
        // A polygon of 90 even sides leaves out 2 π³ / 3 / 90² of its circle, and each of the four chords across a
        // column at an end the segment of an arc, θ³ / 12.
        let arc = (1.0 - 2.0 / columns as f64).acos();
        let left_out = 2.0 * PI.powi(3) / 3.0 / 90.0_f64.powi(2) + 4.0 * arc.powi(3) / 12.0;
        assert!(seen.len() > 90 && off < left_out, "{off} of {} points", seen.len());
    }

    #[test]
    fn the_corners_of_a_flat_end_are_among_the_outermost_points() {
        // Points along the edges of a rectangle of 2 by 1, those inside a column before those at its end.
        let across = (0..=640).rev().flat_map(|k| {
            let x = f64::from(k) / 320.0;
            [[x, 0.5], [x, 0.0], [x, 1.0]]
        });
        let kept = outermost(&across.collect::<Vec<_>>(), 32);
        for corner in [[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]] {
            assert!(kept.contains(&corner), "{corner:?} of {} points", kept.len());
        }
    }

    #[test]
    fn a_box_seen_from_the_side_is_its_rectangle() {
        let solid = Solid::Box { size: [2.0, 1.0, 0.5], centre: Position::ORIGIN };
        let mesh = solid.mesh(Fineness::WORK).expect("a box");
        let seen = outline(&mesh, &Vector3::x(), &Vector3::z(), 1e-3);
        assert_eq!(seen.len(), 4, "{seen:?}");
        assert!(seen.contains(&[-1.0, -0.25]) && seen.contains(&[1.0, 0.25]), "{seen:?}");
    }
}
