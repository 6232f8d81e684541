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
}
