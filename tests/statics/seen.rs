//! Leans seen on the way down or up: what they tell of the centre of gravity's offset and height.
//!
//! Sightings are simulated: a boat of the cases with a known moment is sunk and looked at.

use crate::support::bodies::{WATER, keeled_box, model};
use crate::support::chance::{Noise, WITHIN_TWO, binomial_bounds};
use crate::support::fit::{ANGLE_BY_EYE, FILL_BY_TIME, HEIGHT, LeanSeen, LeansFit, fit_leans};
use crate::support::{assert_close, assert_within, case};
use nalgebra::Vector3;
use serde_json::Value;
use std::f64::consts::PI;
use std::path::Path;
use trimwright::fit::FitError;
use trimwright::float::{Basin, FloatModel, SweepRow, Tolerance, settle_from, sweep};
use trimwright::geometry::Fineness;
use trimwright::unit::DEGREE;

const BASIN: Basin = Basin { density: WATER };

/// A height of which nothing is known, metres.
const WIDE: f64 = 0.02;

/// The boat of a case, all tanks empty.
fn boat_of(name: &str) -> FloatModel {
    let folder = Path::new("tests/data/cases");
    let text = std::fs::read_to_string(folder.join(name)).expect("a case");
    let case: Value = serde_json::from_str(&text).expect("JSON");
    let boat = case::boat(&case["boat"], folder);
    FloatModel::new(&boat, Fineness::WORK).expect("a good boat")
}

fn dabchick() -> FloatModel {
    boat_of("c02_dabchick_sweep.json")
}

fn grebe() -> FloatModel {
    boat_of("c03_grebe_sweep.json")
}

/// The boat with errors of its blown centre of gravity: to port and up, metres.
fn with_errors(boat: &FloatModel, [offset, height]: [f64; 2]) -> FloatModel {
    let blown = boat.with_fill(0, 0.0).expect("a tank").mass();
    boat.with_moment(Vector3::new(0.0, offset, height) * blown).expect("a moment")
}

/// What is seen of a boat on the way down in 21 steps, at some of them.
fn watched(boat: &FloatModel, steps: &[u32], heel_spread: f64, fill_spread: f64) -> Vec<LeanSeen> {
    let way = sweep(boat, BASIN, &[0], 21, &Tolerance::FINE).expect("a tank");
    let row = |&step: &u32| {
        let row = &way.rows[step as usize];
        LeanSeen { fill: row.fill, heel: row.pose().heel(), heel_spread, fill_spread }
    };
    steps.iter().map(row).collect()
}

fn fitted(boat: &FloatModel, seen: &[LeanSeen], spread: f64) -> Result<LeansFit, FitError> {
    fit_leans(&|fill| boat.with_fill(0, fill), BASIN, seen, spread)
}

#[track_caller]
fn fit(boat: &FloatModel, seen: &[LeanSeen], spread: f64) -> LeansFit {
    fitted(boat, seen, spread).expect("a fit")
}

#[test]
fn a_known_moment_comes_back_from_leans_at_two_to_five_fills() {
    // Simulated sightings have no errors. Read to a millionth of a radian, the prior's pull is below
    // a nanometre; a micrometre is what the README asks of simulated readings.
    let hidden = [[0.3e-3, 1e-3], [-0.3e-3, 1e-3], [0.3e-3, -1e-3], [0.0, 1e-3], [1e-3, 0.5e-3]];
    let watches: [&[u32]; 4] = [&[4, 8], &[0, 6, 12], &[4, 8, 12, 16], &[0, 5, 10, 15, 20]];
    for (name, boat) in [("Dabchick", dabchick()), ("Grebe", grebe())] {
        for errors in hidden {
            let real = with_errors(&boat, errors);
            for steps in watches {
                let what = format!("{name}, {errors:?} m, seen at {steps:?} of 20");
                let seen = watched(&real, steps, 1e-6, 0.0);
                let got = fit(&boat, &seen, HEIGHT);
                assert_within(got.offset.value, errors[0], 1e-6, &format!("{what}: offset"));
                assert_within(got.height.value, errors[1], 1e-6, &format!("{what}: height"));
                assert_eq!(got.contradiction, None, "{what}: exact sightings agree");
                let moved = boat.with_moment(got.moment).expect("a moment");
                let off = moved.centre_of_gravity(Vector3::z_axis()).vector()
                    - real.centre_of_gravity(Vector3::z_axis()).vector();
                assert!(off.norm() < 2e-6, "{what}: the moment carries both, off by {off:?} m");
            }
        }
    }
}

/// How often of 200 draws the true offset and height lie within two of the spreads found. Each draw
/// is four leans on the way, the heel and the fill off by their spreads.
fn within_two_spreads(
    boat: &FloatModel,
    hidden: &mut dyn FnMut(&mut Noise) -> [f64; 2],
    (heel_spread, fill_spread): (f64, f64),
    spread: f64,
) -> [u32; 2] {
    let mut noise = Noise(4);
    let mut hits = [0, 0];
    for _ in 0..DRAWS {
        let errors = hidden(&mut noise);
        let real = with_errors(boat, errors);
        let way = sweep(&real, BASIN, &[0], 6, &Tolerance::FINE).expect("a tank");
        let mut see = |row: &SweepRow| {
            let fill = (row.fill + fill_spread * noise.normal()).clamp(0.0, 1.0);
            let there = real.with_fill(0, fill).expect("a fill");
            let lies =
                settle_from(&there, BASIN, row.pose(), &Tolerance::FINE).expect("good water");
            let heel = lies.pose().heel() + heel_spread * noise.normal();
            LeanSeen { fill: row.fill, heel, heel_spread, fill_spread }
        };
        let seen: Vec<LeanSeen> = way.rows[1..5].iter().map(&mut see).collect();
        let got = fit(boat, &seen, spread);
        for (k, found) in [got.offset, got.height].into_iter().enumerate() {
            hits[k] += u32::from((found.value - errors[k]).abs() <= 2.0 * found.spread);
        }
    }
    hits
}

const DRAWS: u32 = 200;

#[track_caller]
fn assert_as_often_as_two_standard_deviations(hits: [u32; 2], what: &str) {
    // Source: closed form, a normal value is within two standard deviations in erf(√2) = 0.9545 of
    // all cases; the number of hits is binomial.
    let [least, most] = binomial_bounds(DRAWS, WITHIN_TWO, 1e-3);
    for (hits, unknown) in hits.into_iter().zip(["offset", "height"]) {
        assert!(
            (least..=most).contains(&hits),
            "{what}: the true {unknown} was within two spreads in {hits} of {DRAWS}, not {least} to {most}"
        );
    }
}

#[test]
fn with_noise_the_true_value_is_within_two_spreads_as_often_as_it_should_be() {
    let mut always = |_: &mut Noise| [0.3e-3, 1e-3];
    let hits = within_two_spreads(&dabchick(), &mut always, (1.0 * DEGREE, 0.01), WIDE);
    assert_as_often_as_two_standard_deviations(hits, "Dabchick, one moment, read to 1° and 1 %");
}

#[test]
fn by_eye_the_spreads_are_honest_over_all_the_boats_that_the_model_may_be() {
    let boat = grebe();
    // The beam is that of the bottom plate, 0.16 m; offset a twentieth of it.
    let mut any = |noise: &mut Noise| [8e-3 * noise.normal(), 2e-3 * noise.normal()];
    let spreads = (ANGLE_BY_EYE, FILL_BY_TIME);
    let hits = within_two_spreads(&boat, &mut any, spreads, HEIGHT);
    assert_as_often_as_two_standard_deviations(hits, "Grebe, any moment, by eye");
}

/// A box 1 × 0.2 m of 20 kg that draws 0.1 m, its centre of gravity so far under the metacentre.
fn box_with_gm(gm: f64) -> FloatModel {
    model(keeled_box([1.0, 0.2, 0.2]), 20.0, [0.0, 0.0, 0.05 + BOX_BM - gm])
}

/// I / V of that box.
const BOX_BM: f64 = 0.2 * 0.2 / 12.0 / 0.1;

fn lean(heel: f64) -> LeanSeen {
    LeanSeen { fill: 0.0, heel, heel_spread: 1e-6, fill_spread: 0.0 }
}

fn fit_of_box(boat: &FloatModel, seen: &[LeanSeen], spread: f64) -> LeansFit {
    fit_leans(&|_| Ok(boat.clone()), BASIN, seen, spread).expect("a fit")
}

#[test]
fn a_loll_seen_to_both_sides_is_the_wall_sided_formula_s_height() {
    // Source: closed form, tan²φ = −2 GM / BM of a wall-sided box (Derrett & Barrass, angle of
    // loll): the height error is GM of the model + BM tan²φ / 2. Box 1 × 0.2 m, draught 0.1 m.
    for (gm, degrees) in [(0.004_f64, 12.0_f64), (0.0, 20.0), (-0.002, 15.0), (-0.006, 25.0)] {
        let heel = degrees * DEGREE;
        let exact = gm + BOX_BM * heel.tan().powi(2) / 2.0;
        let got = fit_of_box(&box_with_gm(gm), &[lean(heel), lean(-heel)], WIDE);
        let what = format!("GM {gm} m, seen at {degrees}°");
        assert_within(got.height.value, exact, 1e-8, &format!("{what}: height"));
        assert_within(got.offset.value, 0.0, 1e-8, &format!("{what}: offset"));
    }
}

#[test]
fn one_lean_is_shared_between_offset_and_height_by_their_spreads() {
    // Source: closed form, at heel φ a box is balanced where (GM + BM tan²φ / 2 − z) sin φ
    // + y cos φ = 0; of all such (y, z) the nearest in spreads, and what is left along that line.
    for (gm, degrees) in [(0.004_f64, 12.0_f64), (-0.002, 15.0), (0.01, -8.0)] {
        let (sine, cosine) = (degrees * DEGREE).sin_cos();
        let boat = box_with_gm(gm);
        let seen = LeanSeen { heel_spread: 1e-4, ..lean(degrees * DEGREE) };
        let got = fit_of_box(&boat, &[seen], WIDE);
        let (y, z) = (0.05 * 0.2, WIDE);
        assert_within(got.before[0], y, 1e-15, "the offset's spread is a twentieth of the beam");
        let lever = (gm + BOX_BM * (sine / cosine).powi(2) / 2.0) * sine;
        let total = (y * cosine).powi(2) + (z * sine).powi(2);
        let what = format!("GM {gm} m, seen at {degrees}°");
        let offset = -lever * cosine * y * y / total;
        let height = lever * sine * z * z / total;
        assert_within(got.offset.value, offset, 1e-8, &format!("{what}: offset"));
        assert_within(got.height.value, height, 1e-8, &format!("{what}: height"));
        let along = y * z / total.sqrt();
        assert_close(got.offset.spread, along * sine.abs(), 1e-5, &format!("{what}: ± of offset"));
        assert_close(got.height.spread, along * cosine, 1e-5, &format!("{what}: ± of height"));
    }
}

#[test]
fn a_boat_that_hangs_tells_its_offset_by_bg() {
    // Source: closed form, under water tan φ = −y / BG with y to port: 21 kg in a box of 20 litres,
    // its centre of gravity 12 mm under the middle; the height is known.
    let boat = model(keeled_box([1.0, 0.2, 0.1]), 21.0, [0.0, 0.0, 0.05 - 0.012]);
    let known = 1e-9;
    for degrees in [-20.0_f64, 5.0, 35.0] {
        let got = fit_of_box(&boat, &[lean(degrees * DEGREE)], known);
        let exact = -0.012 * (degrees * DEGREE).tan();
        assert_within(got.offset.value, exact, 1e-8, &format!("hangs at {degrees}°: offset"));
        assert_within(got.height.value, 0.0, 1e-8, &format!("hangs at {degrees}°: height"));
    }
}

#[test]
fn leans_to_the_other_side_give_the_offset_to_the_other_side() {
    let boat = dabchick();
    for errors in [[0.3e-3, 1e-3], [0.8e-3, -1e-3]] {
        let real = with_errors(&boat, errors);
        let seen = watched(&real, &[0, 5, 10, 15], ANGLE_BY_EYE, FILL_BY_TIME);
        let mirrored: Vec<LeanSeen> =
            seen.iter().map(|lean| LeanSeen { heel: -lean.heel, ..*lean }).collect();
        let [one, other] = [&seen, &mirrored].map(|seen| fit(&boat, seen, HEIGHT));
        let what = format!("errors {errors:?} m");
        assert_within(other.offset.value, -one.offset.value, 1e-8, &format!("{what}: offset"));
        assert_within(other.height.value, one.height.value, 1e-8, &format!("{what}: height"));
        assert_close(other.offset.spread, one.offset.spread, 1e-4, &format!("{what}: its ±"));
        assert!(one.offset.value > 0.0, "{what}: found to port: {:?}", one.offset);
    }
}

#[test]
fn a_loll_of_a_symmetrical_boat_needs_no_offset() {
    // Without an offset the boat may lie on either side; 1 mm higher it lolls by 7° more.
    let boat = dabchick();
    let real = with_errors(&boat, [0.0, 1e-3]);
    for steps in [&[4][..], &[4, 8], &[0, 6, 12], &[0, 5, 10, 15, 20]] {
        let seen = watched(&real, steps, ANGLE_BY_EYE, FILL_BY_TIME);
        let got = fit(&boat, &seen, HEIGHT);
        let what = format!("seen at {steps:?} of 20: {:?}, {:?}", got.offset, got.height);
        assert!(got.offset.value.abs() < got.offset.spread, "an offset was invented, {what}");
        assert!(got.height.value >= 0.0, "it is top-heavier than modelled, {what}");
        assert!((got.height.value - 1e-3).abs() < 2.0 * got.height.spread, "1 mm, {what}");
        assert_eq!(got.contradiction, None, "exact sightings agree, {what}");
    }
}

#[test]
fn a_boat_that_stands_upright_where_the_model_lolls_is_lower() {
    let boat = dabchick();
    let modelled = watched(&boat, &[2, 3], 1e-6, 0.0);
    assert!(modelled.iter().all(|s| s.heel.abs() > 8.0 * DEGREE), "the model lolls: {modelled:?}");
    let real = with_errors(&boat, [0.0, -6e-3]);
    let upright = watched(&real, &[2, 3], ANGLE_BY_EYE, 0.0);
    assert!(upright.iter().all(|s| s.heel.abs() < 1e-6), "the real boat does not: {upright:?}");
    let got = fit(&boat, &upright, HEIGHT);
    let what = format!("{:?}, {:?}, heels {:?}", got.offset, got.height, got.heels);
    assert!(got.height.value < -1e-3, "it must lie lower, {what}");
    assert!(got.heels.iter().all(|h| h.abs() < 2.0 * ANGLE_BY_EYE), "as it was seen, {what}");
    assert!(got.offset.value.abs() < got.offset.spread, "by no offset, {what}");
    // Upright says only that it is low enough: the ± must not be that of the loll's steep edge.
    assert!(got.height.spread > 0.25 * got.before[1], "how low is not told, {what}");
}

#[test]
fn one_lean_cannot_tell_offset_from_height_and_says_so() {
    let boat = grebe();
    let real = with_errors(&boat, [0.3e-3, 1e-3]);
    let one = fit(&boat, &watched(&real, &[8], 1.0 * DEGREE, 0.01), HEIGHT);
    assert!(one.height.spread > 0.95 * one.before[1], "one lean: {:?}", one.height);
    assert!((one.offset.value - 0.3e-3).abs() < 2.0 * one.offset.spread, "{:?}", one.offset);
    let two = fit(&boat, &watched(&real, &[4, 8], 1.0 * DEGREE, 0.01), HEIGHT);
    assert!(two.height.spread < 0.7 * one.height.spread, "two leans: {:?}", two.height);
    assert!(two.offset.spread < 0.9 * one.offset.spread, "two leans: {:?}", two.offset);
}

#[test]
fn a_fill_that_is_known_badly_makes_the_answer_wider() {
    let boat = grebe();
    let real = with_errors(&boat, [0.3e-3, 1e-3]);
    let [sharp, blunt] = [0.0, FILL_BY_TIME].map(|fill_spread| {
        fit(&boat, &watched(&real, &[2, 6, 8], 0.5 * DEGREE, fill_spread), HEIGHT)
    });
    assert!(
        blunt.height.spread > 1.5 * sharp.height.spread,
        "{:?} {:?}",
        sharp.height,
        blunt.height
    );
    assert!(
        blunt.offset.spread > 1.2 * sharp.offset.spread,
        "{:?} {:?}",
        sharp.offset,
        blunt.offset
    );
}

#[test]
fn a_sighting_that_contradicts_the_others_is_named() {
    // 8 mm lower than entered it lolls nowhere, so that each lean has one side.
    let boat = with_errors(&grebe(), [0.0, -8e-3]);
    let real = with_errors(&boat, [1e-3, 1e-3]);
    for wrong in 0..5 {
        let mut seen = watched(&real, &[2, 5, 8, 12, 16], 1.0 * DEGREE, 0.01);
        seen[wrong].heel = 12.0 * DEGREE;
        let got = fit(&boat, &seen, HEIGHT);
        let named = got.contradiction;
        assert_eq!(named, Some(wrong), "misfits {:?}", got.joint.sightings);
    }
}

#[test]
fn wild_sightings_give_an_answer_or_a_reason_and_end() {
    let boat = dabchick();
    let (heels, spreads) =
        ([-PI / 2.0, -1.3, 0.0, 1e-300, 0.6, PI / 2.0], [1e-300, 1e-9, 0.05, 1e300]);
    for heel in heels {
        for heel_spread in spreads {
            let seen = [(0.0, 0.0), (0.5, 1.0), (1.0, 1e-12)].map(|(fill, fill_spread)| LeanSeen {
                fill,
                heel,
                heel_spread,
                fill_spread,
            });
            for centre_height in [1e-300, 2e-3, 0.5] {
                let spread = centre_height;
                let what = format!("heel {heel} ± {heel_spread}, height ± {centre_height}");
                match fitted(&boat, &seen, spread) {
                    Ok(got) => {
                        let figures = [got.offset, got.height].map(|e| [e.value, e.spread]);
                        let finite = figures.as_flattened().iter().all(|f| f.is_finite());
                        assert!(finite, "{what}: {figures:?}");
                        assert_eq!(got.heels.len(), seen.len(), "{what}: one misfit each");
                    }
                    Err(error) => assert_eq!(error, FitError::NoFit, "{what}"),
                }
            }
        }
    }
}
