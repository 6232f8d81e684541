//! The simple solids that builders think in, and the meshes they become.

use super::axis::Axis;
use super::checking::MeshError;
use super::mesh::Mesh;
use super::revolve::{Station, revolve};
use crate::frame::{Body, Position};
use nalgebra::Vector3;
use std::f64::consts::PI;
use std::sync::Arc;

/// How finely round solids are divided. Volumes are exact at any fineness; where the water cuts a
/// round solid the error falls with the square of these numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fineness {
    /// Corners around a circle.
    pub around: u32,
    /// Steps along a dome from pole to pole.
    pub along: u32,
}

impl Fineness {
    /// For work on the phone: a 90 mm tube is true to 0.1 mm.
    pub const WORK: Self = Self { around: 48, along: 24 };
    /// For checks against closed forms.
    pub const FINE: Self = Self { around: 512, along: 256 };
}

/// Why a solid cannot be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SolidError {
    /// A size is zero, negative or not a number.
    #[error("{name} is {value} m: it must be more than zero")]
    BadSize {
        /// Which size.
        name: &'static str,
        /// What it was, metres.
        value: f64,
    },
    /// A coordinate of the place is not a number.
    #[error("the solid's position is not a number")]
    BadPlace,
    /// The domes are longer than the whole.
    #[error("two domes of {dome} m do not fit into a length of {length} m")]
    DomesTooLong {
        /// Depth of one dome, metres.
        dome: f64,
        /// Length over all, metres.
        length: f64,
    },
    /// A radius table is too short, folds back, or has a negative radius.
    #[error(
        "radius table, line {line}: positions must run forward, radii be zero or more, and only the two ends may be zero"
    )]
    BadTable {
        /// Line of the table, from 1.
        line: usize,
    },
    /// The triangles are not a solid.
    #[error(transparent)]
    Mesh(#[from] MeshError),
}

/// A solid in body axes. Lengths in metres; `centre` is the middle of its extent.
#[derive(Debug, Clone, PartialEq)]
pub enum Solid {
    /// A rectangular box, also a plate.
    Box {
        /// Length, width, height.
        size: [f64; 3],
        /// Its middle.
        centre: Position<Body>,
    },
    /// A circular cylinder with flat ends.
    Cylinder {
        /// The direction of its axis.
        axis: Axis,
        /// Length along the axis.
        length: f64,
        /// Diameter.
        diameter: f64,
        /// Its middle.
        centre: Position<Body>,
    },
    /// A cylinder fore and aft with an ellipsoidal dome at each end.
    DomedCylinder {
        /// Length over the domes.
        length: f64,
        /// Diameter.
        diameter: f64,
        /// Depth of each dome: half the diameter for a hemisphere.
        dome: f64,
        /// Its middle.
        centre: Position<Body>,
    },
    /// A sphere.
    Sphere {
        /// Diameter.
        diameter: f64,
        /// Its middle.
        centre: Position<Body>,
    },
    /// An ellipsoid.
    Ellipsoid {
        /// Length, width, height.
        size: [f64; 3],
        /// Its middle.
        centre: Position<Body>,
    },
    /// A cone or a truncated cone, fore and aft.
    Frustum {
        /// Length.
        length: f64,
        /// Diameter of the after end.
        diameter_aft: f64,
        /// Diameter of the forward end.
        diameter_fore: f64,
        /// The middle of its axis.
        centre: Position<Body>,
    },
    /// A body of revolution fore and aft; stations along the axis from `origin`.
    Revolved {
        /// Radii, going forward.
        stations: Vec<Station>,
        /// Where the table's x = 0 lies.
        origin: Position<Body>,
    },
    /// Any closed mesh, shared: a large hull is never copied.
    Mesh(Arc<Mesh>),
}

impl Solid {
    /// The solid as a closed mesh of exact volume; one that is a mesh already is handed out as it is.
    ///
    /// # Errors
    /// [`SolidError`] when a size is not positive, a place is not a number, or a table or mesh
    /// does not enclose a solid.
    pub fn mesh(&self, fineness: Fineness) -> Result<Arc<Mesh>, SolidError> {
        let made = match self {
            Self::Mesh(mesh) => return Ok(Arc::clone(mesh)),
            Self::Box { size, centre } => cuboid(*size, *centre),
            Self::Cylinder { axis, length, diameter, centre } => {
                positive("the length", *length)?;
                positive("the diameter", *diameter)?;
                let half = Station { x: length / 2.0, radius: diameter / 2.0 };
                let tube = revolve(&[Station { x: -half.x, ..half }, half], fineness.around)?;
                placed(&turned(&tube, *axis)?, *centre)
            }
            Self::DomedCylinder { length, diameter, dome, centre } => {
                let profile = domed_profile(*length, *diameter, *dome, fineness)?;
                placed(&revolve(&profile, fineness.around)?, *centre)
            }
            Self::Sphere { diameter, centre } => ellipsoid([*diameter; 3], *centre, fineness),
            Self::Ellipsoid { size, centre } => ellipsoid(*size, *centre, fineness),
            Self::Frustum { length, diameter_aft, diameter_fore, centre } => {
                let profile = frustum_profile(*length, *diameter_aft, *diameter_fore)?;
                placed(&revolve(&profile, fineness.around)?, *centre)
            }
            Self::Revolved { stations, origin } => {
                check_table(stations)?;
                placed(&revolve(stations, fineness.around)?, *origin)
            }
        };
        made.map(Arc::new)
    }
}

fn positive(name: &'static str, value: f64) -> Result<(), SolidError> {
    let ok = value.is_finite() && value > 0.0;
    if ok { Ok(()) } else { Err(SolidError::BadSize { name, value }) }
}

fn positive_sizes([length, width, height]: [f64; 3]) -> Result<(), SolidError> {
    positive("the length", length)?;
    positive("the width", width)?;
    positive("the height", height)
}

fn placed(mesh: &Mesh, centre: Position<Body>) -> Result<Mesh, SolidError> {
    if centre.is_finite() { Ok(mesh.shifted(centre.vector())) } else { Err(SolidError::BadPlace) }
}

/// Faces of a box whose corner k has bit 0 for the forward, bit 1 for the port, bit 2 for the upper
/// side.
const BOX_FACES: [[u32; 3]; 12] = [
    [0, 4, 6],
    [0, 6, 2],
    [1, 3, 7],
    [1, 7, 5],
    [0, 1, 5],
    [0, 5, 4],
    [2, 6, 7],
    [2, 7, 3],
    [0, 2, 3],
    [0, 3, 1],
    [4, 5, 7],
    [4, 7, 6],
];

fn cuboid(size: [f64; 3], centre: Position<Body>) -> Result<Mesh, SolidError> {
    positive_sizes(size)?;
    let half = Vector3::from(size) / 2.0;
    let corner = |k: u32| {
        let side = |bit: u32| if k & bit == 0 { -1.0 } else { 1.0 };
        half.component_mul(&Vector3::new(side(1), side(2), side(4)))
    };
    placed(&Mesh::closed((0..8).map(corner).collect(), BOX_FACES.to_vec())?, centre)
}

/// A mesh along x, laid along another axis by a turn that keeps it right-handed.
fn turned(mesh: &Mesh, axis: Axis) -> Result<Mesh, SolidError> {
    let turn = |v: &Vector3<f64>| match axis {
        Axis::X => *v,
        Axis::Y => Vector3::new(v.z, v.x, v.y),
        Axis::Z => Vector3::new(v.y, v.z, v.x),
    };
    Ok(Mesh::closed(mesh.vertices().iter().map(turn).collect(), mesh.faces().to_vec())?)
}

fn ellipsoid(
    size: [f64; 3],
    centre: Position<Body>,
    fineness: Fineness,
) -> Result<Mesh, SolidError> {
    positive_sizes(size)?;
    let ball = revolve(&half_circle(fineness.along, 0.0, PI), fineness.around)?;
    let grow = (4.0 / 3.0 * PI / ball.volume()).cbrt();
    let scale = Vector3::from(size) * (grow / 2.0);
    let vertices = ball.vertices().iter().map(|v| v.component_mul(&scale)).collect();
    placed(&Mesh::closed(vertices, ball.faces().to_vec())?, centre)
}

/// Stations on the unit circle from one polar angle to another, both included.
fn half_circle(steps: u32, from: f64, to: f64) -> Vec<Station> {
    let steps = steps.clamp(4, 2048);
    (0..=steps)
        .map(|k| {
            let angle = from + (to - from) * f64::from(k) / f64::from(steps);
            // The poles must be exactly on the axis, and sin(π) is not.
            let pole = (k == 0 && from == 0.0) || (k == steps && (to - PI).abs() < 1e-12);
            Station { x: -angle.cos(), radius: if pole { 0.0 } else { angle.sin() } }
        })
        .collect()
}

fn domed_profile(
    length: f64,
    diameter: f64,
    dome: f64,
    fineness: Fineness,
) -> Result<Vec<Station>, SolidError> {
    positive("the length", length)?;
    positive("the diameter", diameter)?;
    positive("the dome", dome)?;
    if 2.0 * dome > length {
        return Err(SolidError::DomesTooLong { dome, length });
    }
    let aft = half_circle(fineness.along / 2, 0.0, PI / 2.0);
    // The profile's chords cut inside the dome; a deeper dome gives its volume back.
    let chords: f64 = aft.windows(2).map(frustum_integral).sum();
    let depth = dome * (2.0 / 3.0) / chords;
    let shoulder = length / 2.0 - dome;
    let at = |s: &Station, side: f64| Station {
        x: side * (shoulder - s.x * depth),
        radius: s.radius * diameter / 2.0,
    };
    let mut profile: Vec<Station> = aft.iter().map(|s| at(s, -1.0)).collect();
    if shoulder <= 0.0 {
        profile.pop();
    }
    profile.extend(aft.iter().rev().map(|s| at(s, 1.0)));
    Ok(profile)
}

/// ∫ r² dx over one straight piece of a profile.
fn frustum_integral(pair: &[Station]) -> f64 {
    match pair {
        [a, b] => {
            let (r, s) = (a.radius, b.radius);
            (b.x - a.x) * (r * r + r * s + s * s) / 3.0
        }
        _ => 0.0,
    }
}

fn frustum_profile(length: f64, aft: f64, fore: f64) -> Result<[Station; 2], SolidError> {
    positive("the length", length)?;
    for (name, value) in [("the after diameter", aft), ("the forward diameter", fore)] {
        if !(value.is_finite() && value >= 0.0) {
            return Err(SolidError::BadSize { name, value });
        }
    }
    positive("the larger diameter", aft.max(fore))?;
    Ok([
        Station { x: -length / 2.0, radius: aft / 2.0 },
        Station { x: length / 2.0, radius: fore / 2.0 },
    ])
}

fn check_table(stations: &[Station]) -> Result<(), SolidError> {
    let last = stations.len().saturating_sub(1);
    if stations.len() < 2 {
        return Err(SolidError::BadTable { line: stations.len() });
    }
    let mut before = f64::NEG_INFINITY;
    for (i, Station { x, radius }) in stations.iter().enumerate() {
        let finite = x.is_finite() && radius.is_finite();
        let inside = i != 0 && i != last;
        if !finite || *x < before || *radius < 0.0 || (inside && *radius == 0.0) {
            return Err(SolidError::BadTable { line: i + 1 });
        }
        before = *x;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const HERE: Position<Body> = Position::new(0.3, -0.2, 0.1);

    #[track_caller]
    fn check(solid: &Solid, volume: f64) {
        let mesh = solid.mesh(Fineness::WORK).expect("a good solid");
        let off = (mesh.volume() - volume).abs() / volume;
        assert!(off < 1e-12, "volume {} instead of {volume}", mesh.volume());
    }

    #[test]
    fn volumes_are_exact_at_working_fineness() {
        check(&Solid::Box { size: [2.0, 0.5, 0.1], centre: HERE }, 0.1);
        for axis in [Axis::X, Axis::Y, Axis::Z] {
            let tube = Solid::Cylinder { axis, length: 2.0, diameter: 0.2, centre: HERE };
            check(&tube, 2.0 * PI * 0.01);
        }
        check(&Solid::Sphere { diameter: 0.2, centre: HERE }, 4.0 / 3.0 * PI * 0.001);
        let egg = Solid::Ellipsoid { size: [0.6, 0.4, 0.2], centre: HERE };
        check(&egg, 4.0 / 3.0 * PI * 0.3 * 0.2 * 0.1);
        let cone =
            Solid::Frustum { length: 0.3, diameter_aft: 0.0, diameter_fore: 0.2, centre: HERE };
        check(&cone, PI * 0.01 * 0.1);
        let capsule = Solid::DomedCylinder { length: 1.0, diameter: 0.2, dome: 0.1, centre: HERE };
        check(&capsule, 0.8 * PI * 0.01 + 4.0 / 3.0 * PI * 0.001);
        let ball = Solid::DomedCylinder { length: 0.2, diameter: 0.2, dome: 0.1, centre: HERE };
        check(&ball, 4.0 / 3.0 * PI * 0.001);
    }

    #[test]
    fn a_solid_of_no_size_is_refused_with_the_size_that_is_wrong() {
        let flat = Solid::Box { size: [1.0, -0.1, 1.0], centre: HERE };
        let got = flat.mesh(Fineness::WORK);
        assert_eq!(got, Err(SolidError::BadSize { name: "the width", value: -0.1 }), "{got:?}");
        let folded = Solid::Revolved {
            stations: vec![
                Station { x: 0.0, radius: 0.1 },
                Station { x: 1.0, radius: 0.1 },
                Station { x: 0.5, radius: 0.0 },
            ],
            origin: HERE,
        };
        let got = folded.mesh(Fineness::WORK);
        assert_eq!(got, Err(SolidError::BadTable { line: 3 }), "{got:?}");
    }
}
