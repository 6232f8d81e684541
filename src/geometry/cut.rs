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
        let mut pass = CutPass::new(up, height, mesh.bounds().centre());
        let rounding = mesh.bounds().size().norm() * 1e-12;
        for bundle in mesh.bundles() {
            match bundle.side(&up, height, rounding) {
                PlaneSide::Above => {}
                PlaneSide::Below => pass.add_sums(bundle.over(&pass.apex)),
                PlaneSide::Across => mesh.each_of(bundle, |a, b, c| {
                    pass.take(pass.corner(a), pass.corner(b), pass.corner(c));
                }),
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
    let mut sums = Sums::default();
    sums.add(a.into(), b.into(), c.into());
    (sums.volume, sums.moment.into())
}

/// Volume and first moment of tetrahedra. By components, as all that is done for each triangle of each cut: made small,
/// as the app is, each step of a vector would be a call.
#[derive(Default)]
struct Sums {
    volume: f64,
    moment: [f64; 3],
}

impl Sums {
    fn add(&mut self, [ax, ay, az]: [f64; 3], [bx, by, bz]: [f64; 3], [cx, cy, cz]: [f64; 3]) {
        let volume =
            (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6.0;
        let share = volume / 4.0;
        self.volume += volume;
        self.moment[0] += (ax + bx + cx) * share;
        self.moment[1] += (ay + by + cy) * share;
        self.moment[2] += (az + bz + cz) * share;
    }
}

/// Sums of one pass, about an apex on the plane near the mesh.
struct CutPass {
    up: [f64; 3],
    apex: Vector3<f64>,
    /// Two unit vectors that span the plane; right-handed with `up`.
    across: [Vector3<f64>; 2],
    solid: Sums,
    area: f64,
    first: [f64; 2],
    second: [f64; 3],
}

impl CutPass {
    fn new(up: Unit<Vector3<f64>>, height: f64, near: Vector3<f64>) -> Self {
        let up = up.into_inner();
        let apex = near - up * (up.dot(&near) + height);
        let helper = if up.x.abs() < 0.7 { Vector3::x() } else { Vector3::y() };
        let u = (helper - up * up.dot(&helper)).normalize();
        Self {
            up: up.into(),
            apex,
            across: [u, up.cross(&u)],
            solid: Sums::default(),
            area: 0.0,
            first: [0.0; 2],
            second: [0.0; 3],
        }
    }

    #[expect(
        clippy::inline_always,
        reason = "asked of every corner, and smaller than a call of it"
    )]
    #[inline(always)]
    fn corner(&self, at: &Vector3<f64>) -> PlaneCorner {
        let [x, y, z] = [at.x - self.apex.x, at.y - self.apex.y, at.z - self.apex.z];
        PlaneCorner { at: [x, y, z], above: self.up[0] * x + self.up[1] * y + self.up[2] * z }
    }

    fn take(&mut self, a: PlaneCorner, b: PlaneCorner, c: PlaneCorner) {
        match (a.above < 0.0, b.above < 0.0, c.above < 0.0) {
            (false, false, false) => {}
            (true, true, true) => self.solid.add(a.at, b.at, c.at),
            (true, false, false) => self.one_wet(a, b, c),
            (false, true, false) => self.one_wet(b, c, a),
            (false, false, true) => self.one_wet(c, a, b),
            (false, true, true) => self.two_wet(a, b, c),
            (true, false, true) => self.two_wet(b, c, a),
            (true, true, false) => self.two_wet(c, a, b),
        }
    }

    fn one_wet(&mut self, wet: PlaneCorner, next: PlaneCorner, last: PlaneCorner) {
        let p = crossing(wet, next);
        let q = crossing(wet, last);
        self.solid.add(wet.at, p, q);
        self.edge(q, p);
    }

    fn two_wet(&mut self, dry: PlaneCorner, next: PlaneCorner, last: PlaneCorner) {
        let p = crossing(next, dry);
        let q = crossing(last, dry);
        self.solid.add(p, next.at, last.at);
        self.solid.add(p, last.at, q);
        self.edge(p, q);
    }

    fn add_sums(&mut self, (volume, moment): (f64, Vector3<f64>)) {
        self.solid.volume += volume;
        for (sum, more) in self.solid.moment.iter_mut().zip(&moment) {
            *sum += more;
        }
    }

    /// One edge of the waterplane, counter-clockwise seen from above.
    fn edge(&mut self, from: [f64; 3], to: [f64; 3]) {
        let [u, v] = self.across;
        let along =
            |axis: Vector3<f64>, at: [f64; 3]| axis.x * at[0] + axis.y * at[1] + axis.z * at[2];
        let (x, y) = (along(u, from), along(v, from));
        let (s, t) = (along(u, to), along(v, to));
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
        let Sums { volume, moment } = self.solid;
        let apex = self.apex;
        let mixed = apex * first.transpose();
        Cut {
            volume,
            first_moment: Vector3::from(moment) + apex * volume,
            waterplane: Waterplane {
                area: self.area,
                first: first + apex * self.area,
                second: second + mixed + mixed.transpose() + apex * apex.transpose() * self.area,
            },
        }
    }
}

/// A corner as seen from the apex, and its height above the plane.
#[derive(Clone, Copy)]
struct PlaneCorner {
    at: [f64; 3],
    above: f64,
}

/// Where an edge meets the plane. Always reckoned from its wet end, so both triangles that share
/// the edge find the same point to the last bit.
fn crossing(wet: PlaneCorner, dry: PlaneCorner) -> [f64; 3] {
    let share = wet.above / (wet.above - dry.above);
    let between = |axis: usize| wet.at[axis] + (dry.at[axis] - wet.at[axis]) * share;
    [between(0), between(1), between(2)]
}
