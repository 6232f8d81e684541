//! The demonstration boat: invented, complete, and stable at its marks.

use super::{Boat, Housing, Mark, Medium, Part, Place, Tank};
use crate::frame::{Body, Position};
use crate::geometry::{Axis, Mesh, MeshError, Solid, Station};
use crate::material::LEAD;
use nalgebra::Vector3;

/// Dipper, 0.92 m long: a dry hull of wood with a ballast tank inside, a free-flooding casing and
/// sail of thin plate, and a lead keel. Level and upright at its marks in fresh water of 20 °C.
///
/// # Errors
/// None in practice: the sizes are fixed; the type is that of any mesh.
pub fn demo_boat() -> Result<Boat, MeshError> {
    let axis = 0.078;
    let at = Position::new;
    let plate = |name: &str, mass: f64, size: [f64; 3], centre: Position<Body>| {
        Part::solid(name, mass, centre, Solid::Box { size, centre })
    };
    let sail = |name: &str, y: f64| -> Result<Part, MeshError> {
        let mesh = tapered_plate([0.02, 0.15], [0.04, 0.125], [0.144, 0.208], y, 0.002)?;
        let centre = mesh.centroid();
        Ok(Part::solid(name, 0.022, centre, Solid::Mesh(mesh.into())))
    };
    let keel = [0.42, 0.016, 0.016];
    let keel_mass = keel.iter().product::<f64>() * LEAD.density;
    let parts = vec![
        Part::solid(
            "hull",
            1.52,
            at(0.01, 0.0, 0.082),
            Solid::Revolved { stations: profile(), origin: at(0.0, 0.0, axis) },
        ),
        Part::weight("battery", 0.62, at(0.24, 0.0, 0.06)),
        Part::weight("motor and gearbox", 0.34, at(-0.22, 0.0, 0.07)),
        Part::weight("receiver and servos", 0.22, at(-0.16, 0.0, 0.075)),
        Part::weight("pump and valves", 0.26, at(0.07, 0.0, 0.06)),
        Part::weight("trimming lead inside", 0.397, at(0.1158, 0.0, 0.045)),
        plate("casing, port", 0.042, [0.56, 0.002, 0.026], at(0.01, 0.02, 0.131)),
        plate("casing, starboard", 0.042, [0.56, 0.002, 0.026], at(0.01, -0.02, 0.131)),
        plate("casing, top", 0.06, [0.56, 0.042, 0.002], at(0.01, 0.0, 0.145)),
        sail("sail, port", 0.014)?,
        sail("sail, starboard", -0.014)?,
        plate("stern planes", 0.03, [0.04, 0.16, 0.004], at(-0.44, 0.0, axis)),
        plate("rudder", 0.024, [0.04, 0.004, 0.12], at(-0.44, 0.0, axis)),
        plate("keel lead", keel_mass, keel, at(0.05, 0.0, 0.014)),
    ];
    let middle = at(0.046, 0.0, axis);
    let cavity = Solid::Cylinder { axis: Axis::X, length: 0.22, diameter: 0.078, centre: middle };
    let tank = Tank {
        mass: 0.14,
        centre: middle,
        housing: Housing::InsideAPart,
        ..Tank::new("ballast tank", cavity)
    };
    let mark = |name: &str, x: f64, y: f64| Mark { name: name.to_owned(), at: at(x, y, WATERLINE) };
    let place = |name: &str, z: f64, medium: Medium| Place { name: name.to_owned(), z, medium };
    Ok(Boat {
        name: "Dipper".to_owned(),
        parts,
        tanks: vec![tank],
        marks: vec![mark("stern", -0.33, 0.0), mark("midship", 0.0, 0.0), mark("bow", 0.36, 0.0)],
        places: vec![
            place("on the keel", 0.01, Medium::Wet),
            place("inside", 0.045, Medium::Dry),
            place("on deck", 0.15, Medium::Dry),
        ],
    })
}

/// Design waterline above the keel line, metres.
const WATERLINE: f64 = 0.106;

/// Radii of the hull, metres: a full nose, a parallel middle, a fine tail.
fn profile() -> Vec<Station> {
    const TABLE: [(f64, f64); 17] = [
        (-0.46, 0.006),
        (-0.42, 0.016),
        (-0.36, 0.0285),
        (-0.30, 0.0385),
        (-0.24, 0.0455),
        (-0.18, 0.049),
        (-0.12, 0.05),
        (0.26, 0.05),
        (0.31, 0.0488),
        (0.35, 0.0458),
        (0.385, 0.041),
        (0.415, 0.0345),
        (0.435, 0.0278),
        (0.448, 0.0215),
        (0.456, 0.0145),
        (0.4595, 0.0062),
        (0.46, 0.0),
    ];
    TABLE.iter().map(|&(x, radius)| Station { x, radius }).collect()
}

/// An upright fore-and-aft plate whose upper edge is shorter than its lower one: the ends of the
/// lower and the upper edge along x, their heights, the plate's place across, its thickness.
fn tapered_plate(
    lower: [f64; 2],
    upper: [f64; 2],
    heights: [f64; 2],
    y: f64,
    thickness: f64,
) -> Result<Mesh, MeshError> {
    let mut vertices = Vec::new();
    for side in [y - thickness / 2.0, y + thickness / 2.0] {
        for (ends, z) in [(lower, heights[0]), (upper, heights[1])] {
            vertices.extend(ends.map(|x| Vector3::new(x, side, z)));
        }
    }
    // Vertices: starboard then port; lower then upper; aft then fore.
    let faces = vec![
        [0, 1, 3],
        [0, 3, 2],
        [4, 7, 5],
        [4, 6, 7],
        [0, 5, 1],
        [0, 4, 5],
        [2, 3, 7],
        [2, 7, 6],
        [0, 2, 6],
        [0, 6, 4],
        [1, 5, 7],
        [1, 7, 3],
    ];
    Mesh::closed(vertices, faces)
}
