//! The way down against closed forms: slack tanks under water, the least stability on the way, loll
//! and list through a sweep.
//!
//! Where a test fills a tank to change the draught and nothing else, the tank is round, lies fore
//! and aft and has the centre of gravity on its axis: its liquid then acts as a weight on the axis
//! at every fill and heel (`published_tank.rs` tests that), so it has neither a free surface nor a
//! height to be reckoned with. Its circle has 4096 corners, which stand out by 2e-7 of its radius.

use crate::support::bodies::{WATER, inner_tank, keeled_box, prism, tanked};
use crate::support::{assert_close, assert_within};
use std::f64::consts::PI;
use trimwright::boat::{Boat, Bulkhead, BulkheadDirection, Part, Tank};
use trimwright::float::{
    Basin, FloatModel, Outcome, Sweep, SweepRow, Tolerance, hang, righting_lever_under, sweep,
};
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Solid};

const ROUND: Fineness = Fineness { around: 4096, along: 8 };
/// Length of the round tanks, metres.
const LENGTH: f64 = 0.98;
/// What their facets do to a metacentric height, metres: angle²/12 of a radius of at most 0.08 m.
const FACETS: f64 = 1.6e-8;

/// Bulkheads across a tank of a length, that keep the trim out of what is asked about the heel.
fn across(length: f64, n: u32) -> impl Iterator<Item = Bulkhead> {
    let at = move |k: u32| length * (f64::from(k) / f64::from(n + 1) - 0.5);
    (1..=n).map(move |k| Bulkhead { way: BulkheadDirection::Transverse, at: at(k) })
}

/// An empty round tank on the centre line at a height, that takes `capacity` kg of water.
fn neutral_tank(capacity: f64, height: f64) -> Tank {
    let diameter = 2.0 * (capacity / (WATER * PI * LENGTH)).sqrt();
    let centre = Position::new(0.0, 0.0, height);
    let cavity = Solid::Cylinder { axis: Axis::X, length: LENGTH, diameter, centre };
    Tank { bulkheads: across(LENGTH, 2).collect(), ..inner_tank(cavity, 0.0, WATER) }
}

fn down(boat: &Boat, n_rows: u32) -> Sweep {
    let model = FloatModel::new(boat, ROUND).expect("a good boat");
    sweep(&model, Basin::deep(WATER), &[0], n_rows, &Tolerance::FINE).expect("good water and tank")
}

// ------------------------------------------------------------------ slack tanks under water

/// A box of 25 litres that weighs 25 kg with its tank, half full and parted by `n` bulkheads
/// lengthwise and four across, at equal distances; wholly under, BG 0.02 m with the liquid frozen.
fn slack_and_under(n: u32, liquid_density: f64) -> FloatModel {
    let (length, breadth, height, middle) = (0.5, 0.15, 0.08, 0.05);
    let at = |k: u32| breadth * (f64::from(k) / f64::from(n + 1) - 0.5);
    let lengthwise = (1..=n).map(|k| Bulkhead { way: BulkheadDirection::Lengthwise, at: at(k) });
    let bulkheads = lengthwise.chain(across(length, 4)).collect();
    let centre = Position::new(0.0, 0.0, middle);
    let cavity = Solid::Box { size: [length, breadth, height], centre };
    let tank = Tank { bulkheads, ..inner_tank(cavity, 0.5, liquid_density) };
    let liquid = length * breadth * height / 2.0 * liquid_density;
    let dry = 25.0 - liquid;
    let z = (25.0 * (0.0625 - 0.02) - liquid * (middle - height / 4.0)) / dry;
    let boat = tanked(keeled_box([1.0, 0.2, 0.125]), dry, [0.0, 0.0, z], tank);
    FloatModel::new(&boat, Fineness::WORK).expect("a good boat")
}

#[test]
fn under_water_a_slack_tank_takes_its_free_surface_from_bg() {
    // Source: closed form, GM = BG − i ρ / m (n + 1)², i = l b³ / 12: without a waterplane M is B,
    // and the free surface counts as afloat (Derrett & Barrass, *Ship Stability for Masters and
    // Mates*, free surface chapter; the submarine: Arentzen & Mandel 1960, SNAME Trans. 68, of which
    // a summary was seen).
    for (n, density) in [(0, 1000.0), (1, 1000.0), (1, 1025.0), (2, 1000.0), (4, 850.0)] {
        let what = |name: &str| format!("{name}, {n} bulkheads, liquid of {density}");
        let model = slack_and_under(n, density);
        assert_close(model.mass(), 25.0, 1e-12, &what("mass"));
        let parts = f64::from((n + 1) * (n + 1));
        let across = 0.5 * 0.15_f64.powi(3) / 12.0 * density / 25.0 / parts;
        let along = 0.15 * 0.5_f64.powi(3) / 12.0 * density / 25.0 / 25.0;
        let basin = Basin::deep(WATER);
        let upright = sweep(&model, basin, &[], 2, &Tolerance::FINE).expect("good water");
        let got = upright.rows[0].upright;
        assert_within(got.across, 0.02 - across, 1e-10, &what("GM across"));
        assert_close(got.free_surface_across, across, 1e-9, &what("loss across"));
        assert_within(got.along, 0.02 - along, 1e-9, &what("GM along"));
        assert_close(got.free_surface_along, along, 1e-9, &what("loss along"));
    }
}

#[test]
fn under_water_the_lever_of_a_slack_tank_follows_its_walls() {
    // Source: closed form: GZ = BG sin φ − k (1 + tan²φ / 2) sin φ, k = i ρ / m (n + 1)², while the
    // liquid meets neither floor nor roof: 0.04 m of it, so tan φ < 0.08 / 0.15 (n + 1).
    for (n, degrees) in [(0, 5.0), (0, 25.0), (1, 5.0), (1, 40.0), (2, 55.0)] {
        let model = slack_and_under(n, WATER);
        let k = 0.5 * 0.15_f64.powi(3) / 12.0 * WATER / 25.0 / f64::from((n + 1) * (n + 1));
        let heel = f64::to_radians(degrees);
        let got = righting_lever_under(&model, Basin::deep(WATER), heel, &Tolerance::FINE);
        let lever = got.expect("good water").lever;
        let exact = (0.02 - k * (1.0 + heel.tan().powi(2) / 2.0)) * heel.sin();
        assert_within(lever, exact, 1e-9, &format!("lever at {degrees} degrees, {n} bulkheads"));
    }
}

#[test]
fn under_water_a_free_surface_larger_than_bg_lets_the_boat_fall_over() {
    // Source: the same closed form; k = 5.625 mm whole and a quarter of it parted.
    let lying = |n: u32, bg: f64| {
        let model = slack_and_under(n, WATER);
        let higher = Position::new(0.0, 0.0, 0.0625 - 0.02 + (0.02 - bg) * 25.0);
        // One kilogram from the middle to there lifts the centre of gravity by what BG should lose.
        let model = model
            .with_weight(-1.0, Position::new(0.0, 0.0, 0.0625 - 0.02))
            .and_then(|m| m.with_weight(1.0, higher))
            .expect("still a boat");
        hang(&model, Basin::deep(WATER), &Tolerance::FINE).expect("good water").pose.heel().abs()
    };
    assert!(lying(0, 0.0050) > 0.1, "BG 5 mm and a loss of 5.6");
    assert!(lying(1, 0.0050) < 1e-6, "BG 5 mm and a loss of 1.4");
}

// ------------------------------------------------------------------ lost waterplane

/// Source: closed form: a box 0.2 wide and 0.1 deep under a gable of 0.05, unit length; draught,
/// KM to 1e-7 m.
const ROOFED: [(f64, f64); 8] = [
    (0.08, 0.0816667),
    (0.10, 0.0833333),
    (0.11, 0.0701835),
    (0.12, 0.0643678),
    (0.125, 0.0631579),
    (0.13, 0.0626722),
    (0.14, 0.0629032),
    (0.15, 0.0633333),
];
const ROOFED_KG: f64 = 0.063;

/// Volume of the roofed box below a draught, and KM there, by its triangles and rectangles.
fn roofed(draught: f64) -> (f64, f64) {
    let deep = draught.min(0.1);
    let over = draught - deep;
    // Half-breadth at the surface; what is above the eaves is a rectangle and two triangles.
    let y = 0.1 - 2.0 * over;
    let (box_, middle, sides) = (0.2 * deep, 2.0 * y * over, (0.1 - y) * over);
    let volume = box_ + middle + sides;
    let moment = box_ * deep / 2.0 + middle * (0.1 + over / 2.0) + sides * (0.1 + over / 3.0);
    (volume, (moment + 2.0 * y.powi(3) / 3.0) / volume)
}

/// The roofed box at a draught of 0.08 m with a tank on the height of its centre of gravity that
/// takes it under, just.
fn roofed_boat() -> Boat {
    let section = [[-0.1, 0.0], [0.1, 0.0], [0.1, 0.1], [0.0, 0.15], [-0.1, 0.1]];
    let tank = neutral_tank(25.0 - 16.0, ROOFED_KG);
    let hull = Solid::Mesh(prism(&section, 1.0).into());
    tanked(hull, 16.0, [0.0, 0.0, ROOFED_KG], tank)
}

#[test]
fn the_roofed_box_has_the_tables_km_at_each_draught_it_is_filled_to() {
    let empty = FloatModel::new(&roofed_boat(), ROUND).expect("a good boat");
    for (draught, km) in ROOFED {
        let (volume, exact) = roofed(draught);
        assert_within(exact, km, 0.5001e-7, &format!("the table at {draught} m"));
        let fill = (WATER * volume - 16.0) / 9.0;
        let filled = empty.with_fill(0, fill.clamp(0.0, 1.0)).expect("a tank");
        assert_close(filled.mass(), WATER * volume, 1e-12, "mass");
        let basin = Basin::deep(WATER);
        let rows = sweep(&filled, basin, &[], 2, &Tolerance::FINE).expect("good water").rows;
        let got = rows[0].upright.across + ROOFED_KG;
        // To the printed digits, and what the facets of the tank do.
        assert_within(got, km, 0.5001e-7 + FACETS, &format!("KM at a draught of {draught} m"));
        if rows[0].upright.across > 0.0 && draught < 0.15 {
            assert_within(-rows[0].pose().height(), draught, 1e-8, "draught");
        }
    }
}

#[test]
fn a_boat_stable_at_the_surface_and_under_water_may_lean_between_for_want_of_waterplane() {
    // Source: surfaced, M must lie above G; under water, B must; both must hold in all conditions on
    // the way (a lecture chapter on submarine hydrostatics, seen in a transcription; Arentzen & Mandel
    // 1960, *Naval architectural aspects of submarine design*, SNAME Trans. 68, summary seen; Burcher
    // & Rydill, *Concepts in Submarine Design*, ch. 3–4, from memory, not seen). Figures: closed form.
    let way = down(&roofed_boat(), 101);
    let (first, last) = (&way.rows[0], &way.rows[100]);
    for row in &way.rows {
        let mass = 16.0 + 9.0 * row.fill;
        let draught = draught_for(mass / WATER);
        let gm = roofed(draught).1 - ROOFED_KG;
        let what = format!("at a draught of {draught} m");
        assert_within(row.upright.across, gm, 2.0 * FACETS, &format!("GM upright {what}"));
        let heel = row.pose().heel().to_degrees().abs();
        if gm > 1e-6 && draught < 0.12 {
            assert!(heel < 1e-6, "it stays upright {what}: {heel} degrees");
        }
        if gm < -1e-5 {
            assert!(heel > 1.0, "it leans {what}: {heel} degrees");
        }
        assert!(row.stiffness().least > -1e-9, "it is at rest {what}: {:?}", row.stiffness());
    }
    assert_within(first.pose().heel(), 0.0, 1e-9, "upright at the surface");
    assert!(matches!(last.outcome, Outcome::Neutral(_)), "it hangs: {:?}", last.outcome);
    assert_within(last.pose().heel(), 0.0, 1e-6, "upright under water");
    assert_within(last.upright.across, 0.0633333 - ROOFED_KG, 0.5001e-7, "BG");
    let worst = way.row_of_least(|row| row.upright.across).expect("101 rows");
    let draught = draught_for((16.0 + 9.0 * worst.fill) / WATER);
    // The bottom of the table's dip is flat: between its neighbours.
    assert!((0.13..0.14).contains(&draught), "the least GM is at {draught} m");
    assert!(worst.upright.across < 0.0626722 - ROOFED_KG, "less than at 0.13 m");
}

/// The draught at which the roofed box displaces a volume, by halving.
fn draught_for(volume: f64) -> f64 {
    let halve = |(low, high): (f64, f64), _| {
        let middle = f64::midpoint(low, high);
        if roofed(middle).0 < volume { (middle, high) } else { (low, middle) }
    };
    (0..60).fold((0.0, 0.15), halve).0
}

// ------------------------------------------------------------------ loll and list

/// A box 1 × 0.2 × 0.2 m with its centre of gravity at a height over the keel and to starboard by a
/// moment (kg m), and a round tank that takes it from one draught to another.
fn filling_box(kg: f64, moment: f64, [from, to]: [f64; 2]) -> Boat {
    let area = WATER * 0.2;
    let tank = neutral_tank(area * (to - from), kg);
    let mut boat = tanked(keeled_box([1.0, 0.2, 0.2]), area * from, [0.0, 0.0, kg], tank);
    // A pair of weights without mass together: one moved off the middle.
    boat.parts[0].mass -= 0.1;
    let place = Position::new(0.0, -moment / 0.1, kg);
    boat.parts.push(Part::weight("moved", 0.1, place));
    boat
}

/// Draught, GM upright and BM of the box in a row.
fn of_box(row: &SweepRow, kg: f64, [from, to]: [f64; 2]) -> (f64, f64, f64) {
    let draught = from + (to - from) * row.fill;
    let bm = 0.04 / 12.0 / draught;
    (draught, draught / 2.0 + bm - kg, bm)
}

#[test]
fn a_box_that_fills_lolls_to_the_closed_forms_angle_and_comes_back() {
    // Source: closed form, tan²φ = −2 GM / BM while GM < 0, GM there −2 GM / cos φ; at a draught of
    // 0.1 m: KG 0.09, GM −1/150, φ 32.3115°, GM there 0.015776 m. Unstable between the draughts
    // 0.09 ± √(0.0081 − 0.04 / 6) = 0.05214 and 0.12786 m, the roots of d²/2 − 0.09 d + 0.04 / 12.
    let range = [0.05, 0.135];
    let way = down(&filling_box(0.09, 0.0, range), 86);
    let mut leaning = Vec::new();
    for row in &way.rows {
        let (draught, gm, bm) = of_box(row, 0.09, range);
        let what = |name: &str| format!("{name} at a draught of {draught} m");
        assert_within(row.upright.across, gm, FACETS, &what("GM upright"));
        let tan = row.pose().heel().tan();
        let exact = (-2.0 * gm / bm).max(0.0);
        assert_within(tan * tan, exact, 2.0 * FACETS / bm + 1e-9, &what("square of the slope"));
        if exact > 0.0 {
            leaning.push(draught);
            let there = -2.0 * gm / row.pose().heel().cos();
            assert_within(row.stiffness().across, there, 4.0 * FACETS, &what("GM at the loll"));
        }
    }
    let (first, last) = (leaning.first().expect("a loll"), leaning.last().expect("a loll"));
    let off = (0.0081_f64 - 0.04 / 6.0).sqrt();
    assert!((first - (0.09 - off)).abs() < 1e-3, "it begins at {first} m");
    assert!((last - (0.09 + off)).abs() < 1e-3, "it ends at {last} m");
    let printed = &way.rows[50];
    assert_within(of_box(printed, 0.09, range).0, 0.1, 1e-12, "draught");
    assert_within(printed.pose().heel().to_degrees().abs(), 32.3115, 0.5001e-4, "loll as printed");
    assert_within(printed.stiffness().across, 0.015776, 0.5001e-6, "GM there as printed");
}

#[test]
fn a_small_offset_is_a_large_list_where_the_metacentric_height_is_none() {
    // Source: closed form, wall-sided: GM t + BM t³ / 2 = w d / Δ, t = tan φ; where GM is zero
    // tan φ = (2 w d / (Δ BM))^⅓ (Derrett, *Ship Stability for Masters and Mates*, "List with zero
    // metacentric height"). KG 1/12 m: GM is zero at the draughts 1/15 and 0.1 m, and below zero between.
    let (kg, moment, range) = (1.0 / 12.0, 1e-3, [0.05, 0.15]);
    let way = down(&filling_box(kg, moment, range), 31);
    for row in &way.rows {
        let (draught, gm, bm) = of_box(row, kg, range);
        let arm = moment / (WATER * 0.2 * draught);
        let over = |t: f64| gm * t + bm / 2.0 * t.powi(3) > arm;
        let halve = |(low, high): (f64, f64), _| {
            let middle = f64::midpoint(low, high);
            if over(middle) { (low, middle) } else { (middle, high) }
        };
        let exact: f64 = (0..60).fold((0.0, 1.0), halve).0;
        let what = format!("slope at a draught of {draught} m");
        // The facets' height times the slope, over the stiffness there.
        let stiff = gm + 1.5 * bm * exact * exact;
        assert_within(row.pose().heel().tan(), exact, FACETS * exact / stiff + 1e-9, &what);
    }
    let none = &way.rows[15];
    let (draught, gm, bm) = of_box(none, kg, range);
    assert_within(draught, 0.1, 1e-12, "draught");
    assert_within(gm, 0.0, 1e-12, "GM");
    let exact = (2.0 * moment / (20.0 * bm)).cbrt().atan();
    let list = none.pose().heel();
    assert_within(list, exact, 1e-6, "list without GM");
    // The same offset with a GM of 14 mm, where the boat is deepest.
    let deep = way.rows[30].pose().heel();
    assert!(list > 5.0 * deep, "{list} where there is none, {deep} where there is");
}
