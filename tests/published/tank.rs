//! Slack tanks and the way down: free surface, loll, and metacentric height while a tank fills.

use crate::support::bodies::{
    SEA_WATER, WATER, boat, inner_tank, keeled_box, lever, model, released, tanked, upright,
};
use crate::support::{assert_close, assert_within};
use std::f64::consts::PI;
use trimwright::boat::{Bulkhead, BulkheadDirection, Tank};
use trimwright::float::{Basin, FloatModel, Outcome, Tolerance, release, sweep};
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Solid};

#[test]
fn a_slack_tank_takes_its_free_surface_from_the_metacentric_height() {
    // Source: Derrett & Barrass, *Ship Stability for Masters and Mates*, 5th ed., p. 195 (inputs):
    // 8153.75 t, KM 8, KG 7.5 m; a double-bottom tank 15 × 10 × 2 m, full of sea water, is pumped
    // to half. Closed form: 153.75 t out, KG 7.6153125, loss i/∇ 0.16015625, GM 0.22453125 m.
    let draught: f64 = 6.0;
    let beam = (12.0 * draught * (8.0 - draught / 2.0)).sqrt();
    let hull = keeled_box([8000e3 / (SEA_WATER * beam * draught), beam, 12.0]);
    let tank = inner_tank(keeled_box([15.0, 10.0, 2.0]), 1.0, SEA_WATER);
    let liquid = 15.0 * 10.0 * 2.0 * SEA_WATER;
    let light = 8153.75e3 - liquid;
    let kg = (8153.75e3 * 7.5 - liquid * 1.0) / light;
    let full = FloatModel::new(&tanked(hull, light, [0.0, 0.0, kg], tank), Fineness::WORK)
        .expect("a good boat");
    assert_close(full.mass(), 8153.75e3, 1e-12, "displacement before");
    assert_within(upright(&full, SEA_WATER).free_surface_across, 0.0, 1e-15, "none when full");
    let half = full.with_fill(0, 0.5).expect("a tank");
    assert_close(half.mass(), 8000e3, 1e-12, "displacement after");
    let gravity = half.centre_of_gravity(nalgebra::Vector3::z_axis());
    assert_close(gravity.z(), 7.6153125, 1e-10, "KG, liquid frozen");
    let got = upright(&half, SEA_WATER);
    assert_close(got.free_surface_across, 0.16015625, 1e-9, "loss");
    assert_close(got.across, 0.22453125, 1e-8, "GM");
}

/// A box that draws 0.1 m at 20 kg with GM 0.002 m, its tank 6 cm deep with liquid.
fn box_with_slack_tank(breadths: u32) -> FloatModel {
    let (length, breadth, room) = (0.5, 0.15, 0.12);
    let tank = |k: u32| {
        let one = breadth / f64::from(breadths);
        let y = one * (f64::from(k) + 0.5) - breadth / 2.0;
        let centre = Position::new(0.0, y, 0.01 + room / 2.0);
        inner_tank(Solid::Box { size: [length, one, room], centre }, 0.5, WATER)
    };
    let liquid = length * breadth * 0.06 * WATER;
    let kg = 0.05 + 0.1 / 3.0 - 0.002;
    let dry = 20.0 - liquid;
    let z = (20.0 * kg - liquid * 0.04) / dry;
    let mut hull = boat(keeled_box([1.0, 0.2, 0.2]), dry, [0.0, 0.0, z]);
    hull.tanks = (0..breadths).map(tank).collect();
    FloatModel::new(&hull, Fineness::WORK).expect("a good boat")
}

#[test]
fn a_slack_tank_lolls_a_box_that_frozen_liquid_would_not() {
    // Source: closed form, tan²φ = −2 (GM − i/V) / (BM − i/V): the tank's own wall-sided formula.
    // Box 1 × 0.2 m, draught 0.1, GM frozen 0.002; tank 0.5 × 0.15 m, 0.06 m full: 31.738°.
    let floating = box_with_slack_tank(1);
    assert_close(floating.mass(), 20.0, 1e-12, "mass");
    let (gm, bm, loss) = (0.002, 0.1 / 3.0, 0.5 * 0.15_f64.powi(3) / 12.0 / 0.02);
    assert_close(upright(&floating, WATER).across, gm - loss, 1e-9, "GM upright");
    let exact = (-2.0 * (gm - loss) / (bm - loss)).sqrt().atan();
    let heel = released(&floating, WATER).pose.heel().abs();
    assert_close(heel, exact, 1e-8, "loll");
    assert_within(heel.to_degrees(), 31.738, 0.5001e-3, "loll as printed");
}

#[test]
fn cutting_a_tank_lengthwise_into_n_divides_its_free_surface_by_n_squared() {
    // Source: closed form, i = l b³ / 12 n² (Derrett & Barrass, free surface chapter).
    let loss = |n: u32| upright(&box_with_slack_tank(n), WATER).free_surface_across;
    for n in [2, 3, 5] {
        assert_close(loss(n), loss(1) / f64::from(n * n), 1e-9, &format!("{n} breadths"));
    }
}

/// A box 1 × 0.2 m of 20 kg with a tank 0.5 × 0.15 × 0.12 m in it, half full and parted.
fn box_with_bulkheads(bulkheads: Vec<Bulkhead>) -> FloatModel {
    let centre = Position::new(0.05, 0.01, 0.07);
    let cavity = Solid::Box { size: [0.5, 0.15, 0.12], centre };
    let tank = Tank { bulkheads, ..inner_tank(cavity, 0.5, SEA_WATER) };
    let liquid = 0.5 * 0.15 * 0.06 * SEA_WATER;
    // The rest is where it brings the whole back to the middle, so that the box floats level.
    let (dry, back) = (20.0 - liquid, -liquid / (20.0 - liquid));
    let boat = tanked(keeled_box([1.0, 0.2, 0.2]), dry, [0.05 * back, 0.01 * back, 0.03], tank);
    FloatModel::new(&boat, Fineness::WORK).expect("a good boat")
}

/// The losses across and along with `n` bulkheads at equal distances over a length.
fn losses(way: BulkheadDirection, n: u32, [from, to]: [f64; 2]) -> [f64; 2] {
    let at = |k: u32| from + (to - from) * f64::from(k) / f64::from(n + 1);
    let model = box_with_bulkheads((1..=n).map(|k| Bulkhead { way, at: at(k) }).collect());
    assert_close(model.mass(), 20.0, 1e-12, "all compartments are filled");
    let got = upright(&model, WATER);
    [got.free_surface_across, got.free_surface_along]
}

#[test]
fn n_bulkheads_at_equal_distances_divide_the_loss_by_the_square_of_n_plus_one() {
    // Source: closed form, loss = i ρ / (Δ (n + 1)²), i = l b³ / 12 of the whole tank (Derrett &
    // Barrass, *Ship Stability for Masters and Mates*, free surface chapter); the other way round
    // the loss stays. Tank 0.5 × 0.15 m with its middle at (0.05, 0.01), displacement 20 kg.
    let share = SEA_WATER / 20.0 / 12.0;
    let (across, along) = (0.5 * 0.15_f64.powi(3) * share, 0.15 * 0.5_f64.powi(3) * share);
    for n in [0, 1, 2, 3, 5] {
        let parts = f64::from((n + 1) * (n + 1));
        let [got, other] = losses(BulkheadDirection::Lengthwise, n, [-0.065, 0.085]);
        assert_close(got, across / parts, 1e-9, &format!("across, {n} lengthwise"));
        assert_close(other, along, 1e-9, &format!("along, {n} lengthwise"));
        let [other, got] = losses(BulkheadDirection::Transverse, n, [-0.2, 0.3]);
        assert_close(got, along / parts, 1e-9, &format!("along, {n} transverse"));
        assert_close(other, across, 1e-9, &format!("across, {n} transverse"));
    }
}

#[test]
fn a_bulkhead_lolls_a_box_less() {
    // Source: closed form, tan²φ = −2 (GM − i/V) / (BM − i/V), where i/V is that of two halves.
    let centre = Position::new(0.0, 0.0, 0.07);
    let cavity = Solid::Box { size: [0.5, 0.15, 0.12], centre };
    let bulkheads = vec![Bulkhead { way: BulkheadDirection::Lengthwise, at: 0.0 }];
    let tank = Tank { bulkheads, ..inner_tank(cavity, 0.0, WATER) };
    let (gm, bm, loss) = (0.001, 0.1 / 3.0, 0.5 * 0.15_f64.powi(3) / 12.0 / 0.02 / 4.0);
    let liquid = 0.5 * 0.15 * 0.06 * WATER;
    let dry = 20.0 - liquid;
    let z = (20.0 * (0.05 + bm - gm) - liquid * 0.04) / dry;
    let empty = tanked(keeled_box([1.0, 0.2, 0.2]), dry, [0.0, 0.0, z], tank);
    let empty = FloatModel::new(&empty, Fineness::WORK).expect("a good boat");
    let half = empty.with_fill(0, 0.5).expect("a tank");
    assert_close(half.mass(), 20.0, 1e-12, "both halves are filled");
    assert!(empty.with_fill(1, 0.5).is_err(), "two compartments are one tank");
    let exact = (-2.0 * (gm - loss) / (bm - loss)).sqrt().atan();
    assert_close(released(&half, WATER).pose.heel().abs(), exact, 1e-8, "loll");
}

/// Rings of 480 corners: 0.75° a side, so every 15° of heel finds the ring as it was upright.
const RING: Fineness = Fineness { around: 480, along: 8 };

/// A box with 2 kg off its centre line, and a round tank fore and aft or the same liquid as a
/// weight on the tank's axis.
fn round_tank(fill: f64, lumped: bool) -> FloatModel {
    let axis = [0.0, 0.03, 0.07];
    let [x, y, z] = axis;
    let (length, diameter) = (0.4, 0.08);
    let cavity =
        Solid::Cylinder { axis: Axis::X, length, diameter, centre: Position::new(x, y, z) };
    let liquid = fill * PI / 4.0 * diameter * diameter * length * WATER;
    let hull = keeled_box([1.0, 0.2, 0.25]);
    let tank = inner_tank(cavity, fill, WATER);
    let dry = tanked(hull, 18.0, [0.0, 0.003, 0.06], tank);
    let filled = FloatModel::new(&dry, RING).expect("a good boat");
    if lumped {
        let empty = filled.with_fill(0, 0.0).expect("a tank");
        empty.with_weight(liquid, Position::new(x, y, z)).expect("a boat")
    } else {
        filled
    }
}

#[test]
fn liquid_in_a_round_tank_acts_as_a_weight_on_its_axis() {
    // Source: closed form: the liquid's centre hangs straight below the axis at every heel.
    for fill in [0.1, 0.35, 0.5, 0.8] {
        let (wet, lump) = (round_tank(fill, false), round_tank(fill, true));
        assert_close(wet.mass(), lump.mass(), 1e-12, "mass");
        for degrees in [0.0, 15.0, 30.0, 45.0, 60.0, -30.0] {
            let what = format!("lever at fill {fill} and {degrees} degrees");
            let (a, b) = (lever(&wet, WATER, degrees), lever(&lump, WATER, degrees));
            assert_within(a, b, 1e-12, &what);
        }
        // Between the corners' own angles the polygon is seen: 0.08 m × 0.75°³ or so.
        for degrees in [3.3, 20.2, 51.1] {
            let what = format!("lever at fill {fill} and {degrees} degrees");
            let (a, b) = (lever(&wet, WATER, degrees), lever(&lump, WATER, degrees));
            assert_within(a, b, 1e-7, &what);
        }
        let (a, b) = (released(&wet, WATER), released(&lump, WATER));
        assert!(a.pose.heel().abs() > 0.01, "the boat lists");
        assert_within(a.pose.heel(), b.pose.heel(), 1e-5, &format!("list at fill {fill}"));
        let (a, b) = (a.stiffness, b.stiffness);
        assert_within(a.across, b.across, 1e-5, &format!("GM at fill {fill}"));
        assert!(a.free_surface_across > 1e-4, "there is a free surface to be made up for");
    }
}

#[test]
fn liquid_in_a_spherical_tank_acts_as_a_weight_at_its_middle() {
    // Source: closed form, the same in every direction.
    let middle = Position::new(0.1, -0.02, 0.06);
    let tank = Solid::Sphere { diameter: 0.1, centre: middle };
    let hull = || keeled_box([1.0, 0.2, 0.25]);
    let liquid = 0.4 * PI / 6.0 * 1e-3 * WATER;
    let wet = tanked(hull(), 18.0, [0.0, 0.0, 0.06], inner_tank(tank, 0.4, WATER));
    let wet = FloatModel::new(&wet, Fineness::FINE).expect("a good boat");
    let lump = model(hull(), 18.0, [0.0, 0.0, 0.06]).with_weight(liquid, middle).expect("a boat");
    let (a, b) = (released(&wet, WATER), released(&lump, WATER));
    assert!(a.pose.heel().abs() > 1e-3 && a.pose.trim().abs() > 1e-3, "it lists and trims");
    assert_within(a.pose.heel(), b.pose.heel(), 1e-6, "list");
    assert_within(a.pose.trim(), b.pose.trim(), 1e-6, "trim");
}

/// Source: closed form, hull round so M is on its axis: GM = −z − i/V, z that of G; R 0.05, L 0.6 m,
/// 4.2 kg at −0.012 m; tank 0.12 × 0.07 m, floor at −0.030 m; water 998.2068 kg/m³. Depth of
/// liquid m, mass kg to 1e-4, GM mm to 1e-4.
const DIVE: [(f64, f64, f64); 8] = [
    (0.0, 4.2000, 12.0000),
    (1e-9, 4.2000, 11.1848),
    (0.010, 4.2838, 11.4552),
    (0.020, 4.3677, 11.5233),
    (0.030, 4.4515, 11.4004),
    (0.040, 4.5354, 11.0972),
    (0.050, 4.6192, 10.6235),
    (0.060_100_5, 4.7039, 10.7090),
];
const DIVE_WATER: f64 = 998.2068;

/// The boat of that table with an empty tank that just makes it neutral, and the tank's height.
fn diver() -> (FloatModel, f64) {
    let hull =
        Solid::Cylinder { axis: Axis::X, length: 0.6, diameter: 0.1, centre: Position::ORIGIN };
    let height = (PI * 0.0025 * 0.6 - 4.2 / DIVE_WATER) / (0.12 * 0.07);
    let middle = Position::new(0.0, 0.0, -0.030 + height / 2.0);
    let cavity = Solid::Box { size: [0.12, 0.07, height], centre: middle };
    let tank = inner_tank(cavity, 0.0, DIVE_WATER);
    let fineness = Fineness { around: 4096, along: 8 };
    let model = FloatModel::new(&tanked(hull, 4.2, [0.0, 0.0, -0.012], tank), fineness);
    (model.expect("a good boat"), height)
}

#[test]
fn a_round_hull_diving_has_the_tables_metacentric_heights() {
    let (dry, height) = diver();
    assert_within(height, 0.0601005, 0.5001e-7, "height of the tank");
    for (depth, mass, gm) in DIVE {
        let fill = if depth > 0.06 { 1.0 } else { depth / height };
        let filled = dry.with_fill(0, fill).expect("a tank");
        assert_within(filled.mass(), mass, 0.5001e-4, &format!("mass with {depth} m"));
        let got = upright(&filled, DIVE_WATER).across;
        assert_within(got * 1e3, gm, 0.5001e-4, &format!("GM in mm with {depth} m"));
    }
    let brimming = dry.with_fill(0, 1.0 - 1e-9).expect("a tank");
    assert_within(upright(&brimming, DIVE_WATER).across * 1e3, 9.9812, 0.5001e-4, "GM brimming");
    let full = dry.with_fill(0, 1.0).expect("a tank");
    assert_within(full.mass(), 4.703939, 0.5001e-6, "neutral mass");
    let outcome = release(&full, Basin::deep(DIVE_WATER), &Tolerance::FINE).expect("good water");
    assert!(matches!(outcome, Outcome::Neutral(_)), "it hangs in the water: {outcome:?}");
}

#[test]
fn the_sweep_gives_the_same_heights_as_single_fills() {
    let (dry, height) = diver();
    let basin = Basin::deep(DIVE_WATER);
    let got = sweep(&dry, basin, &[0], 7, &Tolerance::FINE).expect("good water and tank");
    assert_eq!(got.rows.len(), 7, "seven rows");
    for row in &got.rows {
        let depth = row.fill * height;
        let liquid = 0.12 * 0.07 * depth * DIVE_WATER;
        let mass = 4.2 + liquid;
        // Source: closed form, GM = −z_G − i/V with i = 0.12 · 0.07³ / 12.
        let gravity = (4.2 * -0.012 + liquid * (-0.030 + depth / 2.0)) / mass;
        let slack = row.fill > 0.0 && row.fill < 1.0;
        let loss = if slack { 0.01 * 0.07_f64.powi(3) * DIVE_WATER / mass } else { 0.0 };
        let what = format!("GM at fill {}", row.fill);
        assert_within(row.upright.across, -gravity - loss, 1e-7, &what);
        assert_within(row.stiffness().across, -gravity - loss, 1e-7, &what);
    }
}
