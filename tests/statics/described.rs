//! What makes a boat right before it is ever wet, against closed forms for a box, and for the boats that come with
//! the app without their ballast.

use crate::support::assert_within;
use crate::support::chance::Noise;
use crate::support::real::POOL;
use nalgebra::Vector3;
use trimwright::answer::ReadyBoat;
use trimwright::ballast::{
    Aim, Ballasting, Demand, Least, MovablePart, Shortfall, Step, Stores, Target, UnderAim,
    ballast_for, outlook,
};
use trimwright::boat::{Boat, Housing, Mark, Medium, Part, Place, Tank, TankKind};
use trimwright::diary::{BoatRecord, Doing, MaterialRecord, PartRecord, TEMPLATES};
use trimwright::fit::{Fit, KnownErrors};
use trimwright::float::{Basin, FloatModel, Tolerance, hang};
use trimwright::frame::Position;
use trimwright::geometry::{Bounds, Fineness, Solid};
use trimwright::material::{FOAM_BOARD, LEAD};
use trimwright::unit::{DEGREE, GRAM, MILLIMETRE};

/// A box of 1 m by 0.2 m by 0.1 m; its waterline is so high.
const SIZE: [f64; 3] = [1.0, 0.2, 0.1];
const WATERLINE: f64 = 0.08;
/// What water of 1000 kg/m³ carries of it, kg: up to its waterline, and above it.
const UP_TO: f64 = 16.0;
const ABOVE: f64 = 4.0;
const WATER: f64 = 1000.0;
/// What its tank takes, kg: a bag, whose water stays at its middle.
const TAKES: f64 = 5.0;

/// A box that weighs so much with its weight at `at`, and a bag inside it that takes so much (kg), so far forward.
fn boat(mass: f64, at: [f64; 3], takes: f64, tank: f64) -> Boat {
    let box_of = |size: [f64; 3], centre| Solid::Box { size, centre };
    let hull = box_of(SIZE, Position::new(0.0, 0.0, 0.05));
    let hull = Part::solid("hull", mass, Position::new(at[0], at[1], at[2]), hull);
    let bag = box_of([takes / WATER / 0.01, 0.2, 0.05], Position::new(tank, 0.0, 0.045));
    let tank = Tank {
        housing: Housing::InsideAPart,
        kind: TankKind::Bag,
        liquid_density: WATER,
        ..Tank::new("bag", bag)
    };
    let mark = |name: &str, x| Mark { name: name.to_owned(), at: Position::new(x, 0.0, WATERLINE) };
    let place = |name: &str, z| Place { name: name.to_owned(), z, medium: Medium::Dry };
    Boat {
        name: "box".to_owned(),
        parts: vec![hull],
        tanks: vec![tank],
        marks: vec![mark("stern", -0.4), mark("bow", 0.4)],
        places: vec![place("in the bilge", 0.01), place("on deck", 0.11)],
    }
}

/// What makes it right, with parts to be moved that weigh so much, and so much BG asked of it (metres).
fn found(boat: &Boat, movable: &[f64], bg: f64) -> Ballasting {
    let point = Bounds { low: Vector3::zeros(), high: Vector3::zeros() };
    let loose = |counts: &f64| MovablePart { counts: *counts, bounds: point };
    let movable: Vec<MovablePart> = movable.iter().map(loose).collect();
    with_stores(boat, &movable, &[], bg)
}

/// The same with these parts to be moved, not into those boxes.
fn with_stores(boat: &Boat, movable: &[MovablePart], filled: &[Bounds], bg: f64) -> Ballasting {
    let model = FloatModel::new(boat, Fineness::WORK).expect("a good boat");
    let pose = Target::at_the_marks(&boat.marks).and_then(|t| t.pose()).expect("it has marks");
    let known = KnownErrors::of_masses(model.bare(), []);
    let fit = Fit::as_described(&model, pose, &known);
    let demand = Demand {
        basin: Basin::deep(WATER),
        aim: Aim { under: UnderAim::USUAL_FILL, least: Least { bg, gm: 0.0 } },
        marks: &boat.marks,
        places: &boat.places,
        foam: FOAM_BOARD.density,
    };
    let stores = Stores { weight: LEAD.density, movable, filled };
    ballast_for(&fit, &demand, &stores).expect("water").expect("it has marks")
}

#[test]
fn one_weight_in_the_bilge_brings_a_box_to_its_marks() {
    // Closed form: what the water carries up to the marks, less what the box weighs; its moment is that of the box
    // turned round.
    let done = found(&boat(10.0, [-0.03, 0.002, 0.04], TAKES, 0.0), &[], 0.0);
    let [Step::Add(lead)] = done.steps.as_slice() else { panic!("one weight: {:?}", done.steps) };
    let mass = UP_TO - 10.0;
    assert_within(lead.mass.value, mass, GRAM, "mass");
    assert_within(lead.x.value, 0.03 * 10.0 / mass, MILLIMETRE, "forward");
    assert_within(lead.y.value, -0.002 * 10.0 / mass, MILLIMETRE, "to starboard");
    assert_eq!(lead.place.name, "in the bilge", "the lowest of its places");
    assert_eq!(done.short, None, "it is right then");
    assert_within(done.after.fill.share.value, ABOVE / TAKES, 1e-3, "fill when neutral");
}

#[test]
fn a_box_that_is_too_heavy_is_lifted_by_foam_under_the_water() {
    // Closed form: foam of a volume V under water lifts V (ρ_water - ρ_foam). In the bilge it would stay dry.
    let mut boat = boat(17.0, [0.0, 0.0, 0.03], TAKES, 0.0);
    boat.places.push(Place { name: "under the keel".to_owned(), z: -0.06, medium: Medium::Wet });
    let done = found(&boat, &[], 0.0);
    let [Step::Add(foam)] = done.steps.as_slice() else { panic!("foam: {:?}", done.steps) };
    let volume = (17.0 - UP_TO) / (WATER - FOAM_BOARD.density);
    assert_within(foam.volume(), volume, 2e-6, "volume");
    assert_within(foam.x.value, 0.0, MILLIMETRE, "amidships");
    assert_eq!(foam.place.name, "under the keel", "where it is wet");
    assert_eq!(done.short, None, "it is right then");
}

#[test]
fn nothing_dry_is_filled_with_foam() {
    // The box is 1 kg too heavy for its marks, and all its places under the water lie inside it.
    let done = found(&boat(17.0, [0.0, 0.0, 0.03], TAKES, 0.0), &[], 0.0);
    let Some(Shortfall::TooHeavy { mass }) = done.short else { panic!("{:?}", done.short) };
    assert_within(mass, 17.0 - UP_TO, 1e-9, "what must go");
    assert_eq!(done.steps, Vec::new(), "and nothing to put on");
}

#[test]
fn a_part_is_not_moved_into_another() {
    // As below, but 160 mm forward of the heaviest there is something.
    let boat = boat(UP_TO, [-0.02, 0.0, 0.03], TAKES, 0.0);
    let beside = |x: f64, half: f64| Bounds {
        low: Vector3::new(x - half, -0.02, 0.02),
        high: Vector3::new(x + half, 0.02, 0.06),
    };
    let heavy = MovablePart { counts: 2.0, bounds: beside(-0.1, 0.03) };
    let light = MovablePart { counts: 1.5, bounds: beside(0.3, 0.03) };
    let clear = with_stores(&boat, &[heavy, light], &[], 0.0);
    assert_eq!(clear.shifted, Some(0), "the heaviest");
    let barred = with_stores(&boat, &[heavy, light], &[beside(0.06, 0.04)], 0.0);
    assert_eq!(barred.shifted, Some(1), "the heaviest would lie in what is there");
}

#[test]
fn a_tank_off_the_middle_is_balanced_by_foam_above_the_water() {
    // Closed form. At the marks all but the bag's water weighs UP_TO with its centre amidships. Under water the bag
    // holds m = ABOVE + ρ V, for the foam's V displaces there, and m x_bag = ρ V x_foam. The least foam is at the
    // end of the box.
    let bag = 0.05;
    let done = found(&boat(10.0, [0.0, 0.0, 0.03], TAKES, bag), &[], 0.0);
    let [Step::Add(lead), Step::Add(foam)] = done.steps.as_slice() else {
        panic!("a weight and foam: {:?}", done.steps)
    };
    assert_within(lead.mass.value + foam.mass.value, UP_TO - 10.0, GRAM, "both at the marks");
    let moment = lead.mass.value * lead.x.value + foam.mass.value * foam.x.value;
    // A millimetre in the place of the lead.
    assert_within(moment, 0.0, 6.0 * MILLIMETRE, "their moment at the marks");
    let displaced = WATER * foam.volume();
    let held = ABOVE + displaced;
    let off = WATER * foam.volume() * foam.x.value - held * bag;
    assert_within(off, 0.0, 6.0 * MILLIMETRE, "moments under water");
    assert_within(done.after.fill.share.value, held / TAKES, 1e-3, "fill when neutral");
    let least = ABOVE * bag / (0.5 - bag);
    // The fills that are tried lie 44 g apart.
    assert!((least..least + 0.05).contains(&displaced), "{displaced} kg, {least} is the least");
    let half = foam.volume().cbrt() / 2.0;
    assert!(foam.place.z - half >= WATERLINE, "it is above the water at the marks");
    assert_eq!(done.short, None, "it is right then");
    assert!(done.after.is_right_both(), "afloat and under: {:?}", done.after);
}

#[test]
fn a_tank_that_is_too_small_lacks_what_lies_above_the_waterline() {
    // Closed form: ABOVE must go into nineteen twentieths of it.
    let done = found(&boat(10.0, [0.0, 0.0, 0.03], 3.5, 0.0), &[], 0.0);
    let Some(Shortfall::Tank { lacking }) = done.short else { panic!("{:?}", done.short) };
    assert_within(lacking, (ABOVE - 0.95 * 3.5) / WATER, 2e-6, "volume");
    assert!(done.after.is_right_afloat(), "the weight is told all the same");
    assert_eq!(done.steps.len(), 1, "and no foam: {:?}", done.steps);
}

#[test]
fn weight_must_come_lower_by_what_bg_lacks() {
    // Closed form: G under water is (10 z + 6·0.01 + 4·0.045) / 20, B is at 0.05.
    let (height, least) = (0.07, 0.01);
    let done = found(&boat(10.0, [0.0, 0.0, height], TAKES, 0.0), &[], least);
    let bg = 0.05 - (10.0 * height + 6.0 * 0.01 + ABOVE * 0.045) / 20.0;
    assert_within(done.after.bg, bg, 0.02 * MILLIMETRE, "BG");
    let Some(Shortfall::Lower { moment }) = done.short else { panic!("{:?}", done.short) };
    assert_within(moment, (least - bg) * 20.0, 1e-3, "mass times height");
}

#[test]
fn a_box_of_the_right_weight_has_a_part_moved_and_the_heaviest_moves_least() {
    // Closed form: 16 kg, 20 mm aft, are brought amidships by 2 kg that move 160 mm.
    let done = found(&boat(UP_TO, [-0.02, 0.0, 0.03], TAKES, 0.0), &[0.5, 2.0, 1.0], 0.0);
    assert_eq!(done.shifted, Some(1), "the heaviest");
    let [Step::Shift { mass, forward, to_port }] = done.steps.as_slice() else {
        panic!("one shift: {:?}", done.steps)
    };
    assert_within(*mass, 2.0, 1e-12, "what is moved");
    assert_within(forward.value, 0.16, MILLIMETRE / 2.0, "forward");
    assert_within(to_port.value, 0.0, 1e-9, "across");
    assert_eq!(done.short, None, "it is right then");
}

#[test]
fn a_box_that_is_right_needs_nothing() {
    let done = found(&boat(UP_TO, [0.0, 0.0, 0.03], TAKES, 0.0), &[], 0.0);
    assert_eq!((done.steps.len(), done.short), (0, None), "{:?}", done.steps);
}

/// Lead of a boat that comes with the app, taken out.
fn without_lead(record: &BoatRecord) -> BoatRecord {
    let is_lead = |name: &str| name.contains("lead");
    let mut bare = record.clone();
    bare.parts.retain(|part| !is_lead(&part.name));
    assert!(bare.parts.len() < record.parts.len(), "{} has lead", record.name);
    bare
}

/// Puts into the list what makes the boat right as described, by which it comes to lie as the list says.
fn ballasted(record: &mut BoatRecord) -> Ballasting {
    let hand = ReadyBoat::of(record).expect("a boat");
    let found = hand.ballast(Basin::deep(POOL), []);
    let done = found.unwrap_or_else(|e| panic!("{}: {e}", record.name)).expect("it has marks");
    for step in &done.steps {
        let material = match step {
            Step::Add(w) if w.material < POOL => &FOAM_BOARD,
            _ => &LEAD,
        };
        let material = MaterialRecord::from(material);
        let shifted = done.shifted.and_then(|k| hand.movable.get(k));
        let shifted = shifted.map(|part| part.name.as_str());
        record.do_step(step, &Doing { name: "weight", material: &material, shifted });
    }
    done
}

/// Whether a boat, as its list says, is right afloat and under: at its marks, level, neutral within its aim.
fn is_right(record: &BoatRecord) -> Result<(), String> {
    let hand = ReadyBoat::of(record).expect("still a boat");
    let lies = outlook(&hand.model, Basin::deep(POOL), None, &hand.boat.marks).expect("water");
    let worst = lies.afloat.worst_mark().map_or(f64::INFINITY, |mark| mark.above);
    let UnderAim::AnyAmount { least, most } = hand.aim.under else { panic!("a share") };
    let fill = lies.tank.neutral_share().unwrap_or(f64::NAN);
    let hangs = lies.under.hangs.pose;
    let lean = hangs.heel().abs().max(hangs.trim().abs());
    let is_right = worst.abs() <= 2.0 * MILLIMETRE
        && lies.afloat.pose.heel().abs() <= DEGREE
        && (least..=most).contains(&fill)
        && lean <= DEGREE;
    let why = || format!("{}: {worst} m off a mark, neutral at {fill}, {lean} rad", record.name);
    if is_right { Ok(()) } else { Err(why()) }
}

#[test]
fn the_boats_without_their_lead_are_right_again_with_what_goes_into_their_list() {
    for template in TEMPLATES {
        let mut record = without_lead(&template.boat_record().expect("a boat of ours"));
        assert!(is_right(&record).is_err(), "{} needs its lead", record.name);
        let done = ballasted(&mut record);
        assert!(done.steps.len() <= 2, "{}: {:?}", record.name, done.steps);
        assert_eq!(done.short, None, "{}: {:?}", record.name, done.steps);
        is_right(&record).expect("right both ways");
    }
}

#[test]
fn what_is_said_to_be_right_is_and_what_is_not_says_why() {
    let mut chance = Noise(29);
    let mut right = 0;
    for k in 0..80 {
        let template = TEMPLATES[k % TEMPLATES.len()];
        let mut record = without_lead(&template.boat_record().expect("a boat of ours"));
        let size = ReadyBoat::of(&record).expect("a boat").model.bounds().size();
        let at = [0.3 * size.x * chance.normal(), 0.1 * size.y * chance.normal(), 0.3 * size.z];
        let camera = PartRecord {
            name: "camera".to_owned(),
            mass_kg: Some(0.05 + 0.1 * chance.normal().abs()),
            centre_m: Some(at),
            ..PartRecord::default()
        };
        record.parts.push(camera);
        let done = ballasted(&mut record);
        if done.short.is_none() && done.is_of_the_list() {
            is_right(&record).unwrap_or_else(|why| panic!("{k}: {why}: {:?}", done.steps));
            right += 1;
        } else {
            println!("{k} {} {at:?} {:?} {:?}", record.name, done.short, done.steps.len());
        }
    }
    println!("right {right}");
    assert!(right >= 40, "right: {right} of 80");
}

#[test]
fn a_boat_that_is_too_high_in_weight_to_hang_upright_hangs_somewhere_at_every_fill() {
    // Nothing pulls it to one side but rounding; the search once lost its way by that.
    let coot = TEMPLATES.iter().find(|t| t.name == "Coot").expect("it is there");
    let bare = without_lead(&coot.boat_record().expect("a boat of ours"));
    let hand = ReadyBoat::of(&bare).expect("a boat");
    for percent in 0..=100 {
        let share = f64::from(percent) / 100.0;
        let filled = hand.model.flooded(share, POOL).expect("a share");
        let hangs = hang(&filled, Basin::deep(POOL), &Tolerance::FINE);
        let hangs = hangs.unwrap_or_else(|e| panic!("{percent} % full: {e}"));
        assert!(hangs.bg > 0.0, "{percent} % full: BG {}", hangs.bg);
    }
}
