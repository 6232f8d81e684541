//! A boat of six numbers whose tank is told: what it lacks under water, and what does not change afloat.

use crate::support::diary::quick_record;
use crate::support::{assert_close, assert_within};
use nalgebra::Vector3;
use trimwright::answer::{Advised, Answer, Evidence, Own, ReadyBoat, answer};
use trimwright::ballast::{Step, UnderAim, Verdict};
use trimwright::boat::QuickBoat;
use trimwright::diary::{BoatRecord, ConditionRecord, Draft, QuickRecord};
use trimwright::frame::Pose;
use trimwright::reading::ANGLE_SPREAD;
use trimwright::unit::GRAM;

/// Fresh water of 20 °C, kg/m³, as a draft has it that nobody touched. Source: Tanaka et al. 2001,
/// Metrologia 38:301.
const POOL: f64 = 998.2067;
/// What its tank takes, m³ and kg.
const TANK: f64 = 6.4e-4;
const TAKES: f64 = TANK * POOL;
const OWN: Own<'_> =
    Own { phone_mass: 0.2, is_zeroed: true, phone: "phone", inside: "inside", weight: "weight" };

fn advised(tank: Option<f64>, draft: &Draft) -> Advised {
    let quick = QuickRecord { tank_m3: tank, ..quick_record() };
    let hand = ReadyBoat::of(&BoatRecord::quick("it", "Grebe", quick)).expect("good numbers");
    match answer(&hand, draft, OWN, &Evidence::default()) {
        Answer::Advised(advised) => *advised,
        other => panic!("advice, not {other:?}"),
    }
}

/// So many grams heavy with the tank filled to so many per cent; full if nothing is typed.
fn under(tank: Option<f64>, heavy: f64, fill: &str) -> Advised {
    let draft = Draft {
        condition: ConditionRecord::Under,
        residual: heavy.abs().to_string(),
        residual_light: heavy < 0.0,
        fill: fill.to_owned(),
        ..Draft::default()
    };
    advised(tank, &draft)
}

/// The expected fill is that of Archimedes: at the share f the water in the tank weighs f·C·ρ, so that a
/// boat which is w heavy at f is neutral at f − w/(C·ρ).
#[test]
fn what_its_tank_can_take_back_is_right() {
    for (heavy, fill, was) in [(70.0, "", 1.0), (0.0, "80", 0.8), (-90.0, "75", 0.75)] {
        let got = under(Some(TANK), heavy, fill);
        let what = format!("{heavy} g heavy at {was}");
        assert_eq!(got.advice.verdict, Verdict::LeaveIt, "{what}");
        assert_within(got.after.fill.lacking, 0.0, 1e-9, &what);
        let neutral = was - heavy * GRAM / TAKES;
        // The estimate is drawn towards the six numbers by less than half a per cent of the tank.
        assert_within(got.after.fill.share.value, neutral, 5e-3, &what);
    }
}

#[test]
fn beyond_what_its_tank_can_do_weight_comes_off_or_on() {
    // Neutral at 0.53 and at 1.02: below 60 %, and above 95 %.
    for (heavy, sign) in [(300.0, -1.0), (-10.0, 1.0)] {
        let got = under(Some(TANK), heavy, "");
        assert_eq!(got.advice.verdict, Verdict::Do, "{heavy} g heavy");
        assert!(sign * got.advice.need.mass > 0.0, "{heavy} g heavy: {}", got.advice.need.mass);
        let share = got.after.fill.share.value;
        assert!((0.6..=0.95).contains(&share), "{heavy} g heavy: then neutral at {share}");
        assert_within(got.after.fill.lacking, 0.0, GRAM, "and lacks nothing");
    }
}

#[test]
fn without_a_tank_neutral_is_right_as_it_was() {
    let none = Some(0.0);
    let quick = QuickRecord { tank_m3: none, ..quick_record() };
    assert_eq!(BoatRecord::quick("it", "Grebe", quick).under_aim(), UnderAim::NEUTRAL);
    assert_eq!(under(none, 0.0, "").advice.verdict, Verdict::LeaveIt, "neutral");
    let heavy = under(none, 70.0, "");
    assert_eq!(heavy.advice.verdict, Verdict::Do, "70 g heavy");
    assert_within(heavy.advice.need.mass, -0.07, 5e-3, "take off what it is heavy by");
}

#[test]
fn before_anybody_said_what_the_tank_takes_nothing_is_advised_under_water() {
    for heavy in [-30.0, 0.0, 70.0] {
        let got = under(None, heavy, "");
        assert_eq!(got.advice.verdict, Verdict::TankUntold, "{heavy} g heavy");
        assert_eq!(got.advice.steps, [], "{heavy} g heavy");
    }
}

/// Under water the centre of buoyancy of a hull that is alike on both sides lies over the keel line: a centre of
/// gravity y off it lists the boat by tan(list) = y / BG, and the moment that puts it back is mass·y. The prior of
/// the place is a beam wide and takes less than a twentieth. BG is open by the height of the centre of gravity, and by what
/// lies above the waterline, which may be a share more or less than assumed and has the buoyancy so much higher or lower.
#[test]
fn its_list_under_water_is_told_too_with_most_of_it_in_doubt() {
    let degrees: f64 = 4.0;
    let draft = Draft {
        condition: ConditionRecord::Under,
        residual: "0".to_owned(),
        fill: "80".to_owned(),
        list: degrees.to_string(),
        ..Draft::default()
    };
    let got = advised(Some(TANK), &draft);
    let boat = &got.fit.found;
    let bg = boat.total_centre().z() - boat.centre_of_gravity(Vector3::z_axis()).z();
    let moment = boat.mass() * bg * degrees.to_radians().tan();
    let [_, across] = got.advice.need.moment;
    assert_within(across, moment, 0.05 * moment, "to port, kg·m");
    let share = got.advice.need.spread(2) / moment;
    let hand =
        ReadyBoat::of(&BoatRecord::quick("it", "Grebe", quick_record())).expect("good numbers");
    let (model, waterline) = (&hand.model, Pose::upright(-quick_record().waterline_m));
    let (whole, below) = (model.total_volume(), model.wet(waterline));
    let centre = model.total_centre().z();
    let above = (whole * centre - below.first_moment.z) - (whole - below.volume) * centre;
    // It also weighs so much more or less, since it is neutral.
    let by_share = QuickBoat::RESPONSE_SPREAD * (above / bg + whole - below.volume) / whole;
    let higher = QuickBoat::CENTRE_HEIGHT_SPREAD * quick_record().beam_m;
    let by_height = higher * model.bare().mass / boat.mass() / bg;
    let by_angle = ANGLE_SPREAD.to_degrees() / degrees;
    let expected = by_height.hypot(by_share).hypot(by_angle);
    assert_close(share, expected, 0.05, "share of it that is in doubt");
    assert_eq!(got.advice.verdict, Verdict::Do, "it is still worth a shift");
    assert!(matches!(got.advice.steps[..], [Step::Shift { .. }]), "{:?}", got.advice.steps);
}

/// Blown, the tank holds nothing and lies within the hull: the advice afloat must not know of it.
#[test]
fn afloat_the_tank_changes_no_answer() {
    let marks = [("bow", "-4"), ("stern", "6")].map(|(k, v)| (k.to_owned(), v.to_owned()));
    let draft =
        Draft { marks: marks.into_iter().collect(), list: "1.5".to_owned(), ..Draft::default() };
    let [with, without] = [Some(TANK), None].map(|tank| advised(tank, &draft));
    assert_eq!(with.advice.verdict, without.advice.verdict, "the same verdict");
    assert_eq!(with.advice.steps, without.advice.steps, "the same steps");
    assert_eq!(with.advice.need, without.advice.need, "for the same need");
}
