//! Bundles of neighbouring triangles with their sums, so that those wholly under a plane count at
//! once and those wholly above it are passed over.
//!
//! The tetrahedron from an apex `o` over a triangle a, b, c has six times the volume
//! `a·(b×c) − o·(a×b + b×c + c×a)`: linear in `o`. So the sums below, taken once about the origin,
//! give volume and moment of the whole bundle about any apex.

use super::bounds::Bounds;
use nalgebra::{Matrix3, Vector3};
use std::ops::Range;

/// Where a bundle lies about a plane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PlaneSide {
    /// All of it is under.
    Below,
    /// None of it is under.
    Above,
    /// The plane may pass through it.
    Across,
}

/// Neighbouring triangles and their sums about the body's origin.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bundle {
    /// Which of the mesh's triangles.
    pub(super) faces: Range<usize>,
    /// The middle of the box around them, and half of its size.
    middle: Vector3<f64>,
    half: Vector3<f64>,
    /// Σ v, with v the signed volume over each triangle.
    volume: f64,
    /// Σ s, with s = (a×b + b×c + c×a) / 6.
    area: Vector3<f64>,
    /// Σ v t, with t = a + b + c.
    lever: Vector3<f64>,
    /// Σ t sᵀ.
    spread: Matrix3<f64>,
}

impl Bundle {
    /// Triangles in a bundle. Small ones hug a waterline better, large ones are fewer.
    pub(super) const SIZE: usize = 16;

    /// Sums of consecutive triangles, bundle by bundle; the first of them is the mesh's triangle
    /// `start`.
    pub(super) fn all(start: usize, triangles: &[[Vector3<f64>; 3]]) -> Vec<Self> {
        let bundle = |(k, corners): (usize, &[[Vector3<f64>; 3]])| {
            let first = start + k * Self::SIZE;
            let bounds = Bounds::around(corners.iter().flatten().copied())?;
            let faces = first..first + corners.len();
            Some(Self::of(faces, bounds, corners))
        };
        triangles.chunks(Self::SIZE).enumerate().filter_map(bundle).collect()
    }

    fn of(faces: Range<usize>, bounds: Bounds, corners: &[[Vector3<f64>; 3]]) -> Self {
        let zero = Vector3::zeros();
        let mut sums = Self {
            faces,
            middle: bounds.centre(),
            half: bounds.size() / 2.0,
            volume: 0.0,
            area: zero,
            lever: zero,
            spread: Matrix3::zeros(),
        };
        for corners in corners {
            sums.take(corners);
        }
        sums
    }

    /// Takes in the sums of one triangle. By components: this is asked of every triangle of every mesh that is made.
    fn take(&mut self, [a, b, c]: &[Vector3<f64>; 3]) {
        let square = |p: &Vector3<f64>, q: &Vector3<f64>| {
            [p.y * q.z - p.z * q.y, p.z * q.x - p.x * q.z, p.x * q.y - p.y * q.x]
        };
        let (ab, bc, ca) = (square(a, b), square(b, c), square(c, a));
        let v = (a.x * bc[0] + a.y * bc[1] + a.z * bc[2]) / 6.0;
        let s = [
            (ab[0] + bc[0] + ca[0]) / 6.0,
            (ab[1] + bc[1] + ca[1]) / 6.0,
            (ab[2] + bc[2] + ca[2]) / 6.0,
        ];
        let t = [a.x + b.x + c.x, a.y + b.y + c.y, a.z + b.z + c.z];
        self.volume += v;
        for k in 0..3 {
            self.area[k] += s[k];
            self.lever[k] += t[k] * v;
            for (n, across) in s.iter().enumerate() {
                self.spread[(k, n)] += t[k] * across;
            }
        }
    }

    /// The same triangles moved by `by`, metres: with each corner that much further, s stays, v grows by
    /// `by · s` and t by thrice `by`.
    pub(super) fn shifted(&self, by: &Vector3<f64>) -> Self {
        let thrice = by * 3.0;
        let grown = by.dot(&self.area);
        Self {
            faces: self.faces.clone(),
            middle: self.middle + by,
            half: self.half,
            volume: self.volume + grown,
            area: self.area,
            lever: self.lever + self.spread * by + thrice * (self.volume + grown),
            spread: self.spread + thrice * self.area.transpose(),
        }
    }

    /// The same triangles with all lengths from the origin so many times as long.
    pub(super) fn scaled(&self, times: f64) -> Self {
        Self {
            faces: self.faces.clone(),
            middle: self.middle * times,
            half: self.half * times,
            volume: self.volume * times.powi(3),
            area: self.area * times.powi(2),
            lever: self.lever * times.powi(4),
            spread: self.spread * times.powi(3),
        }
    }

    /// The same triangles after a turn about the origin that takes each axis of the body to one of them.
    pub(super) fn turned(&self, turn: impl Fn(&Vector3<f64>) -> Vector3<f64>) -> Self {
        let [x, y, z] = [Vector3::x(), Vector3::y(), Vector3::z()].map(|axis| turn(&axis));
        let rows = Matrix3::from_columns(&[x, y, z]);
        Self {
            faces: self.faces.clone(),
            middle: turn(&self.middle),
            half: turn(&self.half).abs(),
            volume: self.volume,
            area: turn(&self.area),
            lever: turn(&self.lever),
            spread: rows * self.spread * rows.transpose(),
        }
    }

    /// Where the bundle lies about the plane `up · p + height = 0`, given a length below which
    /// rounding decides.
    pub(super) fn side(&self, up: &Vector3<f64>, height: f64, rounding: f64) -> PlaneSide {
        // By components: this is asked of every bundle of every cut.
        let (m, h) = (&self.middle, &self.half);
        let middle = up.x * m.x + up.y * m.y + up.z * m.z + height;
        let reach = up.x.abs() * h.x + up.y.abs() * h.y + up.z.abs() * h.z + rounding;
        if middle < -reach {
            PlaneSide::Below
        } else if middle > reach {
            PlaneSide::Above
        } else {
            PlaneSide::Across
        }
    }

    /// True when a point is no further than that from the box around it, metres.
    pub(super) fn is_near(&self, point: &Vector3<f64>, by: f64) -> bool {
        let off = (point - self.middle).abs() - self.half;
        off.iter().all(|beyond| *beyond <= by)
    }

    /// From where to where the box around it reaches along an axis of the body, metres.
    pub(super) fn reach(&self, axis: usize) -> [f64; 2] {
        [self.middle[axis] - self.half[axis], self.middle[axis] + self.half[axis]]
    }

    /// Volume and first moment of the tetrahedra over its triangles from an apex; the moment is
    /// about the apex.
    pub(super) fn over(&self, apex: &Vector3<f64>) -> (f64, Vector3<f64>) {
        // By components: this is asked of every bundle under a cut.
        let (s, t, r) = (&self.area, &self.lever, &self.spread);
        let (x, y, z) = (apex.x, apex.y, apex.z);
        let volume = self.volume - (x * s.x + y * s.y + z * s.z);
        // Each centroid is (apex + a + b + c) / 4; about the apex, a quarter of t - 3 apex.
        let thrice = 3.0 * volume;
        let moment = Vector3::new(
            (t.x - (r.m11 * x + r.m12 * y + r.m13 * z) - x * thrice) / 4.0,
            (t.y - (r.m21 * x + r.m22 * y + r.m23 * z) - y * thrice) / 4.0,
            (t.z - (r.m31 * x + r.m32 * y + r.m33 * z) - z * thrice) / 4.0,
        );
        (volume, moment)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Seventeen triangles on a bent surface: two bundles.
    fn triangles(at: impl Fn(Vector3<f64>) -> Vector3<f64>) -> Vec<[Vector3<f64>; 3]> {
        let point = |k: u32| {
            let (x, y) = (f64::from(k) * 0.07, f64::from(k % 3) * 0.05);
            at(Vector3::new(x, y, (5.0 * x).sin() * 0.1 + y * y))
        };
        (0..17).map(|k| [point(k), point(k + 1), point(k + 2)]).collect()
    }

    #[track_caller]
    fn same(got: &[Bundle], expected: &[Bundle]) {
        let near =
            |got: f64, expected: f64| (got - expected).abs() <= 1e-14 * expected.abs().max(1.0);
        assert_eq!(got.len(), expected.len(), "as many");
        for (a, b) in got.iter().zip(expected) {
            let numbers = |b: &Bundle| {
                let of = [b.middle, b.half, b.area, b.lever].map(|v| [v.x, v.y, v.z]);
                of.as_flattened()
                    .iter()
                    .chain(&b.spread)
                    .copied()
                    .chain([b.volume])
                    .collect::<Vec<_>>()
            };
            for (k, (got, expected)) in numbers(a).into_iter().zip(numbers(b)).enumerate() {
                assert!(near(got, expected), "number {k}: {got} instead of {expected}");
            }
            assert_eq!(a.faces, b.faces, "of the same triangles");
        }
    }

    #[test]
    fn sums_of_what_is_moved_enlarged_or_turned_are_those_of_its_triangles() {
        let here = Bundle::all(0, &triangles(|p| p));
        let by = Vector3::new(0.3, -0.2, 0.7);
        let moved: Vec<_> = here.iter().map(|bundle| bundle.shifted(&by)).collect();
        same(&moved, &Bundle::all(0, &triangles(|p| p + by)));
        let larger: Vec<_> = here.iter().map(|bundle| bundle.scaled(1.7)).collect();
        same(&larger, &Bundle::all(0, &triangles(|p| p * 1.7)));
        let turn = |p: &Vector3<f64>| Vector3::new(p.z, p.y, -p.x);
        let turned: Vec<_> = here.iter().map(|bundle| bundle.turned(turn)).collect();
        same(&turned, &Bundle::all(0, &triangles(|p| turn(&p))));
    }
}
