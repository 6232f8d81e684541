//! Leans seen on the way down or up: what they tell of the centre of gravity's offset and height.
//!
//! Sightings are simulated: a boat of the cases with a known moment is sunk and looked at.

mod support;

use nalgebra::Vector3;
use serde_json::Value;
use std::f64::consts::PI;
use std::path::Path;
use support::bodies::{WATER, keeled_box, model};
use support::{assert_close, assert_within, case};
use trimwright::fit::{
    ANGLE_BY_EYE, FILL_BY_TIME, LeanSeen, ModelSpread, WayFit, WayFitError, fit_on_the_way,
};
use trimwright::float::{Basin, BoatError, FloatModel, Tolerance, release, settle_from, sweep};
use trimwright::frame::Pose;
use trimwright::geometry::Fineness;
use trimwright::unit::{DEGREE, MILLIMETRE};

const BASIN: Basin = Basin { density: WATER, depth: None };

/// A height of which nothing is known, and a response that is the model's.
const WIDE: ModelSpread = ModelSpread { centre_height: 0.02, response: 0.0 };

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

fn fitted(
    boat: &FloatModel,
    seen: &[LeanSeen],
    spread: ModelSpread,
) -> Result<WayFit, WayFitError> {
    fit_on_the_way(&|fill| boat.with_fill(0, fill), BASIN, seen, spread)
}

#[track_caller]
fn fit(boat: &FloatModel, seen: &[LeanSeen], spread: ModelSpread) -> WayFit {
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
                let got = fit(&boat, &seen, ModelSpread::LEDGER);
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

/// Draws from the normal distribution, the same ones each time.
struct Noise(u64);

impl Noise {
    /// Evenly between 0 and 1, neither of them: SplitMix64.
    fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    /// Mean 0, standard deviation 1: Box and Muller.
    fn normal(&mut self) -> f64 {
        (-2.0 * self.even().ln()).sqrt() * (2.0 * PI * self.even()).cos()
    }
}

#[test]
fn explore() {
    for (name, boat) in [("dabchick", dabchick()), ("grebe", grebe())] {
        for errors in [[0.3e-3, 1e-3], [0.0, 0.0]] {
            for (hs, fs) in [(1.0 * DEGREE, 0.01), (3.0 * DEGREE, 0.05)] {
                for (sn, spread) in [("wide", WIDE), ("ledger", ModelSpread::LEDGER), ("drawn", ModelSpread::LEDGER)] {
                    let mut noise = Noise(4);
                    let n = 200;
                    let (mut a, mut b, mut c, mut z2) = (0, 0, 0, [0.0, 0.0]);
                    for _ in 0..n {
                        let errors = if sn == "drawn" {
                            let prior = fit(&boat, &[LeanSeen::by_eye(0.5, 0.0)], spread).before;
                            [prior[0] * noise.normal(), prior[1] * noise.normal()]
                        } else { errors };
                        let real = with_errors(&boat, errors);
                        let way = sweep(&real, BASIN, &[0], 6, &Tolerance::FINE).expect("a tank");
                        let seen: Vec<LeanSeen> = way.rows.iter().skip(1).take(4).map(|row| {
                            let off = (fs * noise.normal()).clamp(-0.19, 0.19);
                            let there = real.with_fill(0, row.fill + off).expect("f");
                            let pose = settle_from(&there, BASIN, row.pose(), &Tolerance::FINE).expect("w").pose();
                            LeanSeen { fill: row.fill, heel: (pose.heel() + hs * noise.normal()).clamp(-1.5, 1.5), heel_spread: hs, fill_spread: fs }
                        }).collect();
                        let got = fit(&boat, &seen, spread);
                        let z = [(got.offset.value - errors[0]) / got.offset.spread, (got.height.value - errors[1]) / got.height.spread];
                        if z[0].abs() < 2.0 { a += 1 }
                        if z[1].abs() < 2.0 { b += 1 }
                        if got.contradiction.is_some() { c += 1 }
                        z2[0] += z[0] * z[0] / n as f64; z2[1] += z[1] * z[1] / n as f64;
                    }
                    println!("{name} {errors:?} heel {:.1} fill {fs} {sn}: offset {a} height {b} of {n}, contradictions {c}, rms z {:.2} {:.2}", hs / DEGREE, z2[0].sqrt(), z2[1].sqrt());
                }
            }
        }
    }
}
