//! The phone that lies aboard, put elsewhere than amidships. Source of what is expected: closed form, the boat
//! lies as it was read by the moment of its weight and the phone's together, so the phone's m·d more is the
//! boat's m·d less, and what is shifted goes that much farther.

use crate::support::assert_within;
use crate::support::fit::by_list;
use trimwright::answer::{
    Advised, Answer, Evidence, Own, ReadyBoat, answer, phone_moved, phone_place,
};
use trimwright::ballast::Step;
use trimwright::boat::demo_boat;
use trimwright::diary::{BoatRecord, Draft, TEMPLATES};
use trimwright::unit::{GRAM, MILLIMETRE};

const OWN: Own<'_> =
    Own { phone_mass: 0.2, is_zeroed: true, phone: "phone", inside: "inside", weight: "weight" };

fn demo() -> ReadyBoat {
    let boat = demo_boat().expect("fixed sizes");
    ReadyBoat::of(&BoatRecord::ledger("dipper", &boat)).expect("a boat")
}

/// As many figures as there are unknowns that they tell, so that they hold exactly; 500 g are to be shifted.
fn draft(at: Option<[f64; 2]>) -> Draft {
    let figure = |name: &str, mm: &str| (name.to_owned(), mm.to_owned());
    Draft {
        marks: [figure("stern", "2"), figure("bow", "-2")].into_iter().collect(),
        list: "1.5".to_owned(),
        shift: "500".to_owned(),
        phone_aboard: true,
        phone_at_m: at,
        ..Draft::default()
    }
}

fn advised(at: Option<[f64; 2]>) -> Advised {
    let mut hand = demo();
    // So that it is the figures alone that tell.
    hand.known = by_list(&hand.model);
    match answer(&hand, &draft(at), OWN, &Evidence::default()) {
        Answer::Advised(advised) => *advised,
        other => panic!("it can be answered: {other:?}"),
    }
}

/// Moments of the boat as it was found about midship and about the centre plane, kg·m.
fn moments(advised: &Advised) -> [f64; 2] {
    let found = &advised.fit.found;
    let centre = found.centre_of_gravity(nalgebra::Vector3::z_axis());
    [centre.x(), centre.y()].map(|lever| lever * found.mass())
}

/// How far forward and to port what is shifted goes, metres.
fn shifted(advised: &Advised) -> [f64; 2] {
    match advised.advice.steps.first() {
        Some(Step::Shift { forward, to_port, .. }) => [forward.value, to_port.value],
        other => panic!("something is shifted: {other:?}"),
    }
}

#[test]
fn the_phone_s_moment_is_taken_from_where_it_lies() {
    let (amidships, elsewhere) = (advised(None), advised(Some([0.1, -0.01])));
    let (before, after) = (moments(&amidships), moments(&elsewhere));
    // A gram at a millimetre.
    let tolerance = GRAM * MILLIMETRE;
    assert_within(after[0] - before[0], -0.2 * 0.1, tolerance, "100 mm forward");
    assert_within(after[1] - before[1], 0.2 * 0.01, tolerance, "10 mm to starboard");
}

#[test]
fn what_is_advised_goes_farther_by_the_phone_s_moment() {
    let (before, after) = (shifted(&advised(None)), shifted(&advised(Some([0.1, -0.01]))));
    // Each is rounded to the millimetre.
    assert_within(after[0] - before[0], 0.2 * 0.1 / 0.5, MILLIMETRE, "40 mm farther forward");
    assert_within(after[1] - before[1], -0.2 * 0.01 / 0.5, MILLIMETRE, "4 mm to starboard");
}

#[test]
fn no_push_takes_it_off_any_of_the_boats_that_come_with_the_app() {
    for template in TEMPLATES {
        let hand = ReadyBoat::of(&template.boat_record().expect("a boat of ours")).expect("a boat");
        let bounds = hand.model.bounds();
        for by in [[9.0, 9.0], [-9.0, -9.0], [0.0123, -9.0]] {
            let at = phone_moved(&draft(None), &hand, by);
            let place = phone_place(&draft(at), &hand).expect("it lies aboard");
            for (k, metres) in [place.x(), place.y()].into_iter().enumerate() {
                let within = bounds.low[k] - 1e-9..=bounds.high[k] + 1e-9;
                assert!(within.contains(&metres), "{}: {by:?} {place:?}", template.name);
                let millimetres = metres / MILLIMETRE;
                let off = (millimetres - millimetres.round()).abs();
                assert!(off < 1e-9, "{}: a whole millimetre, not {millimetres}", template.name);
            }
        }
    }
}
