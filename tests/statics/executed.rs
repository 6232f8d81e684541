//! Advice done with solid pieces: a boat with a weight that its ledger does not have is read, what is advised
//! is done to it with a cube of lead, brass or foam on the keel, inside or on deck, and it lies afloat and
//! under as was foretold, within the ±.

use crate::support::real::{POOL, Real, execute, lies, read};
use nalgebra::Vector3;
use trimwright::answer::{AdviceRequest, Evidence, ReadyBoat, look_at};
use trimwright::ballast::{Remedy, Verdict};
use trimwright::boat::{Boat, Place, demo_boat};
use trimwright::diary::{BoatRecord, TEMPLATES};
use trimwright::fit::Estimate;
use trimwright::float::Basin;
use trimwright::reading::Condition;
use trimwright::unit::GRAM;

/// Lead and brass as trade tables have them; closed-cell foam, common practice, no source. kg/m³.
const MATERIALS: [(&str, f64); 3] = [("lead", 11340.0), ("brass", 8500.0), ("foam", 60.0)];

#[track_caller]
fn is_within(got: f64, told: Estimate, what: &str) {
    let off = (got - told.value).abs();
    assert!(off < told.spread, "{what}: {got} and not {} ± {}", told.value, told.spread);
}

/// Reads the boat with `forgotten` (kg) that its ledger has not, does what is advised, and compares; true if
/// something was to be done.
fn play(
    hand: &ReadyBoat,
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
        look_at(hand, AdviceRequest { reading, fill, remedy, part: None }, &Evidence::default())
            .expect("it can be answered");
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
        let hand = ReadyBoat::of(&record).expect("a boat");
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
