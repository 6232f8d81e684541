//! The diary's file: what is written comes back whole, what cannot be read is refused with a
//! reason, and an import never overwrites.

mod support;

use nalgebra::Vector3;
use proptest::prelude::*;
use serde_json::{Map, Value, json};
use support::{assert_close, assert_within, random_cases};
use trimwright::boat::{Boat, Housing, Mark, Medium, Part, Place, Status, Tank, demo_boat};
use trimwright::diary::{
    AboardRecord, BoatRecord, ConditionRecord, DatumRecord, Diary, DiaryError, Draft, FORMAT,
    MarkReading, Merged, QuickRecord, ReadingRecord, Settings, SolidRecord, VERSION, WaterDraft,
    WaterKind, read, write,
};
use trimwright::float::FloatModel;
use trimwright::frame::Position;
use trimwright::geometry::{Axis, Fineness, Mesh, Solid, Station};

/// Any number will do.
const SEED: u64 = 20_260_318;

fn cases(n: u32) -> ProptestConfig {
    random_cases(n, SEED)
}

fn quick_record() -> QuickRecord {
    serde_json::from_value(json!({
        "length_m": 1.1,
        "beam_m": 0.13,
        "depth_m": 0.14,
        "mass_kg": 6.2,
        "waterline_m": 0.1,
        "fullness": 0.75,
        "water_density_kg_m3": 998.2067,
    }))
    .expect("seven numbers")
}

fn reading_record(id: &str, boat: &str) -> ReadingRecord {
    let mark: MarkReading = serde_json::from_value(
        json!({ "name": "bow", "at_m": [0.36, 0.0, 0.106], "above_m": 0.004 }),
    )
    .expect("a mark");
    let phone: AboardRecord = serde_json::from_value(
        json!({ "name": "phone", "mass_kg": 0.2, "at_m": [0.1, 0.0, 0.15] }),
    )
    .expect("a weight");
    ReadingRecord {
        id: id.to_owned(),
        boat: boat.to_owned(),
        kept_at: "2026-05-09T10:31:00.000Z".to_owned(),
        condition: ConditionRecord::Afloat,
        water_density_kg_m3: 998.2067,
        water: "fresh water of 20 °C".to_owned(),
        marks: vec![mark],
        list_deg: Some(-1.3),
        trim_deg: None,
        residual_kg: None,
        fill: 0.0,
        aboard: vec![phone],
        advice: vec!["Put 84 g 212 mm forward of midship.".to_owned()],
        extra: Map::new(),
    }
}

/// A diary with a boat of each kind, two readings and something being typed.
fn diary() -> Diary {
    let demo = demo_boat().expect("fixed sizes");
    let under = ReadingRecord {
        condition: ConditionRecord::Under,
        residual_kg: Some(0.035),
        trim_deg: Some(0.7),
        list_deg: None,
        marks: Vec::new(),
        fill: 1.0,
        ..reading_record("reading-2", "quick")
    };
    Diary {
        boats: vec![
            BoatRecord { datum: DatumRecord::Bow, ..BoatRecord::ledger("dipper", &demo) },
            BoatRecord::quick("quick", "Six numbers, \"quoted\" and ünïcode", quick_record()),
        ],
        readings: vec![reading_record("reading-1", "dipper"), under],
        draft: Draft {
            boat: "dipper".to_owned(),
            marks: [("bow".to_owned(), "−3,5".to_owned())].into(),
            list: "1.2".to_owned(),
            list_to_port: true,
            phone_aboard: true,
            water: WaterDraft { kind: WaterKind::Sea, ..WaterDraft::default() },
            ..Draft::default()
        },
        settings: Settings { theme: "night".to_owned(), ..Settings::default() },
        ..Diary::default()
    }
}

/// One part of every shape, in every state, and every kind of tank and place.
fn boat_of_every_shape() -> Boat {
    let at = Position::new;
    let wedge = Mesh::closed(
        vec![Vector3::zeros(), Vector3::x(), Vector3::y(), Vector3::z()],
        vec![[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]],
    )
    .expect("a closed mesh");
    let stations = vec![Station { x: -0.2, radius: 0.01 }, Station { x: 0.3, radius: 0.05 }];
    let cylinder =
        |axis| Solid::Cylinder { axis, length: 0.4, diameter: 0.09, centre: at(0.1, -0.2, 0.3) };
    let solids = [
        Solid::Box { size: [0.1, 0.2, 0.3], centre: at(0.1, 0.2, 0.3) },
        cylinder(Axis::X),
        cylinder(Axis::Y),
        cylinder(Axis::Z),
        Solid::DomedCylinder { length: 0.5, diameter: 0.1, dome: 0.02, centre: at(0.0, 0.1, 0.0) },
        Solid::Sphere { diameter: 0.07, centre: at(-0.3, 0.0, 0.1) },
        Solid::Ellipsoid { size: [0.3, 0.2, 0.1], centre: at(0.0, 0.0, 0.1) },
        Solid::Frustum {
            length: 0.2,
            diameter_aft: 0.1,
            diameter_fore: 0.0,
            centre: at(0.4, 0.0, 0.1),
        },
        Solid::Revolved { stations, origin: at(0.0, 0.0, 0.07) },
        Solid::Mesh(wedge.into()),
    ];
    let states = [Status::Planned, Status::Temporary, Status::Fixed, Status::TakenOut];
    let part = |(solid, status): (Solid, Status)| Part {
        status,
        ..Part::solid("part", 0.1 / 3.0, at(0.1, 0.2, 1.0 / 3.0), solid)
    };
    let tank = |housing| Tank {
        fill: 0.3,
        liquid_density: 998.2067,
        mass: 0.14,
        centre: at(0.1, 0.0, 0.1),
        housing,
        ..Tank::new("tank", cylinder(Axis::X))
    };
    let place = |name: &str, medium| Place { name: name.to_owned(), z: 0.01, medium };
    let mut parts: Vec<Part> =
        solids.into_iter().zip(states.into_iter().cycle()).map(part).collect();
    parts.push(Part::weight("battery", 0.62, at(0.24, 0.0, 0.06)));
    Boat {
        name: "every shape".to_owned(),
        parts,
        tanks: vec![tank(Housing::InTheWet), tank(Housing::InsideAPart)],
        marks: vec![Mark { name: "bow".to_owned(), at: at(0.36, 0.0, 0.106) }],
        places: vec![place("on the keel", Medium::Wet), place("inside", Medium::Dry)],
    }
}

#[track_caller]
fn round_trip(diary: &Diary) -> Diary {
    read(&write(diary)).expect("what was written can be read")
}

#[test]
fn what_was_written_comes_back_the_same() {
    for diary in [Diary::default(), diary()] {
        assert_eq!(round_trip(&diary), diary, "written and read");
    }
}

#[test]
fn the_file_says_what_it_is_and_is_read_by_eye() {
    let text = write(&diary());
    let value: Value = serde_json::from_str(&text).expect("JSON");
    assert_eq!(value["format"], FORMAT, "the format");
    assert_eq!(value["version"], VERSION, "the version");
    assert!(text.lines().count() > 100, "one thing to a line, so that a person can read it");
    assert!(text.contains("\"waterline_m\": 0.1,"), "keys say their unit, numbers are short");
}

#[test]
fn a_boat_from_its_record_is_the_boat_it_came_from() {
    for boat in [demo_boat().expect("fixed sizes"), boat_of_every_shape()] {
        let record = BoatRecord::ledger("it", &boat);
        assert_eq!(record.boat().as_ref(), Ok(&boat), "before it was written");
        let kept = round_trip(&Diary { boats: vec![record], ..Diary::default() });
        let again = kept.boat("it").expect("its record").boat();
        assert_eq!(again.as_ref(), Ok(&boat), "after it was written and read");
    }
}

#[test]
fn a_quick_boat_is_made_from_its_six_numbers_again() {
    let record = BoatRecord::quick("it", "six", quick_record());
    let boat = record.boat().expect("good numbers");
    assert_eq!(quick_record().numbers().boat("six", 998.2067).as_ref(), Ok(&boat), "the same boat");
    let kept = round_trip(&Diary { boats: vec![record], ..Diary::default() });
    assert_eq!(kept.boat("it").expect("its record").boat(), Ok(boat), "after it was kept");
    assert_eq!(kept.boat("another"), None, "a boat that is not there");
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn every_number_comes_back_to_the_last_digit(numbers in [prop::num::f64::NORMAL; 4]) {
        let [a, b, c, d] = numbers;
        let mut reading = reading_record("it", "boat");
        reading.water_density_kg_m3 = a;
        reading.list_deg = Some(b);
        reading.marks[0].at_m = [c, d, 0.1 + 0.2];
        let diary = Diary { readings: vec![reading], ..Diary::default() };
        prop_assert_eq!(round_trip(&diary), diary);
    }

    #[test]
    fn every_text_comes_back_as_it_was(name in any::<String>(), typed in any::<String>()) {
        let mut diary = diary();
        diary.boats[1].name.clone_from(&name);
        diary.draft.list.clone_from(&typed);
        diary.draft.marks.insert(name, typed);
        prop_assert_eq!(round_trip(&diary), diary);
    }
}

/// Calls `act` with every object in a file, and where it is.
fn for_each_object(
    value: &mut Value,
    path: &str,
    act: &mut impl FnMut(&str, &mut Map<String, Value>),
) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map.iter_mut() {
                for_each_object(inner, &format!("{path}/{key}"), act);
            }
            act(path, map);
        }
        Value::Array(list) => {
            for (k, inner) in list.iter_mut().enumerate() {
                for_each_object(inner, &format!("{path}/{k}"), act);
            }
        }
        _ => {}
    }
}

/// Puts an unknown field into every object of a file that `wanted` names, reads it, writes it, and
/// looks for each of them.
#[track_caller]
fn assert_unknown_fields_are_kept(wanted: impl Fn(&str) -> bool) {
    let mut boats = diary();
    boats.boats.push(BoatRecord::ledger("every shape", &boat_of_every_shape()));
    let mut value: Value = serde_json::from_str(&write(&boats)).expect("JSON");
    let mut put_in: Vec<String> = Vec::new();
    for_each_object(&mut value, "", &mut |path, map| {
        // The marks being typed are names and texts, and a solid is named by the one key that it
        // has: there is no field to add there.
        let names_a_solid = map.len() == 1 && map.values().all(Value::is_object);
        if wanted(path) && path != "/draft/marks" && !names_a_solid {
            map.insert("from_the_future".to_owned(), json!({ "at": path, "list": [1, 2.5, null] }));
            put_in.push(path.to_owned());
        }
    });
    assert!(put_in.len() > 10, "only {} objects were found", put_in.len());
    let kept = read(&value.to_string()).expect("unknown fields are no error");
    let mut written: Value = serde_json::from_str(&write(&kept)).expect("JSON");
    let mut came_back: Vec<String> = Vec::new();
    for_each_object(&mut written, "", &mut |path, map| {
        if let Some(found) = map.get("from_the_future") {
            assert_eq!(*found, json!({ "at": path, "list": [1, 2.5, null] }), "changed at {path}");
            came_back.push(path.to_owned());
        }
    });
    put_in.retain(|path| !came_back.contains(path));
    assert_eq!(put_in, Vec::<String>::new(), "unknown fields were lost at these places");
    assert_eq!(written, value, "and nothing else has changed");
}

/// True for what describes the shape of a solid.
fn is_in_a_solid(path: &str) -> bool {
    path.contains("/solid") || path.contains("/cavity")
}

#[test]
fn fields_that_this_version_does_not_know_are_kept_in_every_record() {
    assert_unknown_fields_are_kept(|path| !is_in_a_solid(path));
}

#[test]
fn fields_that_this_version_does_not_know_are_kept_in_every_solid() {
    assert_unknown_fields_are_kept(is_in_a_solid);
}

#[test]
fn a_file_cut_short_is_refused() {
    let text = write(&diary());
    assert!(text.len() > 3000, "long enough to be cut in many places: {}", text.len());
    for cut in (0..text.len()).step_by(97) {
        let Some(part) = text.get(..cut) else { continue };
        let got = read(part);
        let Err(DiaryError::Damaged { line, .. }) = got else {
            panic!("cut at byte {cut}: {got:?}");
        };
        let says = got.expect_err("damaged").to_string();
        assert!(says.contains("damaged or cut short"), "cut at {cut}: {says}");
        assert!(says.contains(&format!("line {line}")), "cut at {cut}: {says}");
    }
}

#[test]
fn a_file_with_a_letter_changed_is_refused_or_read_as_it_stands() {
    // A changed letter in a text is no damage that can be seen; one in a key or a number is.
    let text = write(&diary());
    let mut refused = 0;
    for at in (0..text.len()).step_by(31) {
        let mut bytes = text.clone().into_bytes();
        bytes[at] = b'#';
        let Ok(changed) = String::from_utf8(bytes) else { continue };
        match read(&changed) {
            Err(error) => {
                refused += 1;
                assert!(!error.to_string().is_empty(), "a reason");
            }
            Ok(diary) => assert_eq!(round_trip(&diary), diary, "read as it stands"),
        }
    }
    assert!(refused > 20, "only {refused} were refused");
}

#[track_caller]
fn assert_refused(file: &Value, expected: &DiaryError, says: &str) {
    let error = read(&file.to_string()).expect_err("it must be refused");
    assert_eq!(error, *expected, "the reason");
    let text = error.to_string();
    assert!(text.contains(says), "it should say \"{says}\", but says: {text}");
}

#[test]
fn a_file_of_something_else_is_refused() {
    for other in [
        json!({}),
        json!([]),
        json!(null),
        json!(1.5),
        json!("trimwright"),
        json!(["trimwright", 1]),
        json!({ "format": "something else", "version": 1 }),
        json!({ "format": "Trimwright", "version": 1 }),
        json!({ "format": ["trimwright"], "version": 1 }),
        json!({ "version": 1, "boats": [] }),
    ] {
        assert_refused(&other, &DiaryError::Foreign, "not a Trimwright file");
    }
}

#[test]
fn a_file_of_a_later_version_asks_for_an_update() {
    for found in [VERSION + 1, 17, u64::MAX] {
        let file = json!({ "format": FORMAT, "version": found, "boats": "a shape of its own" });
        assert_refused(&file, &DiaryError::Newer { found, known: VERSION }, "update the app");
    }
}

#[test]
fn a_file_without_its_version_is_refused() {
    for file in [
        json!({ "format": FORMAT, "boats": [] }),
        json!({ "format": FORMAT, "version": null, "boats": [] }),
        json!({ "format": FORMAT, "version": 0, "boats": [] }),
    ] {
        let error = read(&file.to_string()).expect_err("it must be refused");
        assert!(matches!(error, DiaryError::Wrong(_)), "{file} gave {error:?}");
        let says = error.to_string();
        assert!(says.contains("which version"), "{file} gave: {says}");
    }
}

/// The file of [`diary`] with one thing changed.
fn changed(pointer: &str, to: Value) -> Value {
    let mut value: Value = serde_json::from_str(&write(&diary())).expect("JSON");
    *value.pointer_mut(pointer).unwrap_or_else(|| panic!("nothing at {pointer}")) = to;
    value
}

#[test]
fn fields_of_the_wrong_kind_are_refused() {
    for (pointer, to) in [
        ("/boats", json!({})),
        ("/boats", json!("none")),
        ("/boats/0", json!(null)),
        ("/boats/0/name", json!(7)),
        ("/boats/0/parts/0/mass_kg", json!("1.5")),
        ("/boats/0/parts/0/mass_kg", json!(null)),
        ("/boats/0/parts/0/centre_m", json!([0.0, 0.0])),
        ("/boats/0/parts/0/status", json!("lost")),
        ("/boats/0/parts/0/solid", json!("heap")),
        ("/boats/0/parts/0/solid", json!({ "heap": { "size_m": [1, 1, 1] } })),
        ("/boats/0/tanks/0/inside_a_part", json!(1)),
        ("/boats/0/places/0/medium", json!("air")),
        ("/boats/0/datum", json!("keel")),
        ("/boats/1/quick/fullness", json!([0.75])),
        ("/readings/0/condition", json!("sunk")),
        ("/readings/0/marks/0/above_m", json!("4 mm")),
        ("/readings/0/list_deg", json!("1")),
        ("/draft/marks", json!([1])),
        ("/settings/theme", json!(1)),
    ] {
        let error = read(&changed(pointer, to.clone()).to_string()).expect_err(pointer);
        assert!(matches!(error, DiaryError::Wrong(_)), "{to} at {pointer} gave {error:?}");
        let says = error.to_string();
        assert!(says.starts_with("the file is damaged: ") && says.len() > 25, "{pointer}: {says}");
    }
}

#[test]
fn numbers_that_no_machine_holds_are_refused() {
    let text = write(&diary()).replacen("998.2067", "1e999", 1);
    let error = read(&text).expect_err("a number out of range");
    assert!(error.to_string().contains("damaged"), "1e999 gave {error}");
}

#[test]
fn two_boats_of_one_identity_are_refused() {
    for (id, says) in [("dipper", "\"dipper\""), ("", "identity")] {
        let error = read(&changed("/boats/1/id", json!(id)).to_string()).expect_err("refused");
        assert!(matches!(error, DiaryError::Wrong(_)), "identity {id:?} gave {error:?}");
        let text = error.to_string();
        assert!(text.contains(says), "identity {id:?}: {text}");
    }
}

#[test]
fn two_readings_of_one_identity_are_refused() {
    let error = read(&changed("/readings/1/id", json!("reading-1")).to_string());
    let Err(DiaryError::Wrong(says)) = error else { panic!("one identity twice gave {error:?}") };
    assert!(says.contains("\"reading-1\""), "it names the identity: {says}");
}

#[test]
fn a_boat_that_is_none_is_refused_by_name() {
    let sail =
        demo_boat().expect("fixed sizes").parts.into_iter().find_map(|part| match part.solid {
            Some(mesh @ Solid::Mesh(_)) => Some(mesh),
            _ => None,
        });
    let good = serde_json::to_value(SolidRecord::from(&sail.expect("the sail is a mesh")));
    let good = good.expect("a record");
    let with_faces = |change: fn(&mut Vec<Value>)| {
        let mut solid = good.clone();
        for_each_object(&mut solid, "", &mut |_, map| {
            if let Some(Value::Array(faces)) = map.get_mut("faces") {
                change(faces);
            }
        });
        assert_ne!(solid, good, "the faces were changed");
        solid
    };
    let open = with_faces(|faces| drop(faces.pop()));
    let beyond = with_faces(|faces| faces[0] = json!([0, 1, 99]));
    for (pointer, to, names) in [
        ("/boats/0/parts/0/solid", open.clone(), ["Dipper", "hull"]),
        ("/boats/0/parts/0/solid", beyond, ["Dipper", "hull"]),
        ("/boats/0/tanks/0/cavity", open, ["Dipper", "ballast tank"]),
        ("/boats/1/quick/mass_kg", json!(60.0), ["Six numbers", "kg"]),
        ("/boats/1/quick/beam_m", json!(-0.1), ["Six numbers", "beam"]),
    ] {
        let error = read(&changed(pointer, to).to_string());
        let Err(DiaryError::Wrong(says)) = error else { panic!("{pointer} gave {error:?}") };
        for name in names {
            assert!(says.contains(name), "{pointer} should name {name}: {says}");
        }
    }
}

#[test]
fn an_import_into_an_empty_diary_takes_everything() {
    let mut here = Diary::default();
    let merged = here.merge(diary());
    assert_eq!(merged, Merged { new: 4, same: 0, differing: 0 }, "two boats and two readings");
    assert_eq!(here, diary(), "what was typed and the settings come too");
}

#[test]
fn an_import_into_a_diary_in_use_leaves_what_is_being_typed() {
    let mut here = diary();
    here.draft.list = "7.5".to_owned();
    here.settings.theme = "paper".to_owned();
    let before = here.clone();
    let mut other = diary();
    other.boats = vec![BoatRecord::quick("another", "another", quick_record())];
    other.readings = vec![reading_record("reading-3", "another")];
    let merged = here.merge(other);
    assert_eq!(merged, Merged { new: 2, same: 0, differing: 0 }, "a boat and a reading");
    assert_eq!((&here.draft, &here.settings), (&before.draft, &before.settings), "as they were");
    assert_eq!(here.boats[..2], before.boats[..], "the boats here stay");
    assert_eq!(here.readings[..2], before.readings[..], "the readings here stay");
    assert_eq!(here.boat("another").map(|b| b.name.as_str()), Some("another"), "it came");
    assert_eq!(here.readings[2].boat, "another", "its reading came");
}

#[test]
fn an_import_of_ones_own_export_changes_nothing() {
    let mut here = diary();
    let merged = here.merge(round_trip(&diary()));
    assert_eq!(merged, Merged { new: 0, same: 4, differing: 0 }, "all was there");
    assert_eq!(here, diary(), "nothing has changed");
}

#[test]
fn what_differs_is_kept_beside_and_nothing_is_overwritten() {
    let mut here = diary();
    let mut other = diary();
    other.boats[0].name = "Dipper, repainted".to_owned();
    let merged = here.merge(other.clone());
    // The boat and, since it belongs to that boat, its reading; the other boat and reading are
    // the same.
    assert_eq!(merged, Merged { new: 0, same: 2, differing: 2 }, "counts");
    assert_eq!(here.boats[..2], diary().boats[..], "the boats here stay");
    assert_eq!(here.readings[..2], diary().readings[..], "the readings here stay");
    let beside = here.boats.get(2).expect("the other one stands beside");
    assert_eq!(beside.name, "Dipper, repainted", "as it was imported");
    assert!(beside.id != "dipper", "under an identity of its own: {}", beside.id);
    let reading = here.readings.get(2).expect("its reading stands beside");
    assert_eq!(reading.boat, beside.id, "and belongs to it");
    assert_eq!(round_trip(&here), here, "the result is a good file");

    let once = here.clone();
    let again = here.merge(other);
    assert_eq!(again, Merged { new: 0, same: 4, differing: 0 }, "the second time");
    assert_eq!(here, once, "merging twice changes nothing the second time");
}

#[test]
fn three_boats_of_one_identity_and_other_contents_all_stay() {
    let mut here = diary();
    for name in ["Dipper, repainted", "Dipper, sunk"] {
        let mut other = diary();
        other.readings.clear();
        other.boats.truncate(1);
        other.boats[0].name = name.to_owned();
        let merged = here.merge(other);
        assert_eq!(merged, Merged { new: 0, same: 0, differing: 1 }, "{name}");
    }
    let names: Vec<&str> = here.boats.iter().map(|b| b.name.as_str()).collect();
    let mut ids: Vec<&str> = here.boats.iter().map(|b| b.id.as_str()).collect();
    assert_eq!(names[2..], ["Dipper, repainted", "Dipper, sunk"], "all of them");
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), 4, "each under an identity of its own: {ids:?}");
}

#[test]
fn an_imports_unknown_fields_come_along_and_do_not_overwrite() {
    let mut here = diary();
    here.extra.insert("club".to_owned(), json!("ours"));
    let mut other = diary();
    other.extra.insert("club".to_owned(), json!("theirs"));
    other.extra.insert("pond".to_owned(), json!("deep"));
    here.merge(other);
    assert_eq!(here.extra["club"], "ours", "what was here stays");
    assert_eq!(here.extra["pond"], "deep", "what is new comes");
}

/// Source: the file itself, written by version 1 of the format; its boats are invented.
const VERSION_1: &str = include_str!("data/diary_v1.json");

#[test]
fn the_file_kept_from_version_1_still_opens() {
    let diary = read(VERSION_1).expect("a file of version 1");
    let names: Vec<&str> = diary.boats.iter().map(|b| b.name.as_str()).collect();
    assert_eq!(names, ["Dipper", "Sprat"], "the boats");

    let dipper = diary.boat("dipper").expect("the boat entered part by part");
    assert_eq!(dipper.datum, DatumRecord::Stern, "where it is measured from");
    let boat = dipper.boat().expect("closed solids");
    assert_eq!((boat.parts.len(), boat.tanks.len()), (14, 1), "parts and tanks");
    let mass: f64 = boat.parts_aboard().map(|p| p.mass).sum::<f64>() + boat.tanks[0].mass;
    assert_close(mass, 4.9582768, 1e-9, "mass with the empty tank");
    assert_eq!(boat.marks.len(), 3, "marks");
    assert_eq!(boat.places[0].name, "on the keel", "the first place for weight");

    let sprat = diary.boat("sprat").expect("the quick boat");
    let quick = sprat.quick.as_ref().expect("its six numbers").numbers();
    assert_eq!((quick.length, quick.beam, quick.depth), (0.75, 0.09, 0.1), "its sizes");
    assert_eq!((quick.mass, quick.waterline, quick.fullness), (2.1, 0.07, 0.7), "the others");

    let [reading] = diary.readings.as_slice() else { panic!("one reading") };
    assert_eq!((reading.id.as_str(), reading.boat.as_str()), ("reading-1", "dipper"), "whose");
    assert_eq!(reading.condition, ConditionRecord::Afloat, "in which state");
    assert_eq!(reading.list_deg, Some(1.4), "list");
    let above: Vec<f64> = reading.marks.iter().map(|m| m.above_m).collect();
    assert_eq!(above, [-0.004, 0.002, 0.008], "the water at the marks");
    assert_within(reading.water_density_kg_m3, 998.2067, 1e-12, "the water");
    assert_eq!(reading.aboard[0].name, "phone", "what lay aboard");

    assert_eq!(diary.draft.boat, "dipper", "the boat in hand");
    assert_eq!(diary.settings.theme, "night", "the theme");
    assert_eq!(diary.extra["club"], "Sunday at the pond", "an unknown field");
}

#[test]
fn the_file_kept_from_version_1_is_written_again_without_loss() {
    let mut before: Value = serde_json::from_str(VERSION_1).expect("JSON");
    let text = write(&read(VERSION_1).expect("a file of version 1"));
    let after: Value = serde_json::from_str(&text).expect("JSON");
    before["version"] = json!(VERSION);
    assert_lost_nothing(&before, &after, "");
}

/// All that was in a file is in it still; fields with their usual value may have been added.
#[track_caller]
fn assert_lost_nothing(before: &Value, after: &Value, path: &str) {
    match (before, after) {
        (Value::Object(old), Value::Object(new)) => {
            for (key, value) in old {
                let path = format!("{path}/{key}");
                let kept = new.get(key).unwrap_or_else(|| panic!("{path} is lost"));
                assert_lost_nothing(value, kept, &path);
            }
        }
        (Value::Array(old), Value::Array(new)) => {
            assert_eq!(old.len(), new.len(), "entries at {path}");
            for (k, (value, kept)) in old.iter().zip(new).enumerate() {
                assert_lost_nothing(value, kept, &format!("{path}/{k}"));
            }
        }
        (Value::Number(old), Value::Number(new)) => {
            assert_eq!(old.as_f64(), new.as_f64(), "the number at {path}");
        }
        _ => assert_eq!(before, after, "at {path}"),
    }
}

fn any_value() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        prop::num::f64::ANY.prop_map(Value::from),
        (-1.0..1.0).prop_map(Value::from),
        prop_oneof![Just("trimwright"), Just("mesh"), Just("box"), Just("dipper"), Just("")]
            .prop_map(Value::from),
        any::<String>().prop_map(Value::from),
    ];
    leaf.prop_recursive(3, 24, 4, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 0..4).prop_map(Value::from),
            prop::collection::hash_map("[a-z_]{0,9}", inner, 0..4)
                .prop_map(|map| Value::Object(map.into_iter().collect())),
        ]
    })
}

/// Every place in a file, as pointers.
fn places_in(value: &Value, path: &str, into: &mut Vec<String>) {
    into.push(path.to_owned());
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                places_in(inner, &format!("{path}/{key}"), into);
            }
        }
        Value::Array(list) => {
            for (k, inner) in list.iter().enumerate() {
                places_in(inner, &format!("{path}/{k}"), into);
            }
        }
        _ => {}
    }
}

/// What is read is either refused with a reason or whole: it can be written, read again, and its
/// boats calculated or refused.
fn assert_read_or_refused(text: &str) -> Result<(), TestCaseError> {
    match read(text) {
        Err(error) => prop_assert!(!error.to_string().is_empty(), "{error:?} says nothing"),
        Ok(diary) => {
            let again = read(&write(&diary));
            prop_assert_eq!(again.as_ref(), Ok(&diary), "written and read again");
            for record in &diary.boats {
                let boat = record.boat();
                prop_assert!(boat.is_ok(), "{:?}: checked when it was read", boat.err());
                let fineness = Fineness { around: 8, along: 4 };
                if let Err(error) = boat.map(|b| FloatModel::new(&b, fineness).map(|_| ())) {
                    prop_assert!(!error.to_string().is_empty(), "{error:?} says nothing");
                }
            }
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(400))]

    #[test]
    fn no_text_makes_reading_panic(text in any::<String>()) {
        assert_read_or_refused(&text)?;
    }

    #[test]
    fn no_bytes_make_reading_panic(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        assert_read_or_refused(&String::from_utf8_lossy(&bytes))?;
    }

    #[test]
    fn no_json_makes_reading_panic(mut value in any_value(), ours in any::<bool>()) {
        if let (true, Value::Object(map)) = (ours, &mut value) {
            map.insert("format".to_owned(), json!(FORMAT));
            map.insert("version".to_owned(), json!(VERSION));
        }
        assert_read_or_refused(&value.to_string())?;
    }

    #[test]
    fn no_strange_field_makes_reading_panic(
        strange in prop::collection::vec((any::<prop::sample::Index>(), any_value()), 1..4),
    ) {
        let mut file: Value = serde_json::from_str(VERSION_1).expect("JSON");
        for (which, value) in strange {
            let mut places = Vec::new();
            places_in(&file, "", &mut places);
            let place: &String = which.get(&places);
            *file.pointer_mut(place).expect("it was just found") = value;
        }
        assert_read_or_refused(&file.to_string())?;
    }
}
