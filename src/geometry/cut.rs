//! What lies below a plane: volume, first moments, and the waterplane's area and moments, in one
//! pass over the triangles.
//!
//! The volume is a sum of signed tetrahedra with their apex on the plane, so the cap that closes
//! the cut contributes nothing and is never built (divergence theorem). The waterplane follows
//! from the cut edges alone (Green's theorem). Exact for the mesh; nothing is allocated.

use super::bundle::PlaneSide;
use super::mesh::Mesh;
use nalgebra::{Matrix3, Unit, Vector3};
use std::ops::{Add, AddAssign, Mul};

/// Integrals over the plane area inside a solid, in body axes about the body's origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Waterplane {
    /// Area, m².
    pub area: f64,
    /// First moment ∫ p dA, m³.
    pub first: Vector3<f64>,
    /// Second moment ∫ p pᵀ dA, m⁴.
    pub second: Matrix3<f64>,
}

impl Waterplane {
    /// No area.
    pub const NONE: Self = Self {
        area: 0.0,
        first: Vector3::new(0.0, 0.0, 0.0),
        second: Matrix3::new(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0),
    };

    /// The centroid, if there is an area.
    pub fn centroid(&self) -> Option<Vector3<f64>> {
        (self.area > 0.0).then(|| self.first / self.area)
    }

    /// Second moment about the waterplane's own centroid, m⁴.
    pub fn central_second(&self) -> Matrix3<f64> {
        match self.centroid() {
            Some(c) => self.second - c * self.first.transpose(),
            None => Matrix3::zeros(),
        }
    }
}

impl Add for Waterplane {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            area: self.area + other.area,
            first: self.first + other.first,
            second: self.second + other.second,
        }
    }
}

/// What of one or several solids lies below a plane. Pieces add.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Volume below the plane, m³.
    pub volume: f64,
    /// First moment ∫ p dV about the body's origin, m⁴.
    pub first_moment: Vector3<f64>,
    /// The area where the plane passes through the solid.
    pub waterplane: Waterplane,
}

impl Cut {
    /// Nothing below the plane.
    pub const NONE: Self = Self {
        volume: 0.0,
        first_moment: Vector3::new(0.0, 0.0, 0.0),
        waterplane: Waterplane::NONE,
    };

    /// All of `mesh`: the plane is above it.
    pub fn whole(mesh: &Mesh) -> Self {
        Self {
            volume: mesh.volume(),
            first_moment: mesh.first_moment(),
            waterplane: Waterplane::NONE,
        }
    }

    /// What of `mesh` lies below the plane `up · p + height = 0`. A point on the plane counts as
    /// above it, so a face lying in the plane bounds the waterplane of the solid under it.
    pub(super) fn of(mesh: &Mesh, up: Unit<Vector3<f64>>, height: f64) -> Self {
        let (low, high) = mesh.bounds().reach(&up);
        if low + height >= 0.0 {
            return Self::NONE;
        }
        if high + height < 0.0 {
            return Self::whole(mesh);
        }
        let mut pass = CutSums::new(up, height, mesh.bounds().centre());
        let rounding = mesh.bounds().size().norm() * 1e-12;
        for bundle in mesh.bundles() {
            match bundle.side(&up, height, rounding) {
                PlaneSide::Above => {}
                PlaneSide::Below => pass.add_sums(bundle.over(&pass.apex)),
                PlaneSide::Across => mesh.corners(bundle).for_each(|corners| pass.take(corners)),
            }
        }
        pass.finish()
    }
}

impl Mesh {
    /// What lies below the plane `up · p + height = 0`.
    pub fn below(&self, up: Unit<Vector3<f64>>, height: f64) -> Cut {
        Cut::of(self, up, height)
    }
}

impl Mul<f64> for Cut {
    type Output = Self;

    /// A share of all that it counts: what water can take of a space full of other things.
    fn mul(self, share: f64) -> Self {
        let Waterplane { area, first, second } = self.waterplane;
        Self {
            volume: self.volume * share,
            first_moment: self.first_moment * share,
            waterplane: Waterplane {
                area: area * share,
                first: first * share,
                second: second * share,
            },
        }
    }
}

impl AddAssign for Cut {
    fn add_assign(&mut self, other: Self) {
        self.volume += other.volume;
        self.first_moment += other.first_moment;
        self.waterplane = self.waterplane + other.waterplane;
    }
}

/// Signed volume and first moment of the tetrahedron from the origin over a triangle.
pub(super) fn tetrahedron([a, b, c]: [Vector3<f64>; 3]) -> (f64, Vector3<f64>) {
    // By components: this is asked of every triangle of every cut.
    let volume = (a.x * (b.y * c.z - b.z * c.y)
        + a.y * (b.z * c.x - b.x * c.z)
        + a.z * (b.x * c.y - b.y * c.x))
        / 6.0;
    let share = volume / 4.0;
    let moment = Vector3::new(
        (a.x + b.x + c.x) * share,
        (a.y + b.y + c.y) * share,
        (a.z + b.z + c.z) * share,
    );
    (volume, moment)
}

/// Sums of one pass, about an apex on the plane near the mesh.
struct CutSums {
    up: Vector3<f64>,
    apex: Vector3<f64>,
    /// Two unit vectors that span the plane; right-handed with `up`.
    across: [Vector3<f64>; 2],
    volume: f64,
    moment: Vector3<f64>,
    area: f64,
    first: [f64; 2],
    second: [f64; 3],
}

impl CutSums {
    fn new(up: Unit<Vector3<f64>>, height: f64, near: Vector3<f64>) -> Self {
        let up = up.into_inner();
        let apex = near - up * (up.dot(&near) + height);
        let helper = if up.x.abs() < 0.7 { Vector3::x() } else { Vector3::y() };
        let u = (helper - up * up.dot(&helper)).normalize();
        Self {
            up,
            apex,
            across: [u, up.cross(&u)],
            volume: 0.0,
            moment: Vector3::zeros(),
            area: 0.0,
            first: [0.0; 2],
            second: [0.0; 3],
        }
    }

    fn take(&mut self, corners: [Vector3<f64>; 3]) {
        let [a, b, c] = corners.map(|p| p - self.apex);
        let [da, db, dc] = [self.up.dot(&a), self.up.dot(&b), self.up.dot(&c)];
        match (da < 0.0, db < 0.0, dc < 0.0) {
            (false, false, false) => {}
            (true, true, true) => self.add([a, b, c]),
            (true, false, false) => self.one_wet((a, da), (b, db), (c, dc)),
            (false, true, false) => self.one_wet((b, db), (c, dc), (a, da)),
            (false, false, true) => self.one_wet((c, dc), (a, da), (b, db)),
            (false, true, true) => self.two_wet((a, da), (b, db), (c, dc)),
            (true, false, true) => self.two_wet((b, db), (c, dc), (a, da)),
            (true, true, false) => self.two_wet((c, dc), (a, da), (b, db)),
        }
    }

    fn one_wet(&mut self, wet: CornerHeight, next: CornerHeight, last: CornerHeight) {
        let p = crossing(wet, next);
        let q = crossing(wet, last);
        self.add([wet.0, p, q]);
        self.edge(q, p);
    }

    fn two_wet(&mut self, dry: CornerHeight, next: CornerHeight, last: CornerHeight) {
        let p = crossing(next, dry);
        let q = crossing(last, dry);
        self.add([p, next.0, last.0]);
        self.add([p, last.0, q]);
        self.edge(p, q);
    }

    fn add(&mut self, corners: [Vector3<f64>; 3]) {
        self.add_sums(tetrahedron(corners));
    }

    fn add_sums(&mut self, (volume, moment): (f64, Vector3<f64>)) {
        self.volume += volume;
        self.moment += moment;
    }

    /// One edge of the waterplane, counter-clockwise seen from above.
    fn edge(&mut self, from: Vector3<f64>, to: Vector3<f64>) {
        let [u, v] = self.across;
        let (x, y) = (u.dot(&from), v.dot(&from));
        let (s, t) = (u.dot(&to), v.dot(&to));
        let cross = x * t - s * y;
        self.area += cross / 2.0;
        self.first[0] += cross * (x + s) / 6.0;
        self.first[1] += cross * (y + t) / 6.0;
        self.second[0] += cross * (x * x + x * s + s * s) / 12.0;
        self.second[1] += cross * (x * (2.0 * y + t) + s * (y + 2.0 * t)) / 24.0;
        self.second[2] += cross * (y * y + y * t + t * t) / 12.0;
    }

    /// Moves the sums from the apex to the body's origin.
    fn finish(self) -> Cut {
        let [u, v] = self.across;
        let first = u * self.first[0] + v * self.first[1];
        let [uu, uv, vv] = self.second;
        let second = u * u.transpose() * uu
            + (u * v.transpose() + v * u.transpose()) * uv
            + v * v.transpose() * vv;
        let apex = self.apex;
        let mixed = apex * first.transpose();
        Cut {
            volume: self.volume,
            first_moment: self.moment + apex * self.volume,
            waterplane: Waterplane {
                area: self.area,
                first: first + apex * self.area,
                second: second + mixed + mixed.transpose() + apex * apex.transpose() * self.area,
            },
        }
    }
}

/// A corner and its height above the plane.
type CornerHeight = (Vector3<f64>, f64);

/// Where an edge meets the plane. Always reckoned from its wet end, so both triangles that share
/// the edge find the same point to the last bit.
fn crossing(wet: CornerHeight, dry: CornerHeight) -> Vector3<f64> {
    let share = wet.1 / (wet.1 - dry.1);
    let between = |from: f64, to: f64| from + (to - from) * share;
    Vector3::new(between(wet.0.x, dry.0.x), between(wet.0.y, dry.0.y), between(wet.0.z, dry.0.z))
}
