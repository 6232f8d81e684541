//! Advice done with solid pieces: a boat with a weight that its ledger does not have is read, what is advised
//! is done to it with a cube of lead, brass or foam on the keel, inside or on deck, and it lies afloat and
//! under as was foretold, within the ±.

use nalgebra::Vector3;
use trimwright::answer::{Asked, Hand, look_at};
use trimwright::ballast::{Remedy, Step, Verdict};
use trimwright::boat::{Boat, Part, Place, demo_boat};
use trimwright::diary::{BoatRecord, TEMPLATES};
use trimwright::fit::Estimate;
use trimwright::float::{Basin, FloatModel, Tolerance, hang, release};
use trimwright::frame::{Pose, Position};
use trimwright::geometry::{Fineness, Solid};
use trimwright::reading::{
    ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};
use trimwright::unit::GRAM;

/// Fresh water of 20 °C, kg/m³. Source: Tanaka et al. 2001, Metrologia 38:301.
const POOL: f64 = 998.2067;
/// Lead and brass as trade tables have them; closed-cell foam, common practice, no source. kg/m³.
const MATERIALS: [(&str, f64); 3] = [("lead", 11340.0), ("brass", 8500.0), ("foam", 60.0)];

/// The boat itself: that of its ledger with the pieces that were put on, and what the ledger has wrong, as a
/// mass and its moment about the origin.
struct Real {
    boat: Boat,
    mass: f64,
    moment: Vector3<f64>,
}

impl Real {
    fn at(&self, share: f64) -> FloatModel {
        let boat = FloatModel::new(&self.boat, Fineness::WORK).expect("a boat");
        let at = Position::from_vector(self.moment / self.mass);
        let boat = boat.with_weight(self.mass, at).expect("still a boat");
        boat.flooded(share, POOL).expect("a share")
    }
}

/// How a boat lies, its tanks so full.
fn lies(real: &Real, share: f64, condition: Condition) -> Pose {
    let filled = real.at(share);
    match condition {
        Condition::Afloat => {
            release(&filled, Basin::deep(POOL), &Tolerance::FINE).expect("water").pose()
        }
        Condition::Under => hang(&filled, Basin::deep(POOL), &Tolerance::FINE).expect("water").pose,
    }
}

fn read(real: &Real, condition: Condition) -> Reading {
    let share = if condition == Condition::Under { 1.0 } else { 0.0 };
    let pose = lies(real, share, condition);
    let residual = real.at(share).residual_mass(POOL);
    let marks = || {
        let marks = real.boat.marks.iter();
        marks.map(|m| (Seen::WaterAtMark { mark: m.clone(), above: 0.0 }, MARK_SPREAD)).collect()
    };
    let mut seen: Vec<(Seen, f64)> = match condition {
        Condition::Afloat => marks(),
        Condition::Under => {
            vec![(Seen::Residual(0.0), RESIDUAL_SPREAD), (Seen::Trim(0.0), ANGLE_SPREAD)]
        }
    };
    seen.push((Seen::List(0.0), ANGLE_SPREAD));
    let observation = |(seen, spread): (Seen, f64)| {
        let value = seen.in_pose(pose, residual);
        let seen = match seen {
            Seen::WaterAtMark { mark, .. } => Seen::WaterAtMark { mark, above: value },
            Seen::List(_) => Seen::List(value),
            Seen::Trim(_) => Seen::Trim(value),
            Seen::Residual(_) => Seen::Residual(value),
        };
        Observation { seen, spread }
    };
    let observations = seen.into_iter().map(observation).collect();
    Reading { condition, water_density: POOL, aboard: Vec::new(), observations }
}

/// Does a step to the real boat: with a cube where water comes to it, which only "inside" keeps out.
fn execute(real: &mut Real, step: &Step, density: f64) {
    match step {
        Step::Add(w) => {
            let side = (w.mass.value / density).cbrt();
            let cube = Solid::Box { size: [side; 3], centre: w.at() };
            let solid = (w.place.name != "inside").then_some(cube);
            let part = Part::weight("weight", w.mass.value, w.at());
            real.boat.parts.push(Part { solid, ..part });
        }
        // It was aboard: what the ledger has wrong becomes so much less.
        Step::TakeOff(w) => {
            let mass = w.mass.value * w.counts;
            real.mass -= mass;
            real.moment -= w.at().vector() * mass;
        }
        Step::Shift { mass, forward, to_port } => {
            real.moment += Vector3::new(forward.value, to_port.value, 0.0) * *mass;
        }
    }
}

#[track_caller]
fn is_within(got: f64, told: Estimate, what: &str) {
    let off = (got - told.value).abs();
    assert!(off < told.spread, "{what}: {got} and not {} ± {}", told.value, told.spread);
}

/// Reads the boat with `forgotten` (kg) that its ledger has not, does what is advised, and compares; true if
/// something was to be done.
fn play(
    hand: &Hand,
    forgotten: f64,
    condition: Condition,
    place: &Place,
    (material, density): (&str, f64),
) -> bool {
    let z = hand.model.centre_of_gravity(Vector3::z_axis()).z();
    let moment = Vector3::new(-0.12, 0.004, z) * forgotten;
    let mut real = Real { boat: Boat::clone(&hand.boat), mass: forgotten, moment };
    let fill = if condition == Condition::Under { 1.0 } else { 0.0 };
    let remedy = Remedy::Weight { place: place.clone(), density };
    let reading = read(&real, condition);
    let advised =
        look_at(hand, Asked { reading, fill, remedy, part: None }).expect("it can be answered");
    if advised.advice.verdict != Verdict::Do {
        return false;
    }
    for step in &advised.advice.steps {
        execute(&mut real, step, density);
    }
    let what = format!(
        "{}: {forgotten} kg, read {condition:?}, {material} {}: {:?}",
        hand.boat.name, place.name, advised.advice.steps
    );
    let done = advised.advice.done_to(&advised.fit.found).expect("a boat");
    let (basin, marks) = (Basin::deep(POOL), &hand.boat.marks);
    let told = |condition| advised.after.foretold(&done, &advised.fit, basin, condition, marks);
    let afloat = told(Condition::Afloat).expect("it floats");
    let pose = lies(&real, 0.0, Condition::Afloat);
    is_within(pose.heel(), afloat.list.expect("told"), &format!("{what}, list afloat"));
    for mark in marks {
        let told = afloat.marks.iter().find(|m| m.name == mark.name).expect("told");
        let above = pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z();
        is_within(above, told.above, &format!("{what}, {}", mark.name));
    }
    let share = advised.after.fill.share.value;
    let under = told(Condition::Under).expect("it dives");
    let pose = lies(&real, share, Condition::Under);
    is_within(pose.heel(), under.list.expect("told"), &format!("{what}, list under"));
    is_within(pose.trim(), under.trim.expect("told"), &format!("{what}, trim under"));
    let residual = real.at(share).residual_mass(POOL);
    is_within(residual, under.residual.expect("told"), &format!("{what}, weight under"));
    true
}

#[test]
fn a_boat_ends_where_it_was_foretold_whatever_is_put_where() {
    let demo = BoatRecord::ledger("demo", &demo_boat().expect("fixed sizes"));
    let heron = TEMPLATES.first().expect("it comes first").boat_record().expect("a file of ours");
    let mut n_done = 0;
    for record in [demo, heron] {
        let hand = Hand::of(&record).expect("a boat");
        for place in &hand.boat.places {
            // What lies inside Heron may be in its dry hull or in the flooded one around that.
            if hand.boat.name == "Heron" && place.name == "inside" {
                continue;
            }
            for material in MATERIALS {
                for condition in [Condition::Afloat, Condition::Under] {
                    for forgotten in [-150.0 * GRAM, 260.0 * GRAM] {
                        // Foam that is to be taken off was never there.
                        let is_foam = material.0 == "foam";
                        let lifts = place.name != "inside" && forgotten > 0.0;
                        let is_dry = place.name == "on deck" && condition == Condition::Afloat;
                        if is_foam && (!lifts || is_dry) {
                            continue;
                        }
                        n_done += usize::from(play(&hand, forgotten, condition, place, material));
                    }
                }
            }
        }
    }
    assert!(n_done > 20, "{n_done} times there was something to do");
}
