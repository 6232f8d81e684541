//! Of what the weight is: an advice for lead, brass, steel and foam. Source of what is expected: closed form, a
//! piece of volume V and density ρ wholly under weighs V (ρ − `ρ_water`) there, and V ρ inside.

use trimwright::answer::{Advised, Answer, Evidence, Own, Printed, ReadyBoat, answer};
use trimwright::ballast::{Step, Verdict, Weight};
use trimwright::boat::{Medium, demo_boat};
use trimwright::diary::{BoatRecord, ConditionRecord, Diary, Draft, WeightMaterial};
use trimwright::unit::GRAM;

/// Fresh water of 20 °C, kg/m³, as a draft has it that nobody touched. Source: Tanaka et al. 2001,
/// Metrologia 38:301.
const POOL: f64 = 998.2067;
const OWN: Own<'_> =
    Own { phone_mass: 0.2, is_zeroed: true, phone: "phone", inside: "inside", weight: "weight" };

fn demo() -> BoatRecord {
    BoatRecord::ledger("dipper", &demo_boat().expect("fixed sizes"))
}

/// So many grams heavy (negative light) under water with full tanks, level; weight goes to the first place
/// that is wet or dry.
fn draft(hand: &ReadyBoat, heavy: f64, medium: Medium, material: WeightMaterial) -> Draft {
    let place = hand.boat.places.iter().find(|p| p.medium == medium).expect("a place");
    Draft {
        boat: "dipper".to_owned(),
        condition: ConditionRecord::Under,
        residual: heavy.abs().to_string(),
        residual_light: heavy < 0.0,
        list: "0".to_owned(),
        trim: "0".to_owned(),
        place: place.name.clone(),
        material,
        ..Draft::default()
    }
}

fn advised(hand: &ReadyBoat, draft: &Draft) -> Advised {
    match answer(hand, draft, OWN, &Evidence::default()) {
        Answer::Advised(advised) => *advised,
        other => panic!("it can be answered: {other:?}"),
    }
}

/// The weight of the last step, and whether it is put on.
fn weight(advised: &Advised) -> (Weight, bool) {
    match advised.advice.steps.last() {
        Some(Step::Add(w)) => (w.clone(), true),
        Some(Step::TakeOff(w)) => (w.clone(), false),
        other => panic!("a weight, not {other:?}"),
    }
}

const HEAVY: f64 = 600.0;

#[test]
fn a_piece_weighs_under_water_what_its_volume_does_not_carry() {
    let hand = ReadyBoat::of(&demo()).expect("a boat");
    // Densities as trade tables print them, kg/m³; foam board 30, EN 13164 from 24 to 45.
    for (material, density) in [
        (WeightMaterial::Lead, 11340.0),
        (WeightMaterial::Brass, 8500.0),
        (WeightMaterial::Steel, 7850.0),
        (WeightMaterial::Foam, 30.0),
    ] {
        let advised = advised(&hand, &draft(&hand, HEAVY, Medium::Wet, material));
        let (weight, is_put_on) = weight(&advised);
        let lacks = advised.advice.need.mass;
        assert!(lacks < -100.0 * GRAM, "it is too heavy: {lacks}");
        let counts = weight.mass.value / density * (density - POOL);
        let brings = if is_put_on { counts } else { -counts };
        // Half of what is cut: a gram, or a cubic centimetre of foam, which lifts a little less than one.
        let off = (brings - lacks).abs();
        assert!(off <= 0.5001 * GRAM, "{material:?} brings {brings} for {lacks} kg");
        assert_eq!(is_put_on, material == WeightMaterial::Foam, "{material:?}");
        let cubes = weight.volume() * 1e6;
        let whole = (cubes - cubes.round()).abs() < 1e-6;
        assert!(material != WeightMaterial::Foam || whole, "{cubes} cm³ can be cut");
    }
}

#[test]
fn half_of_a_piece_of_foam_is_cut_by_volume_too() {
    let hand = ReadyBoat::of(&demo()).expect("a boat");
    let advised = advised(&hand, &draft(&hand, HEAVY, Medium::Wet, WeightMaterial::Foam));
    let (whole, _) = weight(&advised);
    let Some(Step::Add(half)) = advised.advice.steps.last().map(|step| step.part(0.5)) else {
        panic!("foam is put on")
    };
    let off = half.volume() - whole.volume() / 2.0;
    assert!(off.abs() <= 0.5001e-6, "{} of {} m³", half.volume(), whole.volume());
}

#[test]
fn foam_where_water_does_not_come_lifts_nothing() {
    let hand = ReadyBoat::of(&demo()).expect("a boat");
    for heavy in [HEAVY, -HEAVY] {
        let advised = advised(&hand, &draft(&hand, heavy, Medium::Dry, WeightMaterial::Foam));
        assert_eq!(advised.advice.verdict, Verdict::NoLift, "{heavy} g heavy");
        assert!(advised.advice.steps.is_empty(), "nothing is done");
    }
    let lead = advised(&hand, &draft(&hand, HEAVY, Medium::Dry, WeightMaterial::Lead));
    let (lead, _) = weight(&lead);
    assert!((lead.counts - 1.0).abs() < 1e-12, "inside it counts what it weighs");
}

#[test]
fn what_is_printed_is_of_the_material_that_was_chosen() {
    let record = demo();
    let hand = ReadyBoat::of(&record).expect("a boat");
    for (material, density) in [(WeightMaterial::Lead, 11340.0), (WeightMaterial::Brass, 8500.0)] {
        let draft = draft(&hand, -HEAVY, Medium::Wet, material);
        let diary = Diary { boats: vec![record.clone()], draft, ..Diary::default() };
        let printed = Printed::of(&diary).expect("an answer");
        let printed = serde_json::to_value(printed).expect("JSON");
        let steps = printed["steps"].as_array().expect("a list");
        let step = steps.iter().find(|step| step["do"] == "add").expect("a weight");
        assert_eq!(step["material_density_kg_m3"], density, "{printed}");
    }
}
