//! What lies inside another part weighs and does not displace.
//!
//! Source: closed forms by hand; for 300 boats drawn by chance the unions of their solids by trimesh
//! and manifold3d in `tests/data/nested`, whose README says how.

use crate::support::assert_within;
use serde_json::Value;
use trimwright::boat::{
    Boat, Density, Displacer, Housing, Inside, Nesting, Part, PartEntry, Status, Tank, Wall,
};
use trimwright::float::FloatModel;
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Solid};

/// Boxes are exact but for rounding.
const EXACT: f64 = 1e-9;

fn entry(name: &str, solid: Solid, wall: Option<Wall>) -> PartEntry {
    PartEntry {
        name: name.to_owned(),
        status: Status::Fixed,
        solid: Some(solid),
        weighed: Some(0.2),
        centre: None,
        material: Some(Density::exact(1000.0)),
        wall,
        coat: None,
        displaces: None,
    }
}

fn made(entry: &PartEntry) -> Part {
    entry.made(Fineness::WORK).expect("a good part").part
}

fn block(name: &str, size: [f64; 3], [x, y, z]: [f64; 3]) -> Part {
    made(&entry(name, Solid::Box { size, centre: Position::new(x, y, z) }, None))
}

fn hollow(name: &str, size: [f64; 3], inside: Inside) -> Part {
    let solid = Solid::Box { size, centre: Position::ORIGIN };
    made(&entry(name, solid, Some(Wall { thickness: 0.002, inside })))
}

fn boat(parts: Vec<Part>) -> Boat {
    Boat { parts, ..Boat::default() }
}

fn model(boat: &Boat) -> FloatModel {
    FloatModel::new(boat, Fineness::WORK).expect("a good boat")
}

#[track_caller]
fn displaces(boat: &Boat, expected: f64, what: &str) {
    let got = model(boat).total_volume();
    assert!((got / expected - 1.0).abs() < EXACT, "{what}: {got} m3 instead of {expected}");
}

/// A dry box of 400 x 100 x 100 mm with a battery of 100 x 40 x 30 mm in it, in metres.
fn tube() -> Part {
    hollow("tube", [0.4, 0.1, 0.1], Inside::Dry)
}

const TUBE: f64 = 0.4 * 0.1 * 0.1;
const BATTERY: f64 = 0.1 * 0.04 * 0.03;

fn battery(x: f64) -> Part {
    block("battery", [0.1, 0.04, 0.03], [x, 0.0, 0.0])
}

#[test]
fn what_is_in_a_dry_part_weighs_and_does_not_displace() {
    for parts in [vec![tube(), battery(0.1)], vec![battery(0.1), tube()]] {
        let boat = boat(parts);
        displaces(&boat, TUBE, "the tube alone");
        let model = model(&boat);
        assert_within(model.mass(), 0.4, EXACT, "both weigh");
        let inside = boat.parts.iter().position(|p| p.name == "battery").expect("it is there");
        let nesting = model.nesting();
        assert_eq!(nesting.within(inside), Some(Displacer::Part(1 - inside)), "in the tube");
        assert_eq!(nesting.within(1 - inside), None, "the tube is in nothing");
        assert!(nesting.displaced_by_part(inside).is_none(), "it displaces nothing");
        assert!(nesting.shape(inside).is_some(), "and has its shape");
        assert_eq!(nesting.twice(), [], "nothing counts twice");
    }
}

#[test]
fn what_touches_the_end_from_inside_is_inside() {
    // The battery's end stands at the tube's, a little before it, and 0.9 mm beyond it.
    for x in [0.15, 0.149, 0.1509] {
        displaces(&boat(vec![tube(), battery(x)]), TUBE, &format!("at {x}"));
    }
}

#[test]
fn what_sticks_out_counts_as_entered_and_is_named_with_what_counts_twice() {
    let boat = boat(vec![battery(0.2), tube()]);
    displaces(&boat, TUBE + BATTERY, "as entered");
    let model = model(&boat);
    let [twice] = model.nesting().twice() else { panic!("{:?}", model.nesting().twice()) };
    assert_eq!(twice.of, [Displacer::Part(1), Displacer::Part(0)], "the larger one first");
    assert_within(twice.volume, BATTERY / 2.0, EXACT * BATTERY, "half of the battery");
    assert_eq!(model.nesting().within(0), None, "it is in nothing");
}

#[test]
fn a_hair_in_one_place_is_not_named() {
    // 1 x 40 x 30 mm is 1.2 ml and named; half a millimetre is not.
    for (x, named) in [(0.249, 1), (0.2495, 0)] {
        let model = model(&boat(vec![battery(x), tube()]));
        assert_eq!(model.nesting().twice().len(), named, "at {x}");
    }
}

#[test]
fn a_battery_in_a_box_in_a_tube_does_not_displace_and_is_said_to_be_in_the_box() {
    let case = block("box", [0.15, 0.06, 0.06], [0.1, 0.0, 0.0]);
    let deep = boat(vec![battery(0.1), case.clone(), tube()]);
    displaces(&deep, TUBE, "three deep");
    let within = |model: &FloatModel| [0, 1, 2].map(|k| model.nesting().within(k));
    let expected = [Some(Displacer::Part(1)), Some(Displacer::Part(2)), None];
    assert_eq!(within(&model(&deep)), expected, "each in the next");
    let mut open = deep;
    open.parts[2].status = Status::TakenOut;
    displaces(&open, 0.15 * 0.06 * 0.06, "without the tube the box displaces");
}

#[test]
fn of_two_equal_solids_in_one_place_the_first_displaces() {
    let model = model(&boat(vec![tube(), tube(), battery(0.0)]));
    assert_within(model.total_volume(), TUBE, EXACT * TUBE, "once");
    let nesting = model.nesting();
    assert_eq!([nesting.within(0), nesting.within(1)], [None, Some(Displacer::Part(0))], "which");
}

#[test]
fn what_is_told_holds_whatever_the_shapes_say() {
    let told = |displaces, x| {
        let battery = Part { displaces, ..battery(x) };
        boat(vec![tube(), battery])
    };
    displaces(&told(Some(true), 0.1), TUBE + BATTERY, "told to displace, inside");
    displaces(&told(Some(false), 0.2), TUBE, "told not to, partly inside");
    displaces(&told(Some(false), 0.6), TUBE, "told not to, outside");
    displaces(&told(None, 0.1), TUBE, "not told");
    for (displaces, x) in [(Some(true), 0.2), (Some(false), 0.2)] {
        assert_eq!(model(&told(displaces, x)).nesting().twice(), [], "told: not named");
    }
    // What does not displace itself keeps no water away from what lies in it.
    let cage = Part { displaces: Some(false), ..tube() };
    displaces(&boat(vec![cage, battery(0.1)]), BATTERY, "in a cage");
}

#[test]
fn what_is_in_the_water_of_a_flooded_skin_displaces() {
    let skin = hollow("skin", [0.6, 0.15, 0.15], Inside::Flooded);
    let wall = 0.6 * 0.15 * 0.15 - 0.596 * 0.146 * 0.146;
    let hull = boat(vec![skin.clone(), tube(), battery(0.1)]);
    displaces(&hull, wall + TUBE, "the wall and the tube");
    let beside = block("ballast", [0.05, 0.03, 0.01], [0.0, 0.0, -0.065]);
    displaces(&boat(vec![skin, beside]), wall + 0.05 * 0.03 * 0.01, "in the water");
    // A skin in a dry part is dry.
    let small = hollow("liner", [0.3, 0.09, 0.09], Inside::Flooded);
    displaces(&boat(vec![tube(), small]), TUBE, "a skin in the tube");
}

#[test]
fn a_tank_holds_parts_and_one_in_the_wet_that_lies_in_a_dry_part_is_named() {
    let cavity = Solid::Box { size: [0.2, 0.08, 0.08], centre: Position::ORIGIN };
    let volume = 0.2 * 0.08 * 0.08;
    let tank = |housing| Tank { housing, ..Tank::new("tank", cavity.clone()) };
    let with = |parts, housing| Boat { parts, tanks: vec![tank(housing)], ..Boat::default() };
    let sensor = || vec![block("sensor", [0.02, 0.02, 0.02], [0.0; 3])];
    displaces(&with(sensor(), Housing::InTheWet), volume, "a sensor in a tank");
    let within = model(&with(sensor(), Housing::InTheWet)).nesting().within(0);
    assert_eq!(within, Some(Displacer::Tank(0)), "in the tank");
    let wet = with(vec![tube()], Housing::InTheWet);
    displaces(&wet, TUBE + volume, "as entered");
    let wet = model(&wet);
    let [twice] = wet.nesting().twice() else { panic!("{:?}", wet.nesting().twice()) };
    assert_eq!(twice.of, [Displacer::Part(0), Displacer::Tank(0)], "named");
    assert_within(twice.volume, volume, EXACT * volume, "all of the tank");
    let dry = with(vec![tube()], Housing::InsideAPart);
    displaces(&dry, TUBE, "inside a part");
    assert_eq!(model(&dry).nesting().twice(), [], "nothing to name");
}

#[test]
fn a_boat_made_again_decides_as_it_was_decided() {
    let before = boat(vec![tube(), battery(0.1)]);
    let before = model(&before);
    for x in [0.1, 0.2, 0.6, -0.1] {
        let after = boat(vec![tube(), battery(x)]);
        let again = before.renewed(&after, Fineness::WORK).expect("a good boat");
        let anew = model(&after);
        assert_eq!(again.nesting().within(1), anew.nesting().within(1), "at {x}");
        assert_within(again.total_volume(), anew.total_volume(), 0.0, "at {x}");
    }
}

/// A boat drawn by chance: its parts, which of them the other library found inside another, and the
/// volume of the union.
fn drawn(of: &Value) -> (Boat, Vec<bool>, f64) {
    let list = |value: &Value| -> Vec<f64> {
        let all = value.as_array().expect("a list");
        all.iter().map(|x| x.as_f64().expect("a number") * 1e-3).collect()
    };
    let all = of["parts"].as_array().expect("parts");
    let part = |part: &Value| {
        let (size, at) = (list(&part["size"]), list(&part["at"]));
        let centre = Position::new(at[0], at[1], at[2]);
        let cylinder = |axis| Solid::Cylinder { axis, length: size[0], diameter: size[1], centre };
        let solid = match part["kind"].as_str().expect("a kind") {
            "box" => Solid::Box { size: [size[0], size[1], size[2]], centre },
            "ball" => Solid::Sphere { diameter: size[0], centre },
            "along" => cylinder(Axis::X),
            "across" => cylinder(Axis::Y),
            "upright" => cylinder(Axis::Z),
            other => panic!("a {other}"),
        };
        let wall = |key: &str, inside| {
            part[key].as_f64().map(|thickness| Wall { thickness: thickness * 1e-3, inside })
        };
        let wall = wall("skin", Inside::Flooded).or(wall("dry", Inside::Dry));
        made(&entry("part", solid, wall))
    };
    let inside = all.iter().map(|part| part["inside"].as_bool().unwrap_or(false));
    let union = of["union_m3"].as_f64().expect("a volume");
    (boat(all.iter().map(part).collect()), inside.collect(), union)
}

/// The corners of round solids, here and there, where one is cut by another: shares of the radius
/// by angle²/12, with 48 and 96 corners. Where nothing is cut both have the exact volume.
const CORNERS: f64 = 1.8e-3;
/// What the rays may be off in a volume that is in two solids, as a share of the smaller one.
const RAYS: f64 = 0.01;

/// Where nothing is cut: ten digits are written, and what touches its holder from inside stands out of
/// it by the corners of both.
const ROUNDED: f64 = 1e-4;

#[test]
fn boats_of_nested_solids_displace_their_union() {
    let boats: Value =
        serde_json::from_str(include_str!("../data/nested/boats.json")).expect("JSON");
    let boats = boats.as_array().expect("a list");
    assert_eq!(boats.len(), 300, "boats");
    let (mut n_inside, mut n_partly) = (0, 0);
    for (k, of) in boats.iter().enumerate() {
        let (boat, inside, union) = drawn(of);
        let model = model(&boat);
        let nesting: &Nesting = model.nesting();
        for (part, is_in) in inside.iter().enumerate() {
            let found = nesting.within(part).is_some();
            assert_eq!(found, *is_in, "boat {k}, part {part} of {of}");
            n_inside += usize::from(found);
        }
        let smaller = |of: Displacer| match of {
            Displacer::Part(part) => nesting.shape(part).expect("it has one").volume(),
            Displacer::Tank(_) => panic!("no boat has a tank"),
        };
        let cut: f64 = nesting.twice().iter().map(|twice| smaller(twice.of[1])).sum();
        let twice: f64 = nesting.twice().iter().map(|twice| twice.volume).sum();
        n_partly += nesting.twice().len();
        let tolerance = ROUNDED * union + (RAYS + CORNERS) * cut;
        let off = model.total_volume() - twice - union;
        assert!(off.abs() <= tolerance, "boat {k} is off by {off} m3 of {union}: {of}");
    }
    assert!(n_inside > 800 && n_partly > 50, "{n_inside} inside, {n_partly} partly: drawn");
}
