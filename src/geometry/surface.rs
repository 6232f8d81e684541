//! The separate surfaces of a mesh: which triangles belong together and face alike, which surface
//! lies inside which, and which of them must be turned.

use super::bounds::Bounds;
use super::corner::Corner;
use super::repair::Repair;
use super::stl_error::{MOST_SURFACES, StlError};
use nalgebra::Vector3;

/// A closed surface.
#[derive(Debug, Clone)]
pub(super) struct Surface {
    /// How many triangles face as the first and how many do not.
    n: [usize; 2],
    /// Volume if all face as the first.
    volume: f64,
    bounds: Bounds,
    /// A point on it, not on an edge.
    probe: Vector3<f64>,
    corner: Corner,
    /// The surfaces that it lies in.
    outside: Vec<usize>,
}

/// Corners in double precision.
pub(super) fn double(corners: [Corner; 3]) -> [Vector3<f64>; 3] {
    corners.map(|c| Vector3::from(c.map(f64::from)))
}

impl Surface {
    /// A surface of which only a first triangle is known; it still is to be added.
    pub(super) fn new(first: [Corner; 3]) -> Self {
        let [a, b, c] = double(first);
        let bounds = Bounds { low: a, high: a };
        let probe = (a + b + c) / 3.0;
        Self { n: [0; 2], volume: 0.0, bounds, probe, corner: first[0], outside: Vec::new() }
    }

    /// Adds a triangle; volumes are taken about `middle`.
    pub(super) fn add(&mut self, corners: [Corner; 3], is_turned: bool, middle: Vector3<f64>) {
        let corners = double(corners);
        for corner in corners {
            self.bounds.low = self.bounds.low.inf(&corner);
            self.bounds.high = self.bounds.high.sup(&corner);
        }
        let [a, b, c] = corners.map(|p| p - middle);
        let volume = a.dot(&b.cross(&c)) / 6.0;
        let [same, other] = &mut self.n;
        if is_turned {
            *other += 1;
            self.volume -= volume;
        } else {
            *same += 1;
            self.volume += volume;
        }
    }

    /// True if the other's box holds this one's, so that this may lie inside it.
    pub(super) fn may_lie_in(&self, other: &Self) -> bool {
        let (inner, outer) = (&self.bounds, &other.bounds);
        (0..3).all(|k| inner.low[k] >= outer.low[k] && inner.high[k] <= outer.high[k])
    }

    /// The point by which it is told where this surface lies.
    pub(super) fn probe(&self) -> Vector3<f64> {
        self.probe
    }

    /// Says that this surface lies inside another one.
    pub(super) fn put_inside(&mut self, other: usize) {
        self.outside.push(other);
    }

    /// Triangles that do not face as most of their surface.
    fn n_odd(&self) -> usize {
        let [same, other] = self.n;
        same.min(other)
    }

    fn is_mostly_turned(&self) -> bool {
        let [same, other] = self.n;
        other > same
    }

    /// True if it faces the wrong way, once all face as most: outwards is right, inwards inside
    /// another. A flat one is never wrong.
    fn is_wrong(&self, tiny: f64) -> bool {
        let volume = if self.is_mostly_turned() { -self.volume } else { self.volume };
        let is_hollow = self.outside.len() % 2 == 1;
        volume.abs() > tiny && (volume > 0.0) == is_hollow
    }
}

/// Which surfaces to turn against their first triangle, and what to say about it. `tiny` is a
/// volume that counts as none.
pub(super) fn judge(surfaces: &[Surface], tiny: f64) -> Result<(Vec<bool>, Vec<Repair>), StlError> {
    let n = surfaces.len();
    if n > MOST_SURFACES {
        return Err(StlError::TooManySurfaces { n });
    }
    let is_outermost = |k: &usize| surfaces.get(*k).is_some_and(|s| s.outside.is_empty());
    let mut turns = Vec::new();
    let mut n_wrong = 0;
    for surface in surfaces {
        let wrong = surface.is_wrong(tiny);
        // The whole of a solid may be inside out, with its hollows; a hollow alone may not.
        let outermost = surface.outside.iter().copied().find(is_outermost);
        let outer = outermost.and_then(|k| surfaces.get(k));
        if outer.is_some_and(|outer| outer.is_wrong(tiny) != wrong) {
            return Err(StlError::InnerSurface { at: surface.corner });
        }
        n_wrong += usize::from(wrong);
        turns.push(wrong ^ surface.is_mostly_turned());
    }
    let n_odd = surfaces.iter().map(Surface::n_odd).sum();
    let n_hollows = surfaces.iter().filter(|s| s.outside.len() % 2 == 1).count();
    let mut notes = Vec::new();
    if n_odd > 0 {
        notes.push(Repair::Turned { n: n_odd });
    }
    if n_wrong > 0 {
        notes.push(Repair::InsideOut { n: n_wrong, of: n });
    }
    if n > 1 {
        notes.push(Repair::Surfaces { n, n_hollows });
    }
    Ok((turns, notes))
}
