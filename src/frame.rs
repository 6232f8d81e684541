//! Frames: positions in the body and in the world, and the pose that carries one to the other.
//!
//! Body axes: x forward, y to port, z up. Positive heel: starboard side down. Positive trim: bow
//! down. `world = Ry(trim) · Rx(heel) · body + (0, 0, height)`; the water surface is world z = 0.
//! Written here once; nothing else restates or varies it.

use nalgebra::{Unit, Vector3};
use std::fmt;
use std::marker::PhantomData;

/// Marker of the frame fixed in the body.
#[derive(Debug, Clone, Copy)]
pub enum Body {}

/// Marker of the frame fixed in the water: z up from the surface, x along the boat's heading.
#[derive(Debug, Clone, Copy)]
pub enum World {}

/// A position in frame `F`, metres.
pub struct Position<F> {
    xyz: Vector3<f64>,
    frame: PhantomData<fn() -> F>,
}

impl<F> Position<F> {
    /// The origin of the frame.
    pub const ORIGIN: Self = Self::new(0.0, 0.0, 0.0);

    /// A position from its coordinates, metres.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { xyz: Vector3::new(x, y, z), frame: PhantomData }
    }

    /// A position from a plain vector from the origin, metres.
    pub const fn from_vector(xyz: Vector3<f64>) -> Self {
        Self { xyz, frame: PhantomData }
    }

    /// Distance along x, metres.
    pub fn x(self) -> f64 {
        self.xyz.x
    }

    /// Distance along y, metres.
    pub fn y(self) -> f64 {
        self.xyz.y
    }

    /// Distance along z, metres.
    pub fn z(self) -> f64 {
        self.xyz.z
    }

    /// The plain vector from the origin, metres; leaves the frame's protection.
    pub fn vector(self) -> Vector3<f64> {
        self.xyz
    }

    /// True when no coordinate is infinite or not a number.
    pub fn is_finite(self) -> bool {
        self.xyz.iter().all(|c| c.is_finite())
    }
}

// By hand: a derive would ask these traits of the marker `F`.
impl<F> Clone for Position<F> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<F> Copy for Position<F> {}

impl<F> PartialEq for Position<F> {
    fn eq(&self, other: &Self) -> bool {
        self.xyz == other.xyz
    }
}

impl<F> fmt::Debug for Position<F> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "({}, {}, {}) m", self.xyz.x, self.xyz.y, self.xyz.z)
    }
}

/// Where the body is in the water: how high its origin stands above the surface and which body
/// direction points up. Heading does not matter to anything here, so it is not kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    height: f64,
    up: Unit<Vector3<f64>>,
}

impl Pose {
    /// Upright and level, with the body's origin `height` metres above the surface.
    pub fn upright(height: f64) -> Self {
        Self { height, up: Vector3::z_axis() }
    }

    /// From the height of the body's origin above the surface (metres), heel and trim (radians).
    pub fn from_angles(height: f64, heel: f64, trim: f64) -> Self {
        Self { height, up: up_from_angles(heel, trim) }
    }

    /// From the height of the body's origin and the body direction that points up.
    pub fn new(height: f64, up: Unit<Vector3<f64>>) -> Self {
        Self { height, up }
    }

    /// Height of the body's origin above the surface, metres.
    pub fn height(&self) -> f64 {
        self.height
    }

    /// "Up" as seen in body axes.
    pub fn up(&self) -> Unit<Vector3<f64>> {
        self.up
    }

    /// Heel, radians in (-π, π]; positive with the starboard side down.
    pub fn heel(&self) -> f64 {
        self.up.y.atan2(self.up.z)
    }

    /// Trim, radians in [-π/2, π/2]; positive with the bow down.
    pub fn trim(&self) -> f64 {
        (-self.up.x).clamp(-1.0, 1.0).asin()
    }

    /// Height of a body point above the surface, metres; negative when it is wet.
    pub fn height_of(&self, point: Position<Body>) -> f64 {
        self.up.dot(&point.vector()) + self.height
    }

    /// Carries a body point into the world.
    pub fn to_world(&self, point: Position<Body>) -> Position<World> {
        let axes = self.axes();
        let p = point.vector();
        Position::new(axes.forward.dot(&p), axes.port.dot(&p), self.height_of(point))
    }

    /// Where the water surface meets the body's own vertical through (`x`, `y`): the body z of
    /// the water there, metres. Not finite when the boat lies on its side.
    pub fn water_height_at(&self, x: f64, y: f64) -> f64 {
        -(self.height + self.up.x * x + self.up.y * y) / self.up.z
    }

    /// The world's horizontal axes seen in body axes.
    pub fn axes(&self) -> HorizontalAxes {
        HorizontalAxes::about(self.up)
    }

    /// The pose after rising by `rise` metres and turning about the world's axes by small
    /// `heel` and `trim` increments (radians), along the great circle that they span.
    #[must_use]
    pub fn moved(&self, rise: f64, heel: f64, trim: f64) -> Self {
        let axes = self.axes();
        let turn = axes.port * heel - axes.forward * trim;
        let angle = turn.norm();
        if angle < 1e-300 {
            return Self { height: self.height + rise, up: self.up };
        }
        let up = self.up.into_inner() * angle.cos() + turn * (angle.sin() / angle);
        Self { height: self.height + rise, up: Unit::new_normalize(up) }
    }
}

/// The body direction that points up at a given heel and trim (radians).
pub fn up_from_angles(heel: f64, trim: f64) -> Unit<Vector3<f64>> {
    Unit::new_normalize(Vector3::new(-trim.sin(), heel.sin() * trim.cos(), heel.cos() * trim.cos()))
}

/// The world's horizontal directions seen in body axes, both of unit length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HorizontalAxes {
    /// The horizontal direction of the bow.
    pub forward: Vector3<f64>,
    /// Horizontal, to port of it.
    pub port: Vector3<f64>,
}

impl HorizontalAxes {
    /// The axes for a given "up". With the bow straight up or down its heading is undefined; the
    /// keel's or the deck's is taken then.
    fn about(up: Unit<Vector3<f64>>) -> Self {
        let flattened = |v: Vector3<f64>| v - up.into_inner() * up.dot(&v);
        let bow = flattened(Vector3::x());
        let forward =
            if bow.norm_squared() > 1e-16 { bow } else { flattened(Vector3::z()) }.normalize();
        Self { forward, port: up.cross(&forward) }
    }

    /// The change of "up" in body axes for a unit of heel and for one of trim (radians).
    pub fn turns(&self) -> [Vector3<f64>; 2] {
        [self.port, -self.forward]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn angles_survive_the_round_trip() {
        for (heel, trim) in [(0.0, 0.0), (0.3, -0.2), (-2.5, 1.2), (3.1, 0.01)] {
            let pose = Pose::from_angles(0.1, heel, trim);
            assert!((pose.heel() - heel).abs() < 1e-12, "heel {heel}: got {}", pose.heel());
            assert!((pose.trim() - trim).abs() < 1e-12, "trim {trim}: got {}", pose.trim());
        }
    }

    #[test]
    fn positive_heel_puts_starboard_down_and_positive_trim_the_bow() {
        let starboard = Position::new(0.0, -1.0, 0.0);
        let bow = Position::new(1.0, 0.0, 0.0);
        assert!(Pose::from_angles(0.0, 0.2, 0.0).height_of(starboard) < 0.0, "starboard is down");
        assert!(Pose::from_angles(0.0, 0.0, 0.2).height_of(bow) < 0.0, "the bow is down");
    }

    #[test]
    fn the_pose_is_the_rotation_it_says_it_is() {
        let (heel, trim, h) = (0.4, -0.3, 0.7);
        let turn = nalgebra::Rotation3::from_axis_angle(&Vector3::y_axis(), trim)
            * nalgebra::Rotation3::from_axis_angle(&Vector3::x_axis(), heel);
        let point = Vector3::new(0.3, -0.8, 0.5);
        let expected = turn * point + Vector3::new(0.0, 0.0, h);
        let got = Pose::from_angles(h, heel, trim).to_world(Position::from_vector(point));
        assert!((got.vector() - expected).norm() < 1e-14, "got {got:?}, expected {expected:?}");
    }

    #[test]
    fn a_pure_trim_step_keeps_the_heel() {
        let pose = Pose::from_angles(0.0, 0.5, 0.1).moved(0.0, 0.0, 0.2);
        assert!((pose.heel() - 0.5).abs() < 1e-13, "heel {}", pose.heel());
        assert!((pose.trim() - 0.3).abs() < 1e-13, "trim {}", pose.trim());
    }
}
