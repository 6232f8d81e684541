//! The ledger's file and what follows from it: parts by material, large meshes kept apart, what the
//! tanks must take, hollow and coated parts afloat.

mod support;

use serde_json::{Value, json};
use std::f64::consts::PI;
use support::{assert_close, assert_within};
use trimwright::ballast::{Outlook, half_full_gm, outlook};
use trimwright::boat::{Boat, Housing, Mark, Part, Tank};
use trimwright::diary::{
    BoatRecord, Diary, KeptMeshes, SolidRecord, kept_names, mesh_from_bytes, mesh_to_bytes, read,
    read_kept, write, write_kept,
};
use trimwright::float::{Basin, FloatModel};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, MeshError, Solid};

/// Fresh water of about 20 °C, round for the closed forms.
const WATER: f64 = 998.0;

/// Flat-faced bodies against a closed form, relative.
const EXACT: f64 = 1e-9;

/// Round solids of 48 corners: their corners stand out by angle²/12.
const FACETS_48: f64 = (PI / 24.0) * (PI / 24.0) / 12.0;

/// A file of version 2 as it was when version 2 was new; it must open for ever.
const VERSION_2: &str = include_str!("data/diary_v2.json");

fn kept() -> Diary {
    read(VERSION_2).expect("a file of version 2")
}

fn boat_of(diary: &Diary) -> &BoatRecord {
    diary.boat("coot").expect("its boat")
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

#[test]
fn the_file_kept_from_version_2_still_opens() {
    let diary = kept();
    let boat = boat_of(&diary).boat().expect("a boat that can be made");
    let named = |name: &str| boat.parts.iter().find(|p| p.name == name).expect("its part");
    // Closed form: volume of the wall, 1 mm inward of a box of 400 × 90 × 60 mm, times 1050.
    let wall = 0.4 * 0.09 * 0.06 - 0.398 * 0.088 * 0.058;
    assert_close(named("casing").mass, wall * 1050.0, EXACT, "casing by its wall");
    assert_close(named("battery").mass, 0.31, EXACT, "battery as weighed");
    // Closed form: a bar of lead, 11 340 kg/m³, with 0.1 mm of paint of 1300 kg/m³ all over.
    let bar = 0.3 * 0.012 * 0.01;
    let area = 2.0 * (0.3 * 0.012 + 0.3 * 0.01 + 0.012 * 0.01);
    assert_close(
        named("keel bar").mass,
        bar * 11340.0 + area * 0.0001 * 1300.0,
        EXACT,
        "painted bar",
    );
    let tank = boat.tanks.first().expect("its tank");
    assert_eq!(tank.bulkheads.len(), 1, "a bulkhead");
    assert_eq!(tank.range, Some([0.02, 0.97]), "its range");
    assert_eq!(boat_of(&diary).length_m, Some(0.41), "its length over all");
    assert_eq!(diary.materials.len(), 1, "a material of its owner's");
}

#[test]
fn what_version_2_holds_is_written_again_without_loss() {
    let before: Value = serde_json::from_str(VERSION_2).expect("JSON");
    let after: Value = serde_json::from_str(&write(&kept())).expect("JSON");
    for at in [
        "/boats/0/parts/0/wall/inside",
        "/boats/0/parts/0/wall/made_by",
        "/boats/0/parts/0/material/name",
        "/boats/0/parts/2/coat/thickness_m",
        "/boats/0/tanks/0/bulkheads/0/way",
        "/boats/0/tanks/0/vent_m",
        "/materials/0/name",
    ] {
        let (before, after) = (before.pointer(at), after.pointer(at));
        assert!(before.is_some(), "{at} is in the sample");
        assert_eq!(after, before, "{at}");
    }
}

#[test]
fn a_part_of_no_mass_and_no_material_is_refused_with_its_name() {
    let mut file: Value = serde_json::from_str(VERSION_2).expect("JSON");
    file["boats"][0]["parts"][0].as_object_mut().expect("a part").remove("material");
    let refused = read(&file.to_string()).expect_err("a casing of nothing").to_string();
    assert!(refused.contains("casing") && refused.contains("weighs"), "{refused}");
}

/// A diary with a boat whose hull is a mesh of many triangles.
fn with_a_mesh() -> Diary {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::ORIGIN };
    let mesh = ball.mesh(Fineness { around: 96, along: 48 }).expect("a sphere");
    let hull = Part::solid("ball", 2.0, Position::ORIGIN, Solid::Mesh(mesh));
    let boat = Boat { name: "ball".to_owned(), parts: vec![hull], ..Boat::default() };
    Diary { boats: vec![BoatRecord::ledger("ball", &boat)], ..Diary::default() }
}

#[test]
fn large_meshes_are_kept_apart_and_come_back() {
    let diary = with_a_mesh();
    let (text, meshes) = write_kept(&diary);
    assert_eq!(meshes.len(), 1, "one mesh apart");
    assert!(text.len() < 2000, "the text without it has {} letters", text.len());
    let names: Vec<String> = meshes.keys().cloned().collect();
    assert_eq!(kept_names(&text), names, "the text asks for it");
    assert!(kept_names(&write(&diary)).is_empty(), "a file has all in it");
    let again = read_kept(&text, &meshes).expect("what was kept");
    assert_eq!(again, diary, "text and mesh together");
    let (same, _) = write_kept(&again);
    assert_eq!(same, text, "kept again under the same name");
}

#[test]
fn a_mesh_that_is_gone_leaves_the_rest() {
    let (text, _) = write_kept(&with_a_mesh());
    let diary = read_kept(&text, &KeptMeshes::new()).expect("the text alone");
    let part = diary.boats[0].parts.first().expect("its part");
    assert!(matches!(part.solid, Some(SolidRecord::KeptMesh { .. })), "{:?}", part.solid);
    assert_eq!(part.entry().expect_err("without its mesh"), MeshError::NotHere, "the reason");
    assert!(diary.boats[0].boat().is_err(), "the boat cannot be made");
    let (kept_on, _) = write_kept(&diary);
    assert_eq!(kept_on, text, "and its name is not forgotten");
}

#[test]
fn bytes_of_a_mesh_come_back_and_others_are_refused() {
    let ball = Solid::Sphere { diameter: 0.2, centre: Position::new(0.1, 0.0, -0.2) };
    let mesh = ball.mesh(Fineness::WORK).expect("a sphere");
    let bytes = mesh_to_bytes(&mesh);
    let again = mesh_from_bytes(&bytes).expect("what was written");
    assert!(again.vertices() == mesh.vertices(), "the same corners");
    assert!(again.faces() == mesh.faces(), "the same triangles");
    for cut in [0, 7, 8, 23, 24, 100, bytes.len() / 2, bytes.len() - 1] {
        assert!(mesh_from_bytes(&bytes[..cut]).is_err(), "cut at {cut}");
    }
    let mut wild = bytes.clone();
    wild[8..16].copy_from_slice(&u64::MAX.to_le_bytes());
    assert!(mesh_from_bytes(&wild).is_err(), "a count beyond everything");
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

/// Closed form: what is displaced at the marks, less what the boat weighs; its place from moments.
#[test]
fn the_weight_that_brings_a_boat_to_its_marks_is_told_with_its_place() {
    let (mut boat, _) = barge(0.018, None);
    boat.parts[0].mass = 20.0;
    boat.parts[0].centre = Position::new(0.05, -0.01, 0.05);
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good barge");
    let basin = Basin::deep(WATER);
    let ahead = outlook(&model, basin, None, &boat.marks).expect("good water");
    let missing = ahead.to_marks.expect("it has marks");
    let mass = WATER * 0.2 * 0.12 - 20.0;
    assert_close(missing.mass, mass, EXACT, "mass");
    let [x, y] = missing.at.expect("within the boat");
    assert_close(x, -20.0 * 0.05 / mass, EXACT, "along");
    assert_close(y, 20.0 * 0.01 / mass, EXACT, "across");
    let mended = model.with_weight(mass, Position::new(x, y, 0.05)).expect("a boat");
    let after = outlook(&mended, basin, None, &boat.marks).expect("good water").afloat;
    let worst = after.worst_mark().expect("it has marks").above;
    assert_within(worst, 0.0, 1e-7, "at its marks with that weight");
    boat.parts[0].mass = 23.9;
    let model = FloatModel::new(&boat, Fineness::WORK).expect("a good barge");
    let near = outlook(&model, basin, None, &boat.marks).expect("good water").to_marks;
    assert_eq!(near.expect("it has marks").at, None, "a few grams cannot trim it from within");
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
