//! Metacentric heights and righting levers of box vessels and simple sections. The ships of the
//! textbooks are boxes of the same draught and metacentre; metres and kilograms.

use crate::support::bodies::{
    SEA_WATER, WATER, boat, homogeneous_box, keeled_box, lever, model, prism, released, upright,
};
use crate::support::{assert_close, assert_within};
use trimwright::boat::{Boat, Part};
use trimwright::float::{FloatModel, Stiffness};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};

/// A box of length, beam and depth, floating in sea water at a draught, with G over the keel.
fn ship([length, beam, depth]: [f64; 3], draught: f64, kg: f64) -> FloatModel {
    let mass = SEA_WATER * length * beam * draught;
    model(keeled_box([length, beam, depth]), mass, [0.0, 0.0, kg])
}

/// The beam of a box that has a metacentric radius at a draught: B² = 12 d BM.
fn beam_for(bm: f64, draught: f64) -> f64 {
    (12.0 * draught * bm).sqrt()
}

#[test]
fn a_box_has_the_wall_sided_righting_levers_of_the_textbooks() {
    // Source: Derrett & Barrass, *Ship Stability for Masters and Mates*, 5th ed., p. 130: 6000 t,
    // KB 3, KM 6, KG 5.5 m, at 25°: 0.34915 m and 2094.9 t·m (the book rounds to 0.35, 2100).
    let beam = beam_for(3.0, 6.0);
    let length = 6000e3 / (SEA_WATER * beam * 6.0);
    let gz = lever(&ship([length, beam, 12.0], 6.0, 5.5), SEA_WATER, 25.0);
    assert_within(gz, 0.34915, 0.5001e-5, "first box, GZ");
    assert_within(6000.0 * gz, 2094.9, 0.05, "first box, moment");
    // Source: the same page, 65 × 12 × 8 m, draught and KG 4 m: 3198 t; printed GM sin 5° is
    // 0.0872 m; closed form GZ = (GM + BM tan²φ / 2) sin φ: 0.088156 and 0.5604612 m.
    let second = ship([65.0, 12.0, 8.0], 4.0, 4.0);
    assert_close(second.mass(), 3198e3, 1e-12, "second box, displacement");
    let gm = upright(&second, SEA_WATER).across;
    assert_within(gm * 5.0_f64.to_radians().sin(), 0.0872, 0.5001e-4, "second box, GM sin 5°");
    assert_within(lever(&second, SEA_WATER, 5.0), 0.088156, 0.5001e-6, "second box at 5°");
    assert_within(lever(&second, SEA_WATER, 25.0), 0.5604612, 0.5001e-7, "second box at 25°");
    // Source: the same book, 6th ed., example 15.5, worked solution: 55 × 7.5 × 6 m, draught 4,
    // KG 2.7 m: 1691.25 t, small-angle moment at 6° 83.42 t·m, at 24° 404.498 t·m.
    let third = ship([55.0, 7.5, 6.0], 4.0, 2.7);
    let tonnes = third.mass() / 1e3;
    assert_close(tonnes, 1691.25, 1e-12, "third box, displacement");
    let gm = upright(&third, SEA_WATER).across;
    assert_close(gm, 0.471875, 1e-9, "third box, GM");
    assert_within(tonnes * gm * 6.0_f64.to_radians().sin(), 83.42, 0.005, "third box at 6°");
    assert_within(tonnes * lever(&third, SEA_WATER, 24.0), 404.498, 0.0005, "third box at 24°");
}

#[test]
fn a_box_follows_the_wall_sided_formula_while_only_its_walls_are_cut() {
    // Source: closed form GZ = (GM + BM tan²φ / 2) sin φ, up to tan φ = 2d/B and 2(D − d)/B.
    let box_boat = ship([65.0, 12.0, 8.0], 4.0, 4.0);
    for degrees in [-33.0, -20.0, 1.0, 10.0, 20.0, 30.0, 33.6] {
        let heel: f64 = f64::to_radians(degrees);
        let exact = (1.0 + 1.5 * heel.tan().powi(2)) * heel.sin().abs();
        let got = lever(&box_boat, SEA_WATER, degrees);
        assert_close(got, exact, 1e-9, &format!("GZ at {degrees} degrees"));
    }
    let heel = 36.0_f64.to_radians();
    let beyond = (1.0 + 1.5 * heel.tan().powi(2)) * heel.sin();
    assert!(lever(&box_boat, SEA_WATER, 36.0) < 0.999 * beyond, "the deck edge is under at 36°");
}

#[test]
fn a_box_has_its_least_metacentre_where_the_draught_equals_it() {
    // Source: Derrett & Barrass, 5th ed., p. 111: beam 10 m, least KM 4.08 m at a draught of
    // 4.08 m (4.0825 unrounded, B/√6), BM 2.38 m at 3.5 m.
    let least = 10.0 / 6.0_f64.sqrt();
    let km = |draught: f64| upright(&ship([60.0, 10.0, 8.0], draught, 3.0), SEA_WATER).across + 3.0;
    assert_within(km(least), 4.0825, 0.5001e-4, "least KM");
    assert_close(km(least), least, 1e-9, "KM is the draught there");
    for off in [-0.2, 0.2] {
        assert!(km(least + off) > km(least) + 1e-3, "KM is higher {off} m away");
    }
    assert_within(km(3.5) - 1.75, 2.381, 0.5001e-3, "BM at 3.5 m");
}

#[test]
fn a_box_is_unstable_between_two_draughts() {
    // Source: Reed's *Naval Architecture*, 4th ed., example 5.5: beam 7.2, KG 3 m; closed form,
    // the roots of d²/2 − 3d + 4.32: 2.4 and 3.6 m.
    for (draught, stable) in
        [(2.39, true), (2.41, false), (3.0, false), (3.59, false), (3.61, true)]
    {
        let gm = upright(&ship([40.0, 7.2, 5.0], draught, 3.0), SEA_WATER).across;
        assert_eq!(gm > 0.0, stable, "GM {gm} at a draught of {draught} m");
        let exact = draught / 2.0 + 7.2 * 7.2 / (12.0 * draught) - 3.0;
        assert_within(gm, exact, 1e-9, &format!("GM at a draught of {draught} m"));
    }
}

#[test]
fn boxes_and_a_triangular_prism_have_the_textbooks_metacentric_heights() {
    // Source: Derrett, *Ship Stability for Masters and Mates* (from memory, not seen; closed form
    // d/2 + B²/12d − KG): 24 × 5 × 5 m, draught 2, KG 1.5 m.
    let gm = upright(&ship([24.0, 5.0, 5.0], 2.0, 1.5), SEA_WATER).across;
    assert_close(gm, 1.0 + 25.0 / 24.0 - 1.5, 1e-9, "GM of the box");
    assert_within(gm, 0.54167, 0.5001e-5, "GM of the box as printed");
    // Source: the same (from memory, not seen; closed form 2d/3 + b²/6d − KG, b = 6.4): triangular,
    // 32 × 8 × 5 m, apex down, draught 4, KG 3.7 m.
    let mesh = prism(&[[0.0, 0.0], [4.0, 5.0], [-4.0, 5.0]], 32.0);
    let mass = SEA_WATER * 32.0 * 6.4 * 4.0 / 2.0;
    let gm = upright(&model(Solid::Mesh(mesh.into()), mass, [0.0, 0.0, 3.7]), SEA_WATER).across;
    assert_close(gm, 8.0 / 3.0 + 6.4 * 6.4 / 24.0 - 3.7, 1e-9, "GM of the prism");
    assert_within(gm, 0.67333, 0.5001e-5, "GM of the prism as printed");
}

#[test]
fn a_rectangular_log_needs_its_breadth() {
    // Source: closed form, upright stable when B/D > √(6 s (1 − s)): 1.224745 at 1/2, 0.979796
    // at 0.8.
    for (s, ratio) in [(0.5, 1.224745), (0.8, 0.979796)] {
        for (off, stable) in [(-1e-5, false), (1e-5, true)] {
            let log = homogeneous_box([8.0, ratio + off, 1.0], s);
            let gm = upright(&log, WATER).across;
            assert_eq!(gm > 0.0, stable, "GM {gm} of B/D {} at {s}", ratio + off);
        }
    }
}

#[test]
fn cargo_off_the_centre_line_lists_a_ship() {
    // Source: Derrett & Barrass, 5th ed., pp. 116–117: 8000 t, KG 7.6, KM 8.7 m; loads 250 t (KG
    // 6.1, 7.6 m to starboard) and 300 t (KG 0.6, 6.1 m to port), discharges 50 t (KG 1.2, 4.6 m to
    // port). Sums: 8500 t, KG 62 445 / 8500, moment 300 t·m, GM 1.35; list 1.494° for small angles.
    let (draught, bm) = (7.0, 8.7 - 3.5);
    let beam = beam_for(bm, draught);
    let hull = keeled_box([8500e3 / (SEA_WATER * beam * draught), beam, 14.0]);
    let at = |y: f64, z: f64| Position::new(0.0, y, z);
    let mut laden = boat(hull, 8000e3, [0.0, 0.0, 7.6]);
    laden.parts.push(Part::weight("to starboard", 250e3, at(-7.6, 6.1)));
    laden.parts.push(Part::weight("to port", 300e3, at(6.1, 0.6)));
    let laden = FloatModel::new(&laden, Fineness::WORK).expect("a good boat");
    let sailing = laden.with_weight(-50e3, at(4.6, 1.2)).expect("still a boat");
    assert_close(sailing.mass(), 8500e3, 1e-12, "displacement");
    let gravity = sailing.centre_of_gravity(nalgebra::Vector3::z_axis());
    assert_close(gravity.z(), 62_445.0 / 8500.0, 1e-12, "KG");
    assert_within(gravity.z(), 7.34647, 0.5001e-5, "KG as printed");
    assert_close(-gravity.y() * 8500.0, 300.0, 1e-9, "listing moment, t·m");
    assert_within(-gravity.y(), 0.035, 0.5001e-3, "GG1 as printed");
    let gm = upright(&sailing, SEA_WATER).across;
    assert_within(gm, 1.35, 0.005, "GM as printed");
    assert_within((300.0 / 8500.0 / gm).atan().to_degrees(), 1.494, 0.5001e-3, "small-angle list");
    // Source: closed form, wall-sided: GM t + BM t³ / 2 = y_G with t = tan φ.
    let slope = released(&sailing, SEA_WATER).pose.heel().tan();
    assert_close(gm * slope + bm / 2.0 * slope.powi(3), 300.0 / 8500.0, 1e-9, "list");
}

#[test]
fn a_ship_with_her_midships_flooded_sinks_deeper_and_loses_stiffness() {
    // Source: Derrett & Barrass, 5th ed., p. 206 (inputs): 150 × 24 × 12 m at 5 m with GM 0.9, an
    // empty compartment of 20 m amidships bilged. Closed form, lost buoyancy: draught 5.76923,
    // KB 2.88462, BM 8.32, GM 0.00462 m. The flooded space is no part: it displaces nothing.
    let mass = SEA_WATER * 150.0 * 24.0 * 5.0;
    let (kg, half) = (11.2, 65.0);
    let hull = |name: &str, x: f64| {
        let middle = Position::new(x, 0.0, 6.0);
        let solid = Solid::Box { size: [half, 24.0, 12.0], centre: middle };
        Part::solid(name, mass / 2.0, Position::new(x, 0.0, kg), solid)
    };
    let bilged = Boat { parts: vec![hull("fore", 42.5), hull("aft", -42.5)], ..Boat::default() };
    let got = released(&FloatModel::new(&bilged, Fineness::WORK).expect("a good boat"), SEA_WATER);
    let draught = -got.pose.height();
    assert_close(draught, 5.0 * 150.0 / 130.0, 1e-9, "draught");
    assert_within(draught, 5.769231, 0.5001e-6, "draught as printed");
    assert_within(got.centre_of_buoyancy.z(), 2.88462, 0.5001e-5, "KB");
    let bm = got.waterplane.central_second()[(1, 1)] / got.volume;
    assert_close(bm, 8.32, 1e-9, "BM");
    assert_close(got.stiffness.across, draught / 2.0 + 8.32 - kg, 1e-7, "GM");
    assert_within(got.stiffness.across, 0.0046154, 0.5001e-7, "GM as printed");
}

/// Source: closed form: a box 0.2 wide and 0.1 deep under a gable of 0.05, unit length; draught,
/// KB and BM to 1e-7 m.
const ROOFED: [(f64, f64, f64); 8] = [
    (0.08, 0.0400000, 0.0416667),
    (0.10, 0.0500000, 0.0333333),
    (0.11, 0.0545260, 0.0156575),
    (0.12, 0.0581609, 0.0062069),
    (0.125, 0.0596491, 0.0035088),
    (0.13, 0.0609091, 0.0017631),
    (0.14, 0.0626882, 0.0002151),
    (0.15, 0.0633333, 0.0),
];

/// The roofed box at a draught with its centre of gravity 0.063 m over the keel.
fn roofed_box(draught: f64) -> (FloatModel, Stiffness) {
    let section = [[-0.1, 0.0], [0.1, 0.0], [0.1, 0.1], [0.0, 0.15], [-0.1, 0.1]];
    let mesh = prism(&section, 1.0);
    let volume = mesh.below(nalgebra::Vector3::z_axis(), -draught).volume;
    let got = model(Solid::Mesh(mesh.into()), WATER * volume, [0.0, 0.0, 0.063]);
    let stiffness = upright(&got, WATER);
    (got, stiffness)
}

#[test]
fn a_box_under_a_roof_is_least_stable_just_before_it_dives() {
    for (draught, kb, bm) in ROOFED {
        let (floating, stiffness) = roofed_box(draught);
        let what = |name: &str| format!("{name} at a draught of {draught} m");
        // Two rounded numbers add.
        assert_within(stiffness.across + 0.063, kb + bm, 1.0001e-7, &what("KM"));
        if draught < 0.15 && stiffness.across > 0.0 {
            let got = released(&floating, WATER);
            assert_within(got.centre_of_buoyancy.z(), kb, 0.5001e-7, &what("KB"));
            assert_within(-got.pose.height(), draught, 1e-9, &what("draught"));
        }
    }
    // Stable at the surface and under water, and not in between.
    let gm = |draught: f64| roofed_box(draught).1.across;
    assert!(gm(0.10) > 0.0, "stable at the surface");
    assert!(gm(0.13) < 0.0, "unstable on the way down");
    assert!(gm(0.15) > 0.0, "stable under water");
    let heel = released(&roofed_box(0.13).0, WATER).pose.heel().to_degrees().abs();
    assert!(heel > 1.0, "the boat falls over by {heel} degrees on the way down");
}
