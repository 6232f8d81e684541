//! The convex outline of a mesh seen along a direction, for drawing.

use super::mesh::Mesh;
use nalgebra::Vector3;

/// A point of an outline: along the first and along the second direction of sight, metres.
pub type OutlinePoint = [f64; 2];

/// The convex outline of the mesh projected on two directions, counter-clockwise, without points
/// nearer than `detail` metres to the one before.
///
/// Source: Andrew 1979, Information Processing Letters 9:216 (monotone chain).
pub fn outline(
    mesh: &Mesh,
    right: &Vector3<f64>,
    up: &Vector3<f64>,
    detail: f64,
) -> Vec<OutlinePoint> {
    let mut points: Vec<OutlinePoint> =
        mesh.vertices().iter().map(|v| [right.dot(v), up.dot(v)]).collect();
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    #[test]
    fn a_box_seen_from_the_side_is_its_rectangle() {
        let solid = Solid::Box { size: [2.0, 1.0, 0.5], centre: Position::ORIGIN };
        let mesh = solid.mesh(Fineness::WORK).expect("a box");
        let seen = outline(&mesh, &Vector3::x(), &Vector3::z(), 1e-3);
        assert_eq!(seen.len(), 4, "{seen:?}");
        assert!(seen.contains(&[-1.0, -0.25]) && seen.contains(&[1.0, 0.25]), "{seen:?}");
    }
}
