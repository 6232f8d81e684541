//! What follows from the ledger: parts that weigh something, what the tanks must take, hollow parts
//! afloat.

use crate::support::diary::VERSION_2;
use crate::support::{assert_close, assert_within};
use serde_json::{Value, json};
use std::f64::consts::PI;
use trimwright::ballast::{Outlook, half_full_gm, outlook};
use trimwright::boat::{Boat, Housing, Mark, Part, Tank};
use trimwright::diary::{BoatRecord, read};
use trimwright::float::{Basin, FloatModel};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Solid};

/// Fresh water of about 20 °C, round for the closed forms.
const WATER: f64 = 998.0;

/// Flat-faced bodies against a closed form, relative.
const EXACT: f64 = 1e-9;

/// Round solids of 48 corners: their corners stand out by angle²/12.
const FACETS_48: f64 = (PI / 24.0) * (PI / 24.0) / 12.0;

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[test]
fn a_part_of_no_mass_and_no_material_is_refused_with_its_name() {
    let mut file: Value = serde_json::from_str(VERSION_2).expect("JSON");
    file["boats"][0]["parts"][0].as_object_mut().expect("a part").remove("material");
    let refused = read(&file.to_string()).expect_err("a casing of nothing").to_string();
    assert!(refused.contains("casing") && refused.contains("material"), "{refused}");
}

/// A barge of 1 × 0.2 × 0.2 m of 24 kg with a box tank of `capacity` m³ inside, marks at 0.12 m.
fn barge(capacity: f64, range: Option<[f64; 2]>) -> (Boat, Outlook) {
    let hull = Solid::Box { size: [1.0, 0.2, 0.2], centre: Position::new(0.0, 0.0, 0.1) };
    let cavity =
        Solid::Box { size: [capacity / 0.02, 0.2, 0.1], centre: Position::new(0.0, 0.0, 0.06) };
    let tank = Tank { housing: Housing::InsideAPart, range, ..Tank::new("tank", cavity) };
    let mark = |x: f64| Mark { name: format!("at {x}"), at: Position::new(x, 0.0, 0.12) };
    let boat = Boat {
        parts: vec![Part::solid("hull", 24.0, Position::new(0.0, 0.0, 0.05), hull)],
        tanks: vec![tank],
        marks: vec![mark(-0.4), mark(0.4)],
        ..Boat::default()
    };
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good barge");
    let ahead = outlook(&model, Basin::deep(WATER), None, &boat.marks).expect("good water");
    (boat, ahead)
}

/// Closed form: a box of volume V above its design waterline needs that volume of water.
#[test]
fn the_tank_must_take_what_lies_above_the_design_waterline() {
    let (_, ahead) = barge(0.018, None);
    let need = ahead.tank;
    assert_close(
        need.from_waterline.expect("it has marks"),
        0.2 * 0.08,
        EXACT,
        "above the waterline",
    );
    assert_close(need.from_blown, 0.04 - 24.0 / WATER, EXACT, "as it floats");
    assert_close(need.has, 0.018, EXACT, "what it takes");
    assert_close(need.margin().expect("it needs some"), 0.018 / 0.016 - 1.0, EXACT, "the margin");
    let share = need.neutral_share().expect("it can be neutral");
    assert_close(share, (0.04 - 24.0 / WATER) / 0.018, EXACT, "the share for neutral");
    assert_within(ahead.under.hangs.residual, 0.0, 1e-9, "neutral at that share");
    assert_close(ahead.under.full_residual, 24.0 + 0.018 * WATER - 0.04 * WATER, EXACT, "full");
}

#[test]
fn a_tank_that_is_never_quite_blown_or_full_takes_less() {
    let (_, ahead) = barge(0.02, Some([0.05, 0.95]));
    assert_close(ahead.tank.has, 0.9 * 0.02, EXACT, "the usable range");
    let blown = 24.0 + 0.05 * 0.02 * WATER;
    assert_close(ahead.tank.from_blown, 0.04 - blown / WATER, EXACT, "with what stays in it");
    let afloat = ahead.afloat.outcome.afloat().expect("it floats");
    assert_close(afloat.mass, blown, EXACT, "afloat it carries what cannot be blown out");
}

#[test]
fn a_tank_that_is_too_small_is_told_by_how_much() {
    let (_, ahead) = barge(0.012, None);
    assert_close(
        ahead.tank.margin().expect("it needs some"),
        0.012 / 0.016 - 1.0,
        EXACT,
        "negative",
    );
    assert_eq!(ahead.tank.neutral_share(), None, "neutral at no fill");
    assert_close(ahead.under.share, 1.0, EXACT, "it hangs as near as it can");
    assert!(ahead.under.full_residual < -3.0, "light by {}", ahead.under.full_residual);
}

/// Closed form: GM = KB + B²/12d − KG of a box ship; with its weight on deck it is negative, and the
/// boat lolls, where its GM is positive again.
#[test]
fn a_top_heavy_boat_is_told_by_its_gm_held_upright() {
    let (mut boat, _) = barge(0.018, None);
    boat.parts[0].centre = Position::new(0.0, 0.0, 0.16);
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good barge");
    let ahead = outlook(&model, Basin::deep(WATER), None, &boat.marks).expect("good water");
    let draught = 24.0 / WATER / 0.2;
    let gm = draught / 2.0 + 0.2 * 0.2 / 12.0 / draught - 0.16;
    assert_close(ahead.upright_gm, gm, 1e-7, "GM held upright");
    assert!(gm < -0.03, "it is top-heavy: {gm}");
    let lies = ahead.afloat.outcome.afloat().expect("it floats");
    assert!(lies.pose.heel().abs() > 0.3, "it lolls: {}", lies.pose.heel());
    assert!(lies.stiffness.across > 0.0, "and is stable there: {}", lies.stiffness.across);
}

/// Closed form: GM = KB + B²/12d − KG − l b³/12 V of a box ship with a half-full box tank.
#[test]
fn a_half_full_tank_takes_its_free_surface_from_gm() {
    let (boat, _) = barge(0.018, None);
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good barge");
    let got = half_full_gm(&model, Basin::deep(WATER)).expect("good water");
    let liquid = 0.009 * WATER;
    let mass = 24.0 + liquid;
    let draught = mass / WATER / 0.2;
    // The tank's floor is at 0.01 m; half full the middle of its liquid is at 0.035 m.
    let kg = (24.0 * 0.05 + liquid * 0.035) / mass;
    let free_surface = 0.9 * 0.2_f64.powi(3) / 12.0 / (mass / WATER);
    let gm = draught / 2.0 + 0.04 / 12.0 / draught - kg - free_surface;
    assert_close(got, gm, 1e-7, "GM with the tank half full");
}

/// Closed form: a free-flooding tube of wall t displaces π (R² − r²) L whatever its attitude, and
/// weighs its density times that; so a tube of 900 kg/m³ floats with a tenth of its wall dry.
#[test]
fn a_flooded_tube_floats_on_its_wall() {
    let record: BoatRecord = serde_json::from_value(json!({
        "id": "tube", "name": "tube",
        "parts": [{
            "name": "tube",
            "solid": { "cylinder": { "axis": "upright", "length_m": 0.4, "diameter_m": 0.4,
                                     "centre_m": [0, 0, 0] } },
            "material": { "name": "polypropylene", "density_kg_m3": 900.0 },
            "wall": { "thickness_m": 0.01, "inside": "flooded" }
        }]
    }))
    .expect("a record");
    let boat = record.boat().expect("a tube");
    let model = FloatModel::new(&boat, Fineness::FINE).expect("a good tube");
    // Both ends are walls too: a drum.
    let wall = PI * (0.2_f64.powi(2) * 0.4 - 0.19_f64.powi(2) * 0.38);
    let got = model.total_volume();
    assert_close(got, wall, FACETS_48, "volume of the wall");
    let ahead = outlook(&model, Basin::deep(1000.0), None, &[]).expect("good water");
    let afloat = ahead.afloat.outcome.afloat().expect("it floats");
    assert_close(afloat.volume / got, 0.9, EXACT, "nine tenths of its wall are wet");
    let mass = number(&json!(model.mass()));
    assert_close(mass, got * 900.0, EXACT, "it weighs its wall");
}
