//! The diary's file: what is written comes back whole, and what cannot be read is refused with a
//! reason.

use crate::support::diary::{
    boat_of_every_shape, changed, diary, for_each_object, from_the_future, full_diary,
    has_no_fields, json_of, quick_record, round_trip, session, without,
};
use crate::support::random::{Random, random_diary};
use crate::support::random_cases;
use proptest::prelude::*;
use serde_json::{Value, json};
use trimwright::boat::demo_boat;
use trimwright::diary::{
    BoatRecord, Diary, DiaryError, Entry, EntryRecord, FORMAT, SolidRecord, VERSION, read, write,
};
use trimwright::geometry::Solid;

/// Any number will do.
const SEED: u64 = 20_260_318;

fn cases(n: u32) -> ProptestConfig {
    random_cases(n, SEED)
}

#[test]
fn what_was_written_comes_back_the_same() {
    for diary in [Diary::default(), diary(), full_diary()] {
        assert_eq!(round_trip(&diary), diary, "written and read");
    }
}

#[test]
fn the_file_says_what_it_is_and_is_read_by_eye() {
    let text = write(&diary());
    let value: Value = json_of(&text);
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
    #![proptest_config(cases(300))]

    #[test]
    fn every_number_comes_back_to_the_last_digit(numbers in [prop::num::f64::NORMAL; 4]) {
        let [a, b, c, d] = numbers;
        let mut it = session("it", "boat", "2026");
        let Entry::Reading(reading) = &mut it.entries[0].what else { panic!("a reading") };
        reading.water_density_kg_m3 = a;
        reading.list_deg = Some(b);
        reading.marks[0].at_m = [c, d, 0.1 + 0.2];
        let diary = Diary { sessions: vec![it], ..Diary::default() };
        prop_assert_eq!(round_trip(&diary), diary);
    }

    #[test]
    fn every_text_comes_back_as_it_was(name in any::<String>(), typed in any::<String>()) {
        let mut diary = diary();
        diary.boats[1].name.clone_from(&name);
        diary.draft.list.clone_from(&typed);
        diary.draft.marks.insert(name.clone(), typed.clone());
        diary.sessions[0].place = name;
        diary.sessions[0].entries[0].what = Entry::Note(typed);
        prop_assert_eq!(round_trip(&diary), diary);
    }

    #[test]
    fn every_diary_comes_back_the_same(seed in any::<u64>()) {
        let diary = random_diary(&mut Random(seed));
        prop_assert_eq!(round_trip(&diary), diary);
    }
}

#[test]
fn fields_that_this_version_does_not_know_are_kept_in_every_record() {
    let mut file = json_of(&write(&full_diary()));
    let mut n = 0;
    for_each_object(&mut file, "", &mut |path, map| {
        if !has_no_fields(path, map) {
            map.insert("from_the_future".to_owned(), from_the_future(path));
            n += 1;
        }
    });
    assert!(n > 80, "only {n} objects were found");
    let kept = read(&file.to_string()).expect("unknown fields are no error");
    let mut written = json_of(&write(&kept));
    let mut lost = Vec::new();
    for_each_object(&mut written, "", &mut |path, map| {
        let is_one_of_them = path.ends_with("/from_the_future");
        let kept = map.get("from_the_future") == Some(&from_the_future(path));
        if !(has_no_fields(path, map) || is_one_of_them || kept) {
            lost.push(path.to_owned());
        }
    });
    assert_eq!(lost, Vec::<String>::new(), "unknown fields were lost at these places");
    assert_eq!(written, file, "and nothing else has changed");
}

#[test]
fn an_entry_of_an_unknown_kind_is_kept_as_it_is() {
    let mut file = json_of(&write(&diary()));
    let sonar = json!({ "id": "e9", "at": "2026", "sonar": { "depth_m": [1.0, null] } });
    file["sessions"][0]["entries"].as_array_mut().expect("entries").push(sonar.clone());
    let kept = read(&file.to_string()).expect("an entry of a later version");
    let last = kept.sessions[0].entries.last().expect("it is there");
    assert_eq!(last.what, Entry::Other, "of no kind that is known");
    assert_eq!(json_of(&write(&kept))["sessions"][0]["entries"][1], sonar, "whole");
}

#[test]
fn an_entry_that_is_two_things_loses_neither() {
    let mut file = json_of(&write(&diary()));
    let entry = &mut file["sessions"][0]["entries"][0];
    entry["note"] = json!("and a note");
    entry["run"] = json!({ "words": "a lap", "knots": 3 });
    let before = file.clone();
    let kept = read(&file.to_string()).expect("two things at once");
    assert!(matches!(kept.sessions[0].entries[0].what, Entry::Reading(_)), "a reading first");
    assert_eq!(json_of(&write(&kept)), before, "all of it is written again");
}

#[test]
fn sessions_come_in_the_order_in_which_they_began() {
    let mut diary = diary();
    diary.sessions.reverse();
    let ids: Vec<String> = round_trip(&diary).sessions.into_iter().map(|s| s.id).collect();
    assert_eq!(ids, ["session-1", "session-2"], "oldest first");
}

#[test]
fn a_mark_of_the_order_of_bytes_is_no_damage() {
    let text = format!("\u{feff}{}", write(&diary()));
    assert_eq!(read(&text), Ok(diary()), "as some editors leave it");
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

#[test]
fn numbers_that_no_machine_holds_are_refused() {
    let text = write(&diary()).replacen("998.2067", "1e999", 1);
    let error = read(&text).expect_err("a number out of range");
    assert!(error.to_string().contains("damaged"), "1e999 gave {error}");
}

#[test]
fn two_records_of_one_identity_are_refused() {
    let file = json_of(&write(&full_diary()));
    for (place, id, says) in [
        ("/boats/1/id", "teal", "two boats have the identity \"teal\""),
        ("/boats/1/id", "", "one of the boats has no identity"),
        ("/sessions/1/id", "session-1", "two sessions have the identity \"session-1\""),
        ("/sessions/1/id", "", "one of the sessions has no identity"),
        ("/sessions/0/entries/3/id", "e1", "two entries of a session have the identity \"e1\""),
        ("/checks/0/id", "", "one of the lists of checks has no identity"),
    ] {
        let error = read(&changed(&file, place, json!(id)).to_string());
        let Err(DiaryError::Wrong(text)) = error else { panic!("{id:?} at {place}: {error:?}") };
        assert!(text.contains(says), "{id:?} at {place}: {text}");
    }
}

#[test]
fn entries_of_different_sessions_may_have_one_identity() {
    let diary = diary();
    let ids: Vec<&str> =
        diary.sessions.iter().flat_map(|s| &s.entries).map(|e: &EntryRecord| &*e.id).collect();
    assert_eq!(ids, ["reading-1", "reading-1"], "one identity in two sessions");
    assert_eq!(round_trip(&diary), diary, "and no fault");
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
    let file = json_of(&write(&diary()));
    for (pointer, to, names) in [
        ("/boats/0/parts/0/solid", open.clone(), ["Dipper", "hull"]),
        ("/boats/0/parts/0/solid", beyond, ["Dipper", "hull"]),
        ("/boats/0/tanks/0/cavity", open, ["Dipper", "ballast tank"]),
        ("/boats/1/quick/mass_kg", json!(60.0), ["Six numbers", "kg"]),
        ("/boats/1/quick/beam_m", json!(-0.1), ["Six numbers", "beam"]),
    ] {
        let error = read(&changed(&file, pointer, to).to_string());
        let Err(DiaryError::Wrong(says)) = error else { panic!("{pointer} gave {error:?}") };
        for name in names {
            assert!(says.contains(name), "{pointer} should name {name}: {says}");
        }
    }
}

#[test]
fn a_boat_as_it_was_a_mesh_and_a_picture_are_looked_at_too() {
    let full = full_diary();
    let file = json_of(&write(&full));
    let mesh = full.meshes.keys().next().expect("a mesh");
    let picture = full.pictures.keys().next().expect("a picture");
    let state = full.states.iter().find(|(_, s)| s.quick.is_some()).expect("a quick one").0;
    for (place, to, says) in [
        (format!("/meshes/{mesh}/faces"), json!([[0, 1, 2]]), mesh.as_str()),
        (format!("/pictures/{picture}/base64"), json!("a+b=c"), picture),
        (format!("/states/{state}/quick/beam_m"), json!(0.0), "Six numbers"),
    ] {
        let error = read(&changed(&file, &place, to).to_string());
        let Err(DiaryError::Wrong(text)) = error else { panic!("{place} gave {error:?}") };
        assert!(text.contains(says), "{place} should name {says}: {text}");
    }
}

#[test]
fn what_cannot_be_read_is_named_by_its_place() {
    let good = json_of(&write(&diary()));
    for (pointer, to, wanted) in [
        ("/boats/0/parts/1/mass_kg", json!("heavy"), "parts[1].mass_kg: a number is wanted"),
        ("/boats/0/parts/1/status", json!("sunk"), "parts[1].status: one of fixed, planned"),
        ("/boats/0/marks/0/at_m", json!([0.1, 0.2]), "marks[0].at_m: a list of 3 numbers"),
        ("/sessions/0/entries", json!({}), "entries: a list is wanted"),
    ] {
        let text = changed(&good, pointer, to).to_string();
        let Err(DiaryError::Wrong(said)) = read(&text) else { panic!("{pointer} was read") };
        assert!(said.contains(wanted), "{pointer}: {said}");
    }
    let text = without(&good, "/boats/0/name").to_string();
    let Err(DiaryError::Wrong(said)) = read(&text) else { panic!("a boat without a name") };
    assert!(said.contains("name: missing"), "{said}");
}
