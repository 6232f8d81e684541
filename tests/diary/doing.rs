//! What is done goes into the boat's list: the boat that is calculated anew from it is the one that was
//! foretold.

use litemap::LiteMap;
use trimwright::ballast::{Step, Weight};
use trimwright::boat::{Medium, Part, Place, demo_boat};
use trimwright::diary::{
    BoatRecord, DeedKind, DeedRecord, Doing, MaterialRecord, PartRecord, QuickRecord, StatusRecord,
};
use trimwright::fit::Estimate;
use trimwright::float::FloatModel;
use trimwright::frame::Position;
use trimwright::geometry::Fineness;
use trimwright::material::{FOAM_BOARD, LEAD};
use trimwright::unit::{GRAM, MILLIMETRE};

/// Fresh water of 20 °C, kg/m³. Source: Tanaka et al. 2001, Metrologia 38:301.
const POOL: f64 = 998.2067;

fn exactly(value: f64) -> Estimate {
    Estimate::new(value, 0.0)
}

fn weight(mass: f64, [x, y, z]: [f64; 3], medium: Medium) -> Weight {
    let counts = if medium == Medium::Wet { 1.0 - POOL / LEAD.density } else { 1.0 };
    let place = Place { name: "keel".to_owned(), z, medium };
    let displaces = (medium == Medium::Wet).then_some(LEAD.density);
    Weight {
        mass: exactly(mass),
        x: exactly(x),
        y: exactly(y),
        counts,
        displaces,
        place,
        material: LEAD.density,
    }
}

fn shift(mass: f64, forward: f64, to_port: f64) -> Step {
    Step::Shift { mass, forward: exactly(forward), to_port: exactly(to_port) }
}

fn model(boat: &BoatRecord) -> FloatModel {
    FloatModel::new(&boat.boat().expect("parts"), Fineness::WORK).expect("a boat")
}

fn demo() -> BoatRecord {
    BoatRecord::ledger("dipper", &demo_boat().expect("fixed sizes"))
}

fn ingot(name: &str, mass: f64, at_m: [f64; 3]) -> PartRecord {
    PartRecord {
        name: name.to_owned(),
        mass_kg: Some(mass),
        centre_m: Some(at_m),
        material: Some(MaterialRecord::from(&LEAD)),
        ..PartRecord::default()
    }
}

fn done(boat: &mut BoatRecord, step: &Step, shifted: Option<&str>) -> DeedRecord {
    let material = MaterialRecord::from(&LEAD);
    boat.do_step(step, &Doing { name: "lead", material: &material, shifted })
}

/// The boat of the list is the one that the step makes of the boat as it was: under water it weighs the
/// same, and hangs from the same moments. Both in kg and kg·m, less what is displaced.
#[track_caller]
fn is_as_foretold(before: &BoatRecord, step: &Step, after: &BoatRecord, what: &str) {
    let told = step.done_to(&model(before)).expect("a boat");
    let got = model(after);
    let figures = |m: &FloatModel| {
        let up = nalgebra::Vector3::z_axis();
        let weight = m.centre_of_gravity(up).vector() * m.mass();
        let carried = m.total_centre().vector() * (m.total_volume() * POOL);
        (m.residual_mass(POOL), weight - carried)
    };
    let ((mass, moment), (told_mass, told_moment)) = (figures(&got), figures(&told));
    assert!((mass - told_mass).abs() < 1e-9, "{what}: {mass} kg for {told_mass}");
    let off = (moment - told_moment).norm();
    assert!(off < 1e-9, "{what}: moments off by {off} kg·m");
}

#[test]
fn a_weight_that_is_put_on_is_a_temporary_part_dry_or_wet() {
    for medium in [Medium::Dry, Medium::Wet] {
        let (before, mut boat) = (demo(), demo());
        let step = Step::Add(weight(71.0 * GRAM, [0.12, -0.004, -0.05], medium));
        let deed = done(&mut boat, &step, None);
        is_as_foretold(&before, &step, &boat, "put on");
        let part = boat.parts.last().expect("it came last");
        assert_eq!((part.name.as_str(), part.status), ("lead", StatusRecord::Temporary));
        assert_eq!(part.solid.is_some(), medium == Medium::Wet, "in the wet it displaces");
        assert_eq!((deed.kind, deed.part.as_str()), (DeedKind::Add, "lead"), "{deed:?}");
        let again = done(&mut boat, &step, None);
        assert_eq!(again.part, "lead 2", "a name of its own");
    }
}

#[test]
fn what_is_taken_off_is_taken_from_what_was_put_there() {
    for medium in [Medium::Dry, Medium::Wet] {
        let mut boat = demo();
        let at = [0.12, -0.004, -0.05];
        boat.parts.push(ingot("ingot", 0.4, [0.12, 0.0, -0.06]));
        done(&mut boat, &Step::Add(weight(71.0 * GRAM, at, medium)), None);
        let before = boat.clone();
        let step = Step::TakeOff(weight(20.0 * GRAM, at, medium));
        let deed = done(&mut boat, &step, None);
        is_as_foretold(&before, &step, &boat, "taken off");
        assert_eq!(deed.part, "lead", "what is temporary goes first");
        let all = Step::TakeOff(weight(51.0 * GRAM, at, medium));
        done(&mut boat, &all, None);
        assert!(boat.parts.iter().all(|part| part.name != "lead"), "none of it is left");
        let more = done(&mut boat, &Step::TakeOff(weight(0.1, at, Medium::Dry)), None);
        assert_eq!(more.part, "ingot", "then the ballast beside it");
        let left = boat.parts.iter().find(|part| part.name == "ingot").expect("some is left");
        assert!(left.mass_kg.is_some_and(|mass| (mass - 0.3).abs() < 1e-12), "{left:?}");
    }
}

#[test]
fn ballast_that_the_list_does_not_have_changes_nothing_in_it() {
    let (before, mut boat) = (demo(), demo());
    let deed = done(&mut boat, &Step::TakeOff(weight(0.05, [0.1, 0.0, 0.0], Medium::Dry)), None);
    assert_eq!((boat.clone(), deed.part.as_str()), (before.clone(), ""), "no part is cut");
    let deed = done(&mut boat, &shift(0.05, -0.04, 0.0), None);
    assert_eq!((boat, deed.part.as_str()), (before, ""), "nor moved");
    assert_eq!(deed.by_m, Some([-0.04, 0.0, 0.0]), "but it is noted");
}

#[test]
fn what_is_shifted_moves_in_the_list() {
    let mut boat = demo();
    boat.parts.push(ingot("ingot", 0.4, [0.12, 0.0, -0.06]));
    let before = boat.clone();
    // A part of it: it stays, less that, and the piece is a part of its own.
    let step = shift(0.05, -39.0 * MILLIMETRE, 3.0 * MILLIMETRE);
    let deed = done(&mut boat, &step, None);
    is_as_foretold(&before, &step, &boat, "part of an ingot");
    assert_eq!(boat.parts.len(), before.parts.len() + 1, "a piece more");
    assert_eq!(deed.part, "ingot 2");
    // All of it.
    let before = boat.clone();
    let step = shift(0.05, 10.0 * MILLIMETRE, 0.0);
    let deed = done(&mut boat, &step, None);
    is_as_foretold(&before, &step, &boat, "all of the piece");
    assert_eq!((boat.parts.len(), deed.part.as_str()), (before.parts.len(), "ingot 2"));
    // A part that was chosen, whatever it is; it counts less than it weighs.
    let chosen = "ingot";
    let before = boat.clone();
    let step = shift(0.35, 0.0, -5.0 * MILLIMETRE);
    done(&mut boat, &step, Some(chosen));
    is_as_foretold(&before, &step, &boat, "a chosen part");
}

#[test]
fn half_of_a_step_is_half_of_its_weight_or_of_its_way() {
    let (before, mut boat) = (demo(), demo());
    let half = Step::Add(weight(71.0 * GRAM, [0.12, 0.0, -0.05], Medium::Dry)).part(0.5);
    let deed = done(&mut boat, &half, None);
    is_as_foretold(&before, &half, &boat, "half of it");
    assert!((deed.mass_kg - 36.0 * GRAM).abs() < 1e-12, "to a whole gram: {}", deed.mass_kg);
    let Step::Shift { mass, forward, .. } = shift(0.2, 0.041, 0.0).part(0.5) else {
        panic!("a shift stays one")
    };
    assert!((mass - 0.2).abs() < 1e-12 && (forward.value - 0.021).abs() < 1e-12, "{forward:?}");
}

#[test]
fn a_boat_of_six_numbers_has_what_was_put_on() {
    let quick = QuickRecord {
        length_m: 0.9,
        beam_m: 0.1,
        depth_m: 0.12,
        mass_kg: 5.0,
        waterline_m: 0.08,
        fullness: 0.75,
        water_density_kg_m3: POOL,
        tank_m3: None,
        bow_mark_m: None,
        stern_mark_m: None,
        names: LiteMap::new(),
        extra: serde_json::Map::new(),
    };
    let mut boat = BoatRecord::quick("quick", "Teal", quick);
    let before = boat.clone();
    let step = Step::Add(weight(0.1, [0.2, 0.01, 0.0], Medium::Dry));
    done(&mut boat, &step, None);
    is_as_foretold(&before, &step, &boat, "on six numbers");
    let added = Part::weight("lead", 0.1, Position::new(0.2, 0.01, 0.0));
    let made = boat.boat().expect("a boat");
    let last = made.parts.last().map(|part| (part.mass, part.centre));
    assert_eq!(last, Some((added.mass, added.centre)), "it is in the boat");
}

/// Foam of 30 kg/m³ on the keel.
fn foam(cubic_centimetres: f64, [x, y, z]: [f64; 3]) -> Weight {
    let material = FOAM_BOARD.density;
    let place = Place { name: "keel".to_owned(), z, medium: Medium::Wet };
    Weight {
        mass: exactly(cubic_centimetres * 1e-6 * material),
        x: exactly(x),
        y: exactly(y),
        counts: 1.0 - POOL / material,
        material,
        displaces: Some(material),
        place,
    }
}

#[test]
fn foam_is_put_on_as_foam_and_not_taken_from_lead() {
    let (before, mut boat) = (demo(), demo());
    let at = [0.12, 0.0, -0.05];
    let step = Step::Add(foam(55.0, at));
    let material = MaterialRecord::from(&FOAM_BOARD);
    boat.do_step(&step, &Doing { name: "foam", material: &material, shifted: None });
    is_as_foretold(&before, &step, &boat, "foam");
    let part = boat.parts.last().expect("the foam");
    assert_eq!(part.material.as_ref(), Some(&material));
    // A cube of 55 cm³. Source: closed form.
    let solid = part.solid.as_ref().expect("it displaces").solid().expect("a box");
    let volume = solid.mesh(Fineness::WORK).expect("a box").volume();
    assert!((volume - 55e-6).abs() < 1e-12, "{volume} m³");

    let with_foam = boat.clone();
    boat.parts.push(ingot("shot", 0.2, at));
    let with_both = boat.clone();
    done(&mut boat, &Step::TakeOff(foam(20.0, at)), None);
    assert_eq!(boat.parts.last(), with_both.parts.last(), "the lead stays as it is");
    let left = boat.parts[boat.parts.len() - 2].mass_kg.expect("a mass");
    assert!((left - 35e-6 * FOAM_BOARD.density).abs() < 1e-12, "{left} kg of foam are left");
    done(&mut boat, &Step::TakeOff(foam(35.0, at)), None);
    assert!(!boat.parts.iter().any(|p| p.name == "foam"), "and all of it can be taken off");
    let mut boat = with_foam;
    done(&mut boat, &Step::TakeOff(weight(1.6 * GRAM, at, Medium::Wet)), None);
    assert!(boat.parts.iter().any(|p| p.name == "foam"), "lead is not taken from foam");
}
