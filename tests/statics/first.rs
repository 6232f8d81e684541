//! What is said before any weight: the boat lies over, or the phone's zero is not known.

use crate::support::real::{Real, lies, read as read_real};
use nalgebra::Vector3;
use trimwright::answer::{
    AdviceRequest, Advised, Answer, Evidence, KeptSession, KeptSighting, KeptWhat, Own, ReadyBoat,
    answer, look_at,
};
use trimwright::ballast::{Remedy, Verdict};
use trimwright::boat::{Boat, demo_boat};
use trimwright::diary::{BoatRecord, Draft, TEMPLATES};
use trimwright::float::FloatModel;
use trimwright::geometry::Fineness;
use trimwright::material::LEAD;
use trimwright::reading::{Condition, Reading, Seen};
use trimwright::unit::{DEGREE, MILLIMETRE};

fn coot() -> BoatRecord {
    let boats = TEMPLATES.iter().map(|t| t.boat_record().expect("a file of ours"));
    boats.into_iter().find(|boat| boat.name == "Coot").expect("one of them")
}

fn asked(hand: &ReadyBoat, reading: Reading) -> AdviceRequest {
    let place = hand.boat.places[0].clone();
    let remedy = Remedy::Weight { place, density: LEAD.density };
    AdviceRequest { reading, fill: 0.0, remedy, part: None }
}

fn advised(hand: &ReadyBoat, reading: Reading) -> Advised {
    look_at(hand, asked(hand, reading), &Evidence::default()).expect("a reading of this boat")
}

/// Coot with its weight so much (m) higher than in its list.
fn with_weight_higher(by: f64) -> (ReadyBoat, Real) {
    let record = coot();
    let boat = record.boat().expect("parts");
    let mass = FloatModel::new(&boat, Fineness::WORK).expect("a boat").mass();
    let moment = Vector3::new(0.0, 0.0, mass * by);
    (ReadyBoat::of(&record).expect("a boat"), Real { boat, mass: 0.0, moment })
}

#[test]
fn a_boat_whose_weight_is_too_high_lies_over_and_gets_lower_weight_and_none_to_one_side() {
    let (hand, real) = with_weight_higher(11.0 * MILLIMETRE);
    let heel = lies(&real, 0.0, Condition::Afloat).heel();
    assert!(heel.abs() > 60.0 * DEGREE, "it lies {} degrees over", heel / DEGREE);
    let all = read_real(&real, Condition::Afloat);
    let only_the_list = Reading {
        observations: all
            .observations
            .iter()
            .filter(|o| matches!(o.seen, Seen::List(_)))
            .cloned()
            .collect(),
        ..all.clone()
    };
    for reading in [all, only_the_list] {
        let told = format!("{} figures", reading.observations.len());
        let got = advised(&hand, reading);
        assert_eq!(got.advice.steps, [], "no weight to one side: {told}");
        let (Verdict::Lower { .. } | Verdict::LiesOver { .. }) = got.advice.verdict else {
            panic!("it lies over, {told}: {:?}", got.advice.verdict);
        };
    }
}

fn by_phone(boat: &Boat, list: &str, is_zeroed: bool, evidence: &Evidence) -> Verdict {
    let hand = ReadyBoat::of(&BoatRecord::ledger("it", boat)).expect("a boat");
    let marks = boat.marks.iter().map(|mark| (mark.name.clone(), "0".to_owned())).collect();
    let phone_aboard = true;
    let draft = Draft { marks, list: list.to_owned(), phone_aboard, ..Draft::default() };
    let own =
        Own { phone_mass: 0.0, is_zeroed, phone: "phone", inside: "inside", weight: "weight" };
    match answer(&hand, &draft, own, evidence) {
        Answer::Advised(advised) => advised.advice.verdict,
        other => panic!("advice, not {other:?}"),
    }
}

#[test]
fn a_small_list_told_by_a_phone_without_its_zero_asks_for_the_zero() {
    let boat = demo_boat().expect("fixed sizes");
    let nothing = Evidence::default();
    assert_eq!(by_phone(&boat, "1.4", false, &nothing), Verdict::ZeroFirst);
    assert_eq!(by_phone(&boat, "0.4", false, &nothing), Verdict::LeaveIt, "it is level");
    assert_eq!(by_phone(&boat, "1.4", true, &nothing), Verdict::Do, "it is known");
    assert_eq!(by_phone(&boat, "8", false, &nothing), Verdict::Do, "no phone is so far off");
    // Read upright before by something better, the boat is not thought to list.
    let record = BoatRecord::ledger("it", &boat);
    let hand = ReadyBoat::of(&record).expect("a boat");
    let real = Real { boat: boat.clone(), mass: 0.0, moment: Vector3::zeros() };
    let upright = read_real(&real, Condition::Afloat);
    let kept = KeptSighting { what: KeptWhat::Reading(upright, 0.0), was_changed: false };
    let known = Evidence::of(
        &hand,
        &record,
        &[KeptSession { sightings: vec![kept], ..KeptSession::default() }],
    );
    assert_eq!(by_phone(&boat, "1.4", false, &known), Verdict::LeaveIt, "it was read upright");
}
