//! Files of every version open for ever, and nothing in them is lost on the way to this one.

use crate::support::diary::{
    LEANS_OF_VERSION_3, VERSION_1, VERSION_2, VERSION_3, changed, for_each_object, from_the_future,
    json_of,
};
use crate::support::{assert_close, assert_within};
use serde_json::{Value, json};
use trimwright::boat::TankKind;
use trimwright::diary::{
    ConditionRecord, DatumRecord, Diary, DiaryError, Entry, PictureBytes, ReadingRecord,
    SessionRecord, VERSION, read, state_of, write,
};

/// Flat-faced bodies against a closed form, relative.
const EXACT: f64 = 1e-9;

#[track_caller]
fn opened(text: &str) -> Diary {
    read(text).expect("a file of an older version")
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

/// What an older version had, less its readings, which have moved.
#[track_caller]
fn assert_the_rest_is_there(text: &str) {
    let mut before = json_of(text);
    let after = json_of(&write(&opened(text)));
    before["version"] = json!(VERSION);
    before.as_object_mut().expect("a file").remove("readings");
    assert_lost_nothing(&before, &after, "");
}

#[track_caller]
fn only_reading(session: &SessionRecord) -> &ReadingRecord {
    let [entry] = session.entries.as_slice() else { panic!("one entry: {session:?}") };
    let Entry::Reading(reading) = &entry.what else { panic!("no reading: {entry:?}") };
    reading
}

#[test]
fn the_file_kept_from_version_1_still_opens() {
    let diary = opened(VERSION_1);
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

    let [session] = diary.sessions.as_slice() else { panic!("one session") };
    assert_eq!(session.boat, "dipper", "whose");
    assert_eq!(session.entries[0].id, "reading-1", "the reading's identity stays");
    let reading = only_reading(session);
    assert_eq!(session.started_at, session.entries[0].at, "it began with its reading");
    assert_eq!(session.water, reading.water, "in the water of its reading");
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
fn the_file_kept_from_version_2_still_opens() {
    let diary = opened(VERSION_2);
    let record = diary.boat("coot").expect("its boat");
    let boat = record.boat().expect("a boat that can be made");
    let named = |name: &str| boat.parts.iter().find(|p| p.name == name).expect("its part");
    // Closed form: volume of the wall, 1 mm inward of a box of 400 × 90 × 60 mm, times 1050.
    let wall = 0.4 * 0.09 * 0.06 - 0.398 * 0.088 * 0.058;
    assert_close(named("casing").mass, wall * 1050.0, EXACT, "casing by its wall");
    assert_close(named("battery").mass, 0.31, EXACT, "battery as weighed");
    // Closed form: a bar of lead, 11 340 kg/m³, with 0.1 mm of paint of 1300 kg/m³ all over.
    let bar = 0.3 * 0.012 * 0.01;
    let area = 2.0 * (0.3 * 0.012 + 0.3 * 0.01 + 0.012 * 0.01);
    let painted = bar * 11340.0 + area * 0.0001 * 1300.0;
    assert_close(named("keel bar").mass, painted, EXACT, "painted bar");
    let tank = boat.tanks.first().expect("its tank");
    assert_eq!(tank.bulkheads.len(), 1, "a bulkhead");
    assert_eq!(tank.range, Some([0.02, 0.97]), "its range");
    assert_eq!(tank.kind, TankKind::Open, "all tanks were open ones");
    let written = json_of(&write(&diary));
    let fields = written["boats"][0]["tanks"][0].as_object().expect("the tank");
    let new = ["kind", "inlet", "piston_mass_kg", "pump_pressure_pa", "stop_depth_m"];
    assert!(!new.iter().any(|key| fields.contains_key(*key)), "nothing new in it: {fields:?}");
    assert_eq!(record.length_m, Some(0.41), "its length over all");
    assert_eq!(diary.materials.len(), 1, "a material of its owner's");
}

#[test]
fn the_file_kept_from_version_3_still_opens() {
    let diary = opened(VERSION_3);
    let names: Vec<&str> = diary.boats.iter().map(|b| b.id.as_str()).collect();
    assert_eq!(names, ["teal", "grebe"], "the boats");
    for boat in &diary.boats {
        assert!(boat.boat().is_ok(), "{}: {:?}", boat.name, boat.boat().err());
    }
    let [first, second] = diary.sessions.as_slice() else { panic!("two sessions") };
    let kinds: Vec<&str> = first
        .entries
        .iter()
        .map(|entry| match &entry.what {
            Entry::Reading(_) => "reading",
            Entry::Done(_) => "done",
            Entry::Note(_) => "note",
            Entry::Picture(_) => "picture",
            Entry::Run(_) => "run",
            Entry::Checks(_) => "checks",
            Entry::Lean(_) => "lean",
            Entry::Other => "other",
            _ => "of a later version",
        })
        .collect();
    let all = ["checks", "reading", "done", "note", "picture", "run", "run", "other", "lean"];
    assert_eq!(kinds, all, "every kind of entry, and the boat's lean");
    assert!(first.entries[7].extra.contains_key("sonar"), "one of an unknown kind");
    for name in first.states().chain(second.states()).filter(|n| diary.states.contains_key(*n)) {
        let state = diary.state(name).expect("the boat as it was");
        assert!(state.boat().is_ok(), "{name}, with its mesh: {:?}", state.boat().err());
    }
    assert_eq!(first.states().count(), 2, "the session's and its reading's");
    for name in first.pictures() {
        assert!(
            diary.pictures.get(name).and_then(PictureBytes::bytes).is_some_and(|b| b.len() == 12),
            "picture {name}"
        );
    }
    assert_eq!(diary.checks[0].after.len(), 4, "checks");
    assert_eq!(diary.settings.language, "de", "settings");
    assert_eq!(diary.draft.marks.get("bow").map(String::as_str), Some("−3,5"), "what was typed");
    assert_eq!(diary.extra["club"], "Sunday at the pond", "an unknown field");
}

#[test]
fn nothing_of_an_older_version_is_lost_but_the_list_of_readings() {
    assert_the_rest_is_there(VERSION_1);
    assert_the_rest_is_there(VERSION_2);
}

#[test]
fn nothing_of_version_3_is_lost() {
    let (mut before, mut after) = (json_of(VERSION_3), json_of(&write(&opened(VERSION_3))));
    before["version"] = json!(VERSION);
    // The boat's lean, its unknown field with it, is the last entry of its session.
    let way = before["boats"][0]["dive"].as_object_mut().expect("its way");
    let mut lean = way.remove("seen").expect("what was seen")[0].take();
    let at = lean.as_object_mut().expect("fields").remove("noted_at").expect("when");
    let entries = after["sessions"][0]["entries"].as_array_mut().expect("entries");
    let entry = entries.pop().expect("the lean");
    assert_eq!(entry["at"], at, "when it was noted");
    assert_lost_nothing(&lean, &entry["lean"], "/lean");
    assert_lost_nothing(&before, &after, "");
    assert_lost_nothing(&after, &before, "");
}

#[test]
fn the_leans_kept_from_version_3_are_in_the_sessions_during_which_they_were_noted() {
    let diary = opened(LEANS_OF_VERSION_3);
    let mut told = Vec::new();
    for session in &diary.sessions {
        let entries: Vec<&str> = session.entries.iter().map(|e| e.id.as_str()).collect();
        told.push((session.id.as_str(), session.boat.as_str(), entries));
    }
    // Before any session; between two entries and later on that day; of a boat without one; long after the last.
    let expected = [
        ("session-of-coot-2026-05-01T08:00:00.000Z", "coot", vec!["lean-2026-05-01T08:00:00.000Z"]),
        (
            "pond",
            "coot",
            vec!["e1", "lean-2026-05-09T10:30:00.000Z", "e2", "lean-2026-05-09T23:50:00.000Z"],
        ),
        ("session-of-teal-2026-05-09T10:31:00.000Z", "teal", vec!["lean-2026-05-09T10:31:00.000Z"]),
        ("sea", "coot", vec!["e1"]),
        (
            "session-of-coot-2026-05-20T09:00:00.000Z",
            "coot",
            vec!["lean-2026-05-20T09:00:00.000Z", "lean-2026-05-20T09:20:00.000Z"],
        ),
    ];
    assert_eq!(told, expected, "each in its place");
    let pond = &diary.sessions[1];
    let (entry, first) = pond.leans().next().expect("a lean");
    assert_eq!(entry.at, "2026-05-09T10:30:00.000Z", "when it was noted");
    assert_eq!((first.fill, first.list_deg, first.going_up), (0.55, -12.0, false), "what was seen");
    let (_, second) = pond.leans().nth(1).expect("another");
    assert_eq!(second.extra["by_eye"], "a guess", "its unknown field");
    for boat in &diary.boats {
        assert!(!boat.dive.extra.contains_key("seen"), "{} has none any more", boat.name);
        let of_boat = diary.sessions.iter().filter(|s| s.boat == boat.id);
        for (entry, lean) in of_boat.flat_map(SessionRecord::leans) {
            assert_eq!(lean.state, state_of(boat).0, "{}: of the boat as it is", entry.id);
            assert_eq!(lean.water_density_kg_m3, None, "{}: in what water nobody noted", entry.id);
        }
    }
    assert_eq!(diary.boats[0].dive.extra["later"], 3, "what else the boat had there");
    assert_eq!(read(&write(&diary)), Ok(diary.clone()), "read again it is the same");
}

#[test]
fn leans_of_a_boat_that_is_read_alone_find_their_sessions_once() {
    // As the phone keeps them: the boat in one text, its sessions in others.
    let mut file = json_of(LEANS_OF_VERSION_3);
    let sessions = file["sessions"].take();
    file["sessions"] = json!([]);
    let alone = opened(&file.to_string());
    assert_eq!(alone.sessions.len(), 4, "days of leans: three of one boat, one of the other");
    file["sessions"] = sessions;
    file["boats"] = json!([]);
    let mut together = Diary { boats: alone.boats, ..opened(&file.to_string()) };
    for time in ["first", "second"] {
        together.take_leans(alone.sessions.clone());
        together.sessions.sort_by(|a, b| (&a.started_at, &a.id).cmp(&(&b.started_at, &b.id)));
        assert_eq!(together, opened(LEANS_OF_VERSION_3), "the {time} time, as of one file");
    }
}

#[test]
fn two_leans_of_one_moment_are_two() {
    let lean = |list: f64| json!({ "noted_at": "2026-05-09T10:30:00.000Z", "fill": 0.5, "list_deg": list });
    let file = changed(
        &json_of(LEANS_OF_VERSION_3),
        "/boats/1/dive/seen",
        json!([lean(8.0), lean(7.0), lean(6.0)]),
    );
    let diary = opened(&file.to_string());
    let teal = diary.sessions.iter().find(|s| s.boat == "teal").expect("its session");
    let lists: Vec<f64> = teal.leans().map(|(_, lean)| lean.list_deg).collect();
    assert_eq!(lists, [8.0, 7.0, 6.0], "in their order");
}

#[test]
fn what_is_no_lean_is_refused() {
    for (place, to) in [
        ("/boats/0/dive/seen", json!("far")),
        ("/boats/0/dive/seen/0", json!(12.0)),
        ("/boats/0/dive/seen/0/fill", json!(null)),
        ("/boats/0/dive/seen/0/noted_at", json!(20_260_509)),
    ] {
        let Err(DiaryError::Wrong(says)) =
            read(&changed(&json_of(LEANS_OF_VERSION_3), place, to.clone()).to_string())
        else {
            panic!("{to} at {place} was taken")
        };
        assert!(says.contains("Coot"), "whose: {says}");
    }
}

/// A file of version 2 with readings of some boats at some times; each has fields of its own that
/// no version knows.
fn with_readings(of: &[(&str, &str, &str)]) -> Value {
    let mut file = json_of(VERSION_2);
    let reading = |(id, boat, at): &(&str, &str, &str)| {
        json!({
            "id": id, "boat": boat, "kept_at": at, "condition": "under",
            "water_density_kg_m3": 999.0, "water": format!("water of {id}"),
            "marks": [{ "name": "bow", "at_m": [0.1, 0.0, 0.0], "above_m": 0.001, "wet": true }],
            "list_deg": -1.5, "residual_kg": 0.02, "fill": 1.0,
            "aboard": [{ "name": "phone", "mass_kg": 0.2, "at_m": [0.0, 0.0, 0.1], "case": 3 }],
            "advice": [format!("advice of {id}")], "mood": [id, null],
        })
    };
    file["readings"] = of.iter().map(reading).collect();
    file
}

#[test]
fn every_reading_of_version_2_is_in_a_session_of_its_boat_and_day_in_order() {
    let file = with_readings(&[
        ("r3", "coot", "2026-05-09T10:00:00.000Z"),
        ("r1", "coot", "2026-05-08T23:59:00.000Z"),
        ("r4", "teal", "2026-05-09T11:00:00.000Z"),
        ("r5", "coot", "2026-05-09T12:00:00.000Z"),
        ("r2", "coot", "2026-05-09T09:00:00.000Z"),
        ("r6", "coot", "some day"),
    ]);
    let diary = opened(&file.to_string());
    let sessions: Vec<(&str, &str, Vec<&str>)> = diary
        .sessions
        .iter()
        .map(|s| {
            let entries = s.entries.iter().map(|e| e.id.as_str()).collect();
            (s.boat.as_str(), s.started_at.as_str(), entries)
        })
        .collect();
    assert_eq!(
        sessions,
        [
            ("coot", "2026-05-08T23:59:00.000Z", vec!["r1"]),
            ("coot", "2026-05-09T09:00:00.000Z", vec!["r2", "r3", "r5"]),
            ("teal", "2026-05-09T11:00:00.000Z", vec!["r4"]),
            ("coot", "some day", vec!["r6"]),
        ],
        "a session for each boat and day, oldest first"
    );
    // Every field of every reading, known or not, is in its entry.
    let after = json_of(&write(&diary));
    let entries: Vec<&Value> = after["sessions"]
        .as_array()
        .expect("sessions")
        .iter()
        .flat_map(|s| s["entries"].as_array().expect("entries"))
        .collect();
    let readings = file["readings"].as_array().expect("readings");
    assert_eq!(entries.len(), readings.len(), "as many as there were");
    for reading in readings {
        let entry = entries.iter().find(|e| e["id"] == reading["id"]).expect("its entry");
        assert_eq!(entry["at"], reading["kept_at"], "its time");
        let mut rest = reading.clone();
        let fields = rest.as_object_mut().expect("fields");
        fields.retain(|key, _| !["id", "boat", "kept_at"].contains(&key.as_str()));
        assert_lost_nothing(&rest, &entry["reading"], "");
    }
}

#[test]
fn fields_that_version_2_did_not_know_are_kept_on_the_way_to_version_3() {
    for text in [VERSION_1, VERSION_2] {
        let mut file = json_of(text);
        let mut n = 0;
        for_each_object(&mut file, "", &mut |path, map| {
            let solid = path.ends_with("/solid") || path.ends_with("/cavity");
            if path != "/draft/marks" && !solid {
                map.insert("from_the_future".to_owned(), from_the_future(path));
                n += 1;
            }
        });
        assert!(n > 20, "only {n} objects were found");
        assert_the_rest_is_there(&file.to_string());
        let written = write(&opened(&file.to_string()));
        let kept = written.matches("\"from_the_future\"").count();
        assert_eq!(kept, n, "every one of them is there, those of the readings too");
    }
}

#[test]
fn two_readings_of_one_identity_are_refused_whatever_their_session() {
    let days = ["2026-05-09T10:00:00.000Z", "2026-05-09T11:00:00.000Z", "2026-05-10T10:00:00.000Z"];
    for (first, second) in [(0, 0), (0, 1), (0, 2), (2, 1)] {
        let file = with_readings(&[
            ("r0", "coot", days[second]),
            ("r1", "coot", days[first]),
            ("r1", "coot", days[second]),
        ]);
        let Err(DiaryError::Wrong(says)) = read(&file.to_string()) else {
            panic!("one identity on days {first} and {second} was taken")
        };
        assert!(says.contains("\"r1\""), "it names the identity: {says}");
    }
    let unnamed = with_readings(&[("", "coot", days[0])]);
    let Err(DiaryError::Wrong(says)) = read(&unnamed.to_string()) else { panic!("it was taken") };
    assert!(says.contains("identity"), "a reading without one: {says}");
}

#[test]
fn a_field_of_version_2_by_a_name_of_version_3_is_read_as_it_or_refused_never_lost() {
    let session = json!([{ "id": "s", "boat": "coot", "started_at": "2026", "entries": [] }]);
    let mut file = json_of(VERSION_2);
    file["sessions"] = session.clone();
    let diary = opened(&file.to_string());
    assert_eq!(diary.sessions.len(), 1, "it could be read");
    assert_eq!(read(&write(&diary)).as_ref(), Ok(&diary), "and written");
    let mut both = with_readings(&[("r1", "coot", "2026-05-09T10:00:00.000Z")]);
    both["sessions"] = session;
    assert!(read(&both.to_string()).is_err(), "two lists of sessions cannot both be kept");
    assert!(
        read(&changed(&file, "/sessions", json!("a table")).to_string()).is_err(),
        "what is no list of sessions"
    );
}

#[test]
fn what_is_nested_too_deep_for_version_3_is_refused_not_written() {
    // In a session a reading stands three levels deeper than in the list of version 2.
    let mut taken = 0;
    for depth in 100..130 {
        let deep = (0..depth).fold(json!(1), |inner, _| json!([inner]));
        let mut file = with_readings(&[("r1", "coot", "2026-05-09T10:00:00.000Z")]);
        file["readings"][0]["deep"] = deep;
        if let Ok(diary) = read(&file.to_string()) {
            taken += 1;
            assert_eq!(read(&write(&diary)).as_ref(), Ok(&diary), "written and read at {depth}");
        }
    }
    assert!((10..28).contains(&taken), "{taken} depths were taken");
}
