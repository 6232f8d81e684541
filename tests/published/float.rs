//! Attitudes at rest that are known in closed form, found by the three-dimensional solver.

use crate::support::bodies::{
    SEA_WATER, WATER, assert_vector, homogeneous_box, keeled_box, model, released, tilt_degrees,
};
use crate::support::{assert_close, assert_within};
use nalgebra::Vector3;
use std::f64::consts::PI;
use trimwright::float::{Afloat, Basin, Tolerance, hang};
use trimwright::frame::Position;
use trimwright::geometry::Solid;

/// Half a unit of the fourth decimal of a degree, the last place of the reference sheet.
const FOURTH_DECIMAL: f64 = 0.5001e-4;

/// An ellipsoid of half axes 0.5, 0.06 and 0.05 m at relative density 0.8.
fn ellipsoid(centre_of_gravity: [f64; 3]) -> Afloat {
    let solid = Solid::Ellipsoid { size: [1.0, 0.12, 0.10], centre: Position::ORIGIN };
    let volume = 4.0 / 3.0 * PI * 0.5 * 0.06 * 0.05;
    released(&model(solid, 0.8 * WATER * volume, centre_of_gravity), WATER)
}

/// Source: closed form: B = −q (aᵢ² nᵢ) / h with τ = 0.4257185492 and q = 0.1571189119, and
/// (G − B) × n = 0. Centre of gravity, true up, waterplane above the origin.
const ELLIPSOID: [([f64; 3], [f64; 3], f64); 3] = [
    ([0.0, 0.002, -0.006], [0.0, -0.20921401, 0.97786988], 0.02148992),
    ([0.010, 0.0, -0.006], [-0.01286261, 0.0, 0.99991727], f64::NAN),
    ([0.010, 0.002, -0.006], [-0.01298325, -0.20979647, 0.97765888], 0.02166625),
];

#[test]
fn an_ellipsoid_lists_and_trims_as_the_closed_form_says() {
    for (gravity, up, level) in ELLIPSOID {
        let got = ellipsoid(gravity);
        assert_close(got.volume, 0.00502654825, 1e-9, "volume");
        assert_vector(got.pose.up().into_inner(), up, FACETS, "up");
        if level.is_finite() {
            assert_close(-got.pose.height(), level, FACETS, "waterplane above the origin");
        }
    }
    let got = ellipsoid([0.010, 0.002, -0.006]);
    let centre = [0.01002053, 0.00233167, -0.00754561];
    assert_vector(got.centre_of_buoyancy.vector(), centre, 0.05 * FACETS, "centre of buoyancy");
    assert_within(tilt_degrees(&got), 12.13395, 12.0 * FACETS, "tilt");
}

/// What facets of 1/512 of a turn may cost, as a share: see `solid.rs`.
const FACETS: f64 = 3.8e-5;

#[test]
fn a_half_immersed_ellipsoid_has_the_closed_forms_metacentric_heights() {
    // Source: closed form, GM across 3(b² − c²) / 8c, along 3(a² − c²) / 8c.
    let solid = Solid::Ellipsoid { size: [1.0, 0.12, 0.10], centre: Position::ORIGIN };
    let mass = 0.5 * WATER * 4.0 / 3.0 * PI * 0.5 * 0.06 * 0.05;
    let got = released(&model(solid, mass, [0.0; 3]), WATER);
    assert_close(got.stiffness.along, 1.85625, FACETS, "GM along");
    // GM across is the small difference BM − BG, each of which the facets change by their share.
    assert_within(got.stiffness.across, 0.00825, FACETS * 0.027, "GM across");
}

/// The box of 1 × 0.2 × 0.2 m that draws 0.1 m, with its centre of gravity at a place.
fn shallow_box(centre_of_gravity: [f64; 3]) -> Afloat {
    released(&model(keeled_box([1.0, 0.2, 0.2]), 20.0, centre_of_gravity), WATER)
}

/// Where the centre of gravity must be, at height `z`, for a waterplane z = 0.1 + ax + by.
///
/// Source: closed form for a wall-sided box: with zb = d/2 + (a²L² + b²B²) / 24d the height of B,
/// x = a (L²/12d + zb − z), y = b (B²/12d + zb − z).
fn gravity_for_waterplane(a: f64, b: f64, z: f64) -> [f64; 3] {
    let (length, beam, draught) = (1.0, 0.2, 0.1);
    let square = (a * length).powi(2) + (b * beam).powi(2);
    let buoyancy = draught / 2.0 + square / (24.0 * draught);
    let x = a * (length * length / (12.0 * draught) + buoyancy - z);
    let y = b * (beam * beam / (12.0 * draught) + buoyancy - z);
    [x, y, z]
}

#[test]
fn a_box_heeled_and_trimmed_at_once_floats_at_the_inclined_waterplane() {
    let gravity = gravity_for_waterplane(0.05, 0.2, 0.06);
    assert_within(gravity[0], 0.0412520833, 0.5001e-10, "x of G as printed");
    assert_within(gravity[1], 0.0050083333, 0.5001e-10, "y of G as printed");
    let got = shallow_box(gravity);
    // Corner draughts, forward to aft on the port side and then to starboard.
    for (x, y, draught) in
        [(0.5, 0.1, 0.145), (0.5, -0.1, 0.105), (-0.5, 0.1, 0.095), (-0.5, -0.1, 0.055)]
    {
        let what = format!("draught at ({x}, {y})");
        assert_close(got.pose.water_height_at(x, y), draught, 1e-9, &what);
    }
    let centre = [0.0416666667, 0.0066666667, 0.0517083333];
    assert_vector(got.centre_of_buoyancy.vector(), centre, 1e-10, "centre of buoyancy");
    assert_within(got.pose.trim().to_degrees(), 2.8069, FOURTH_DECIMAL, "pitch");
    assert_within(-got.pose.heel().to_degrees(), 11.3099, FOURTH_DECIMAL, "roll");
    assert_within(tilt_degrees(&got), 11.6486, FOURTH_DECIMAL, "tilt");
}

#[test]
fn the_centre_of_gravity_worked_back_from_a_waterline_gives_that_waterline() {
    let slope = |degrees: f64| degrees.to_radians().tan();
    let heeled = gravity_for_waterplane(0.0, slope(3.0), 0.08);
    assert_within(heeled[1], 0.00017709, 0.5001e-8, "y of G as printed");
    assert_within(-shallow_box(heeled).pose.heel().to_degrees(), 3.0, 1e-7, "heel");
    let trimmed = gravity_for_waterplane(slope(1.0), 0.0, 0.08);
    assert_within(trimmed[0], 0.01402445, 0.5001e-8, "x of G as printed");
    assert_within(shallow_box(trimmed).pose.trim().to_degrees(), 1.0, 1e-7, "trim");
}

/// Source: closed form for a square log: tan²φ = 12 s(1 − s) − 2 up to s = 1/4, then
/// tan φ = (3 − √(9 − 32s)) / (3 + √(9 − 32s)) up to 9/32, then 45° to the middle. The regimes are
/// those of Reid 1963, *Floating of a long square bar*, Am. J. Phys. 31:565. Degrees to 1e-4.
const LOG: [(f64, f64); 17] = [
    (0.20, 0.0),
    (0.22, 13.6749),
    (0.23, 19.4856),
    (0.24, 23.4855),
    (0.25, 26.5651),
    (0.26, 29.6305),
    (0.27, 33.6901),
    (0.275, 36.5213),
    (0.28, 41.1859),
    (0.29, 45.0),
    (0.30, 45.0),
    (0.50, 45.0),
    (0.60, 45.0),
    (0.70, 45.0),
    (0.71, 45.0),
    (0.78, 13.6749),
    (0.80, 0.0),
];

#[test]
fn a_long_square_log_floats_in_three_regimes() {
    for (s, degrees) in LOG {
        let got = released(&homogeneous_box([6.0, 1.0, 1.0], s), WATER);
        let heel = got.pose.heel().to_degrees().abs();
        assert_within(heel, degrees, FOURTH_DECIMAL, &format!("heel at density {s}"));
        assert_within(got.pose.trim(), 0.0, 1e-9, &format!("trim at density {s}"));
        assert!(got.stiffness.least > 0.0, "stable at density {s}: {:?}", got.stiffness);
    }
}

#[test]
fn a_square_log_leaves_the_upright_exactly_at_its_limits() {
    // Source: closed form, upright GM = s/2 − 1/2 + 1/12s: zero at (3 ± √3) / 6; corner down
    // GM = (4/3)√s − 1/√2: zero at 9/32 = 0.28125.
    let (low, high) = ((3.0 - 3.0_f64.sqrt()) / 6.0, (3.0 + 3.0_f64.sqrt()) / 6.0);
    let heel = |s: f64| {
        let got = released(&homogeneous_box([6.0, 1.0, 1.0], s), WATER);
        got.pose.heel().to_degrees().abs()
    };
    for (s, upright) in
        [(low - 1e-4, true), (low + 1e-4, false), (high - 1e-4, false), (high + 1e-4, true)]
    {
        let got = heel(s);
        assert_eq!(got < 0.01, upright, "heel at density {s}: {got}");
    }
    for (s, corner_down) in [(0.28115, false), (0.28135, true), (0.71865, true), (0.71885, false)] {
        let got = heel(s);
        assert_eq!((got - 45.0).abs() < 0.01, corner_down, "heel at density {s}: {got}");
    }
}

#[test]
fn a_log_beyond_the_wall_sided_formula_goes_on_to_its_corner() {
    // Source: a textbook's answer of 43° (from memory, not seen) comes from the wall-sided formula,
    // tan²φ = 12 s(1 − s) − 2 at s = 0.4, which ends where a corner comes out, at tan φ = 2 s.
    let formula: f64 = (12.0_f64 * 0.4 * 0.6 - 2.0).sqrt().atan().to_degrees();
    assert_within(formula, 43.17, 0.005, "the formula outside its range");
    assert!(formula > 0.8_f64.atan().to_degrees(), "the corner has come out before");
    let got = released(&homogeneous_box([6.0, 3.0, 3.0], 0.4), WATER);
    assert_within(got.pose.heel().to_degrees().abs(), 45.0, 1e-6, "heel");
}

#[test]
fn an_unstable_box_lolls_to_the_closed_forms_angle() {
    // Source: closed form, tan²φ = −2 GM / BM, GM there −2 GM / cos φ: GM −1/150 m, BM 1/30 m.
    let got = shallow_box([0.0, 0.0, 0.09]);
    let heel = got.pose.heel().abs();
    assert_close(heel, 0.4_f64.sqrt().atan(), 1e-9, "loll");
    assert_within(heel.to_degrees(), 32.3115, FOURTH_DECIMAL, "loll as printed");
    assert_close(got.stiffness.across, 2.0 / 150.0 / heel.cos(), 1e-8, "GM at the loll");
    assert_within(got.stiffness.across, 0.015776, 0.5001e-6, "GM at the loll as printed");
}

#[test]
fn a_ship_of_no_metacentric_height_lists_by_the_cube_root() {
    // Source: Derrett, *Ship Stability for Masters and Mates*, "List with zero metacentric height"
    // (as set in examinations): 12 250 t, KM = KG = 8 m, KB 3.8 m, 2 t moved 12 m;
    // closed form tan³φ = 2 w d / (Δ BM). Here a box with that KB and BM.
    let (mass, bm, draught) = (12_250e3, 4.2, 7.6);
    let beam = (12.0_f64 * draught * bm).sqrt();
    let length = mass / (SEA_WATER * beam * draught);
    let gravity = [0.0, -2e3 * 12.0 / mass, 8.0];
    let got = released(&model(keeled_box([length, beam, 16.0]), mass, gravity), SEA_WATER);
    let exact = (48.0_f64 / 51450.0).cbrt().atan();
    assert_close(got.pose.heel(), exact, 1e-8, "list");
    assert_within(got.pose.heel().to_degrees(), 5.581, 0.0005, "list as printed");
}

#[test]
fn a_boat_under_water_hangs_with_gravity_straight_below_buoyancy() {
    // Source: closed form, n ∥ B − G; G − B = (0.003, 0.001, −0.010) m.
    let solid = Solid::Ellipsoid { size: [1.0, 0.2, 0.1], centre: Position::new(0.4, 0.0, 0.05) };
    let boat = model(solid, 10.0, [0.403, 0.001, 0.040]);
    let basin = Basin::deep(WATER);
    let got = hang(&boat, basin, &Tolerance::FINE).expect("good water");
    let up = got.pose.up();
    let exact = Vector3::new(-0.003, -0.001, 0.010);
    assert!((up.into_inner() - exact.normalize()).norm() < 1e-9, "up is {up:?}");
    assert_within(got.pose.trim().to_degrees(), 16.621, 0.0005, "bow down");
    assert_within(got.pose.heel().to_degrees(), -5.711, 0.0005, "port down");
    let tilt = up.angle(&Vector3::z_axis()).to_degrees();
    assert_within(tilt, 17.548, 0.0005, "tilt");
    assert_close(got.bg, exact.norm(), 1e-9, "BG");
    for gm in [got.stiffness.across, got.stiffness.along, got.stiffness.least] {
        assert_close(gm, exact.norm(), 1e-9, "GM is BG in every direction");
    }
    // 0.2 kg moved aft by 0.150 m.
    let restored = boat
        .with_weight(-0.2, Position::new(0.5, 0.0, 0.0))
        .and_then(|b| b.with_weight(0.2, Position::new(0.35, 0.0, 0.0)))
        .expect("still a boat");
    let level = hang(&restored, basin, &Tolerance::FINE).expect("good water");
    assert_within(level.pose.trim().to_degrees(), 0.0, 1e-7, "trim restored");
    let heel = -(0.001_f64 / 0.010).atan().to_degrees();
    assert_within(level.pose.heel().to_degrees(), heel, 1e-7, "heel as before");
}
