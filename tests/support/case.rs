//! Reads the boats of the JSON cases (their format is in `tests/data/cases/README.md`).

use nalgebra::Vector3;
use serde_json::Value;
use std::path::Path;
use trimwright::boat::{Boat, Part, Piston, Tank, TankEnd, TankKind};
use trimwright::frame::{Body, Position};
use trimwright::geometry::{Axis, Mesh, Solid};

pub fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} is not a number in {value}"))
}

pub fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} is not a text in {value}"))
}

pub fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().unwrap_or_else(|| panic!("{key} is not a list in {value}"))
}

pub fn triple(value: &Value) -> [f64; 3] {
    let numbers: Vec<f64> =
        value.as_array().into_iter().flatten().filter_map(Value::as_f64).collect();
    numbers.try_into().unwrap_or_else(|_| panic!("{value} is not three numbers"))
}

pub fn place(value: &Value) -> Position<Body> {
    let [x, y, z] = triple(value);
    Position::new(x, y, z)
}

pub fn boat(value: &Value, folder: &Path) -> Boat {
    let part = |p: &Value| {
        let (name, mass, com) = (text(p, "name"), number(p, "mass"), place(&p["com"]));
        match &p["solid"] {
            Value::Null => Part::weight(name, mass, com),
            solid => Part::solid(name, mass, com, read_solid(solid, folder)),
        }
    };
    let tank = |t: &Value| Tank {
        kind: read_kind(t),
        fill: number(t, "fill"),
        liquid_density: number(t, "liquid_density"),
        mass: t["mass"].as_f64().unwrap_or(0.0),
        centre: if t["com"].is_array() { place(&t["com"]) } else { Position::ORIGIN },
        ..Tank::new(text(t, "name"), read_solid(&t["solid"], folder))
    };
    Boat {
        name: text(value, "name").to_owned(),
        parts: list(value, "parts").iter().map(part).collect(),
        tanks: list(value, "tanks").iter().map(tank).collect(),
        ..Boat::default()
    }
}

fn read_kind(tank: &Value) -> TankKind {
    match &tank["kind"] {
        Value::Null => TankKind::Open,
        kind if kind == "bag" => TankKind::Bag,
        kind if kind == "piston" => TankKind::Piston(Piston {
            inlet: match text(tank, "inlet") {
                "aft" => TankEnd::Aft,
                "fore" => TankEnd::Fore,
                other => panic!("no end {other}"),
            },
            mass: tank["piston_mass"].as_f64().unwrap_or(0.0),
        }),
        other => panic!("no kind of tank {other}"),
    }
}

pub fn read_solid(s: &Value, folder: &Path) -> Solid {
    let centre = || place(&s["centre"]);
    match text(s, "type") {
        "box" => Solid::Box { size: triple(&s["size"]), centre: centre() },
        "sphere" => Solid::Sphere { diameter: number(s, "diameter"), centre: centre() },
        "ellipsoid" => Solid::Ellipsoid { size: triple(&s["size"]), centre: centre() },
        "cylinder" => Solid::Cylinder {
            axis: match text(s, "axis") {
                "x" => Axis::X,
                "y" => Axis::Y,
                "z" => Axis::Z,
                other => panic!("no axis {other}"),
            },
            length: number(s, "length"),
            diameter: number(s, "diameter"),
            centre: centre(),
        },
        "cone" => Solid::Frustum {
            length: number(s, "length"),
            diameter_aft: number(s, "diameter_aft"),
            diameter_fore: number(s, "diameter_fore"),
            centre: centre(),
        },
        "mesh" => Solid::Mesh(read_mesh(s, folder).into()),
        other => panic!("no solid of type {other}"),
    }
}

fn read_mesh(s: &Value, folder: &Path) -> Mesh {
    let scale = s["scale"].as_f64().unwrap_or(1.0);
    let offset = if s["offset"].is_array() { triple(&s["offset"]) } else { [0.0; 3] };
    let placed = |v: [f64; 3]| Vector3::from(v) * scale + Vector3::from(offset);
    let (vertices, faces) = if let Some(file) = s["file"].as_str() {
        read_stl(&folder.join(file))
    } else {
        let index = |i: f64| format!("{i}").parse().expect("an index");
        let vertices: Vec<[f64; 3]> = list(s, "vertices").iter().map(triple).collect();
        let faces = list(s, "faces").iter().map(|f| triple(f).map(index)).collect();
        (vertices, faces)
    };
    Mesh::closed(vertices.into_iter().map(placed).collect(), faces).expect("a closed mesh")
}

type Triangles = (Vec<[f64; 3]>, Vec<[u32; 3]>);

/// Reads a binary or ASCII STL with a general-purpose library; it joins equal corners.
fn read_stl(path: &Path) -> Triangles {
    let mut file = std::fs::File::open(path).expect("the STL file of a case");
    let stl = stl_io::read_stl(&mut file).expect("a readable STL file");
    let vertices = stl.vertices.iter().map(|v| v.0.map(f64::from)).collect();
    let faces = stl
        .faces
        .iter()
        .map(|f| f.vertices.map(|i| u32::try_from(i).expect("fewer than 2^32 corners")))
        .collect();
    (vertices, faces)
}
