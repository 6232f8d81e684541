//! Bodies that the published cases float: one solid and one centre of mass, prisms, logs.

use super::assert_within;
use nalgebra::{Unit, Vector3};
use trimwright::boat::{Boat, Housing, Part, Tank};
use trimwright::float::{
    Afloat, Basin, FloatModel, Stiffness, Tolerance, release, righting_lever, settle_from,
    upright_stiffness,
};
use trimwright::frame::{Pose, Position};
use trimwright::geometry::{Fineness, Mesh, Solid, Station, revolve};

/// A round density for bodies of which only the relative density matters, kg/m³.
pub const WATER: f64 = 1000.0;
/// Standard sea water of the textbooks on ships, kg/m³.
pub const SEA_WATER: f64 = 1025.0;

/// A box of length, width and height on its keel: x and y from its middle, z from the bottom.
pub fn keeled_box(size: [f64; 3]) -> Solid {
    Solid::Box { size, centre: Position::new(0.0, 0.0, size[2] / 2.0) }
}

/// A boat of one solid with its whole mass (kg) at one place.
pub fn boat(solid: Solid, mass: f64, centre: [f64; 3]) -> Boat {
    let [x, y, z] = centre;
    Boat {
        name: "one solid".to_owned(),
        parts: vec![Part::solid("body", mass, Position::new(x, y, z), solid)],
        ..Boat::default()
    }
}

/// The same, ready for calculation.
pub fn model(solid: Solid, mass: f64, centre: [f64; 3]) -> FloatModel {
    FloatModel::new(&boat(solid, mass, centre), Fineness::FINE).expect("a good boat")
}

/// A homogeneous body of a relative density.
pub fn homogeneous(mesh: &Mesh, relative_density: f64) -> FloatModel {
    let mass = WATER * relative_density * mesh.volume();
    let centre = mesh.centroid().vector().into();
    model(Solid::Mesh(mesh.clone().into()), mass, centre)
}

/// A homogeneous box with its middle at the origin.
pub fn homogeneous_box(size: [f64; 3], relative_density: f64) -> FloatModel {
    let mass = WATER * relative_density * size.iter().product::<f64>();
    model(Solid::Box { size, centre: Position::ORIGIN }, mass, [0.0; 3])
}

/// The attitude that a boat let go upright comes to.
#[track_caller]
pub fn released(model: &FloatModel, density: f64) -> Afloat {
    let outcome = release(model, Basin::deep(density), &Tolerance::FINE).expect("good water");
    outcome.afloat().expect("it floats").clone()
}

/// The attitude that a boat let go with this body direction up comes to.
#[track_caller]
pub fn settled(model: &FloatModel, density: f64, up: [f64; 3]) -> Afloat {
    let start = Pose::new(0.0, direction(up));
    let basin = Basin::deep(density);
    let outcome = settle_from(model, basin, start, &Tolerance::FINE).expect("good water");
    outcome.afloat().expect("it floats").clone()
}

/// Metacentric heights with the heel held at zero.
#[track_caller]
pub fn upright(model: &FloatModel, density: f64) -> Stiffness {
    upright_stiffness(model, Basin::deep(density), None, &Tolerance::FINE).expect("good water").0
}

/// A unit vector.
pub fn direction(up: [f64; 3]) -> Unit<Vector3<f64>> {
    Unit::new_normalize(Vector3::from(up))
}

/// Angle between the body's z and the vertical, degrees.
pub fn tilt_degrees(afloat: &Afloat) -> f64 {
    afloat.pose.up().angle(&Vector3::z_axis()).to_degrees()
}

/// Potential energy over weight of a floating body, metres: the height of G over B.
pub fn energy(afloat: &Afloat) -> f64 {
    let arm = afloat.centre_of_gravity.vector() - afloat.centre_of_buoyancy.vector();
    afloat.pose.up().dot(&arm)
}

/// A prism along x with a convex section: corners (y, z) counter-clockwise seen from ahead.
pub fn prism(section: &[[f64; 2]], length: f64) -> Mesh {
    let n = u32::try_from(section.len()).expect("a few corners");
    let at = |x: f64| section.iter().map(move |&[y, z]| Vector3::new(x, y, z));
    let vertices = at(-length / 2.0).chain(at(length / 2.0)).collect();
    let mut faces = Vec::new();
    for k in 0..n {
        let next = (k + 1) % n;
        faces.push([k, next, n + next]);
        faces.push([k, n + next, n + k]);
    }
    for k in 1..n - 1 {
        faces.push([0, k + 1, k]);
        faces.push([n, n + k, n + k + 1]);
    }
    Mesh::closed(vertices, faces).expect("a convex section")
}

/// A body of revolution about z: radius `radius(z)` at each height, from the lowest upwards.
pub fn upright_body(heights: impl Iterator<Item = f64>, radius: impl Fn(f64) -> f64) -> Mesh {
    let stations: Vec<Station> = heights.map(|x| Station { x, radius: radius(x) }).collect();
    let lying = revolve(&stations, 512).expect("a good profile");
    let stood = lying.vertices().iter().map(|v| Vector3::new(v.y, v.z, v.x)).collect();
    Mesh::closed(stood, lying.faces().to_vec()).expect("a turned mesh stays closed")
}

/// Compares three coordinates, each to `tolerance` metres.
#[track_caller]
pub fn assert_vector(got: Vector3<f64>, expected: [f64; 3], tolerance: f64, what: &str) {
    for (axis, (g, e)) in ["x", "y", "z"].into_iter().zip(got.iter().zip(expected)) {
        assert_within(*g, e, tolerance, &format!("{what}, {axis}"));
    }
}

/// A tank inside a part that displaces already, weighing nothing itself.
pub fn inner_tank(cavity: Solid, fill: f64, liquid_density: f64) -> Tank {
    Tank { fill, liquid_density, housing: Housing::InsideAPart, ..Tank::new("tank", cavity) }
}

/// A boat of one solid with one tank inside it.
pub fn tanked(solid: Solid, mass: f64, centre: [f64; 3], tank: Tank) -> Boat {
    Boat { tanks: vec![tank], ..boat(solid, mass, centre) }
}

/// The righting lever at a heel in degrees, metres.
#[track_caller]
pub fn lever(model: &FloatModel, density: f64, degrees: f64) -> f64 {
    let heel = degrees.to_radians();
    righting_lever(model, Basin::deep(density), heel, &Tolerance::FINE).expect("good water").lever
}
