//! What of all directions a triangle fills, seen from a point: it tells inside from outside.

use super::mesh::Mesh;
use crate::frame::{Body, Position};
use nalgebra::Vector3;
use std::f64::consts::PI;

/// The share of all directions in which a triangle is seen from a point; its sign tells from which
/// side. The sum over a closed surface is ±1 inside and 0 outside.
///
/// Source: Van Oosterom & Strackee 1983, IEEE Transactions on Biomedical Engineering 30:125 (from
/// memory, not seen).
pub(super) fn share_of_view(corners: [Vector3<f64>; 3], from: &Vector3<f64>) -> f64 {
    let [a, b, c] = corners.map(|p| p - from);
    let (la, lb, lc) = (a.norm(), b.norm(), c.norm());
    let below = la * lb * lc + a.dot(&b) * lc + b.dot(&c) * la + c.dot(&a) * lb;
    a.dot(&b.cross(&c)).atan2(below) / (2.0 * PI)
}

impl Mesh {
    /// True when a point lies inside; on the surface it may be either.
    pub fn holds(&self, at: Position<Body>) -> bool {
        let (at, bounds) = (at.vector(), self.bounds());
        let in_the_box = (0..3).all(|k| (bounds.low[k]..=bounds.high[k]).contains(&at[k]));
        if !in_the_box {
            return false;
        }
        let corner = |k: u32| usize::try_from(k).ok().and_then(|k| self.vertices().get(k)).copied();
        let seen = self.faces().iter().filter_map(|&[a, b, c]| {
            Some(share_of_view([corner(a)?, corner(b)?, corner(c)?], &at))
        });
        seen.sum::<f64>() > 0.5
    }

    /// True when the vertical of the body at x and y (metres) goes through it, or touches it.
    pub fn stands_over(&self, x: f64, y: f64) -> bool {
        let corner = |k: u32| usize::try_from(k).ok().and_then(|k| self.vertices().get(k)).copied();
        let covers = |[a, b, c]: [Vector3<f64>; 3]| {
            // Which side of an edge the place is on, seen from above.
            let side = |p: Vector3<f64>, q: Vector3<f64>| {
                (q.x - p.x) * (y - p.y) - (q.y - p.y) * (x - p.x)
            };
            let sides = [side(a, b), side(b, c), side(c, a)];
            let is_edge_on = sides.iter().all(|s| *s == 0.0);
            !is_edge_on && (sides.iter().all(|s| *s >= 0.0) || sides.iter().all(|s| *s <= 0.0))
        };
        let faces = self.faces().iter();
        let mut faces = faces.filter_map(|&[a, b, c]| Some([corner(a)?, corner(b)?, corner(c)?]));
        faces.any(covers)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Fineness, Solid};

    #[test]
    fn a_vertical_meets_a_body_where_its_outline_from_above_is() {
        // Closed form: the plan of a ball of 0.1 m about (1, 2) is a circle.
        let ball = Solid::Ellipsoid { size: [0.2; 3], centre: Position::new(1.0, 2.0, 5.0) };
        let ball = ball.mesh(Fineness::WORK).expect("a ball");
        for (x, y, meets) in [
            (1.0, 2.0, true),
            (1.09, 2.0, true),
            (1.065, 2.065, true),
            (1.08, 2.08, false),
            (1.101, 2.0, false),
            (1.0, 1.89, false),
        ] {
            assert_eq!(ball.stands_over(x, y), meets, "at {x}, {y}");
        }
    }
}
