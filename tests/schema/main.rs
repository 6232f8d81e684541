//! The published schema of the export: what the app writes is valid by it, what is broken is not,
//! and it describes every field that is written. The judge is a validator of other hands.

#[path = "../support/mod.rs"]
mod support;

use jsonschema::{Draft, Validator};
use proptest::prelude::*;
use serde_json::{Value, json};
use support::diary::{
    VERSION_3, changed, diary, for_each_object, full_diary, has_no_fields, json_of, without,
};
use support::random::{Random, random_diary};
use support::random_cases;
use trimwright::diary::{Diary, TEMPLATES, read, write};

/// Any number will do.
const SEED: u64 = 20_260_527;

fn schema() -> Value {
    json_of(include_str!("../../public/diary.schema.json"))
}

fn validator(schema: &Value) -> Validator {
    jsonschema::options().with_draft(Draft::Draft202012).build(schema).expect("a good schema")
}

/// What is wrong with a file, place by place.
fn problems(validator: &Validator, file: &Value) -> Vec<String> {
    validator.iter_errors(file).map(|e| format!("{}: {e}", e.instance_path())).collect()
}

#[track_caller]
fn assert_valid(validator: &Validator, file: &Value) {
    assert_eq!(problems(validator, file), Vec::<String>::new(), "it should be valid");
}

#[test]
fn the_schema_is_one_of_its_draft_and_says_so() {
    assert_eq!(schema()["$schema"], "https://json-schema.org/draft/2020-12/schema", "the draft");
    assert!(jsonschema::meta::is_valid(&schema()), "by the schema of schemas");
}

#[test]
fn what_the_app_writes_is_valid() {
    let judge = validator(&schema());
    for diary in [Diary::default(), diary(), full_diary(), read(VERSION_3).expect("the sample")] {
        assert_valid(&judge, &json_of(&write(&diary)));
    }
    for template in TEMPLATES {
        let boat = template.boat_record().expect("a boat that comes with the app");
        let file = write(&Diary { boats: vec![boat], ..Diary::default() });
        assert_valid(&judge, &json_of(&file));
    }
}

proptest! {
    #![proptest_config(random_cases(200, SEED))]

    #[test]
    fn whatever_is_kept_its_export_is_valid(seed in any::<u64>()) {
        let diary = random_diary(&mut Random(seed));
        let file = json_of(&write(&diary));
        prop_assert_eq!(problems(&validator(&schema()), &file), Vec::<String>::new());
        prop_assert_eq!(read(&write(&diary)), Ok(diary), "and can be read");
    }
}

#[test]
fn what_is_broken_is_not_valid_and_not_read() {
    let judge = validator(&schema());
    let whole = json_of(&write(&full_diary()));
    let reading = "/sessions/0/entries/1/reading";
    let at = |inside: &str| format!("{reading}{inside}");
    let part = whole["boats"][0]["parts"].as_array().expect("parts").len() - 3;
    let part = |field: &str| format!("/boats/0/parts/{part}/{field}");
    for (place, to) in [
        ("/format".to_owned(), json!("something else")),
        ("/version".to_owned(), json!("3")),
        ("/version".to_owned(), json!(5)),
        ("/boats".to_owned(), json!({})),
        ("/boats/0".to_owned(), json!(null)),
        ("/boats/0/id".to_owned(), json!("")),
        ("/boats/0/id".to_owned(), json!(7)),
        ("/boats/0/name".to_owned(), json!(null)),
        ("/boats/0/datum".to_owned(), json!("keel")),
        ("/boats/0/length_m".to_owned(), json!("0.9")),
        (part("mass_kg"), json!("1.5")),
        (part("mass_kg"), json!(-0.1)),
        (part("centre_m"), json!([0.0, 0.0])),
        (part("centre_m"), json!([0.0, 0.0, 0.0, 0.0])),
        (part("status"), json!("lost")),
        (part("material/density_kg_m3"), json!(0.0)),
        (part("material/density_kg_m3"), json!(-2750.0)),
        (part("wall/inside"), json!("oil")),
        (part("solid"), json!("heap")),
        (part("solid"), json!({ "heap": { "size_m": [1, 1, 1] } })),
        (part("solid"), json!({})),
        (part("solid/sphere/diameter_m"), json!([0.07])),
        ("/boats/0/tanks/0/inside_a_part".to_owned(), json!(1)),
        ("/boats/0/tanks/0/bulkheads/0/way".to_owned(), json!("diagonal")),
        ("/boats/0/tanks/0/fill".to_owned(), json!("half")),
        ("/boats/0/tanks/2/kind".to_owned(), json!("barrel")),
        ("/boats/0/tanks/2/inlet".to_owned(), json!("port")),
        ("/boats/0/tanks/2/piston_mass_kg".to_owned(), json!("85 g")),
        ("/boats/0/tanks/5/pump_pressure_pa".to_owned(), json!("1.5 bar")),
        ("/boats/0/tanks/6/stop_depth_m".to_owned(), json!([1.2])),
        ("/boats/0/places/0/medium".to_owned(), json!("air")),
        ("/boats/1/quick/fullness".to_owned(), json!([0.75])),
        ("/boats/1/quick/fullness".to_owned(), json!(1.2)),
        ("/boats/1/quick/beam_m".to_owned(), json!(-0.13)),
        ("/boats/1/quick/mass_kg".to_owned(), json!(0)),
        ("/sessions/0/id".to_owned(), json!("")),
        ("/sessions/0/started_at".to_owned(), json!(20_260_509)),
        ("/sessions/0/entries".to_owned(), json!("nothing")),
        ("/sessions/0/entries/0/id".to_owned(), json!("")),
        ("/sessions/0/entries/0/checks/time".to_owned(), json!("never")),
        ("/sessions/0/entries/0/checks/checks/0/state".to_owned(), json!("fine")),
        ("/sessions/0/entries/2/done/lines".to_owned(), json!("84 g")),
        ("/sessions/0/entries/3/note".to_owned(), json!(["wind"])),
        ("/sessions/0/entries/4/picture/width_px".to_owned(), json!(-640)),
        ("/sessions/0/entries/4/picture/width_px".to_owned(), json!(6.5)),
        ("/sessions/0/entries/5/run/ended_at".to_owned(), json!(55)),
        ("/sessions/0/entries/7/lean/fill".to_owned(), json!(null)),
        ("/sessions/0/entries/7/lean/state".to_owned(), json!(4)),
        (at("/condition"), json!("sunk")),
        (at("/marks/0/above_m"), json!("4 mm")),
        (at("/list_deg"), json!("1")),
        (at("/aboard/0/at_m"), json!([0.1, 0.0])),
        (at("/found/mass_kg"), json!(4.97)),
        (at("/found/untold/0"), json!("height")),
        (at("/foretold/list_deg/value"), json!("0.2")),
        (at("/advice"), json!("leave it")),
        (at("/good"), json!("yes")),
        ("/checks/0/id".to_owned(), json!("")),
        ("/checks/0/before/0/words".to_owned(), json!(1)),
        ("/materials/0/density_kg_m3".to_owned(), json!("heavy")),
        ("/draft/marks".to_owned(), json!([1])),
        ("/draft/marks/bow".to_owned(), json!(-3.5)),
        ("/draft/forms/note".to_owned(), json!("windy")),
        ("/draft/forms/note/text".to_owned(), json!(3)),
        ("/draft/water/kind".to_owned(), json!("salty")),
        ("/draft/list_to_port".to_owned(), json!("no")),
        ("/settings/theme".to_owned(), json!(1)),
        ("/settings/length".to_owned(), json!("cubit")),
        ("/settings/remind_after".to_owned(), json!(-1)),
        ("/settings/tilt_zero_deg".to_owned(), json!([0.4])),
        ("/missing/unknown".to_owned(), json!("perhaps")),
        ("/missing/sessions".to_owned(), json!(2)),
        ("/missing/pictures/0".to_owned(), json!(1)),
    ] {
        let broken = changed(&whole, &place, to.clone());
        assert_ne!(problems(&judge, &broken), Vec::<String>::new(), "{to} at {place} is valid");
        assert!(read(&broken.to_string()).is_err(), "{to} at {place} was read");
    }
    for (name, of) in [("meshes", "faces"), ("pictures", "base64")] {
        let first = whole[name].as_object().and_then(|m| m.keys().next()).expect("one of them");
        for to in [json!(12), json!([[0, 1]]), json!("a+b=c"), json!("")] {
            let place = format!("/{name}/{first}/{of}");
            let broken = changed(&whole, &place, to.clone());
            let valid = problems(&judge, &broken).is_empty();
            // No text is base64 too, of no bytes; an open mesh is seen by `read` only.
            let is_good = read(&broken.to_string()).is_ok();
            assert_eq!(valid, is_good, "{to} at {place}: valid {valid}, read {is_good}");
            assert_eq!(valid, name == "pictures" && to == json!(""), "{to} at {place}");
        }
    }
}

#[test]
fn what_must_be_there_is_missed() {
    let judge = validator(&schema());
    let whole = json_of(&write(&full_diary()));
    let sphere = whole["boats"][0]["parts"].as_array().expect("parts").len() - 3;
    for place in [
        "/format",
        "/version",
        "/boats/0/id",
        "/boats/0/name",
        "/boats/0/parts/0/name",
        "/boats/0/parts/0/mass_kg",
        "/boats/0/parts/0/solid/box/size_m",
        "/boats/0/parts/9/solid/mesh/faces",
        "/boats/0/parts/10/centre_m",
        &format!("/boats/0/parts/{sphere}/material/name"),
        &format!("/boats/0/parts/{sphere}/coat/thickness_m"),
        &format!("/boats/0/parts/{sphere}/solid/sphere/centre_m"),
        "/boats/0/tanks/0/cavity",
        "/boats/0/tanks/0/liquid_density_kg_m3",
        "/boats/0/tanks/0/bulkheads/0/at_m",
        "/boats/0/marks/0/at_m",
        "/boats/0/places/0/height_m",
        "/boats/1/quick/waterline_m",
        "/sessions/0/id",
        "/sessions/0/boat",
        "/sessions/0/started_at",
        "/sessions/0/entries/0/id",
        "/sessions/0/entries/0/at",
        "/sessions/0/entries/0/checks/time",
        "/sessions/0/entries/0/checks/checks/0/id",
        "/sessions/0/entries/1/reading/condition",
        "/sessions/0/entries/1/reading/water_density_kg_m3",
        "/sessions/0/entries/1/reading/marks/0/above_m",
        "/sessions/0/entries/1/reading/found/mass_kg",
        "/sessions/0/entries/1/reading/foretold/list_deg/spread",
        "/sessions/0/entries/2/done/lines",
        "/sessions/0/entries/4/picture/height_px",
        "/sessions/0/entries/7/lean/list_deg",
        "/sessions/0/entries/10/new_boat/lines",
        "/checks/0/id",
        "/materials/0/density_kg_m3",
    ] {
        let broken = without(&whole, place);
        assert_ne!(problems(&judge, &broken), Vec::<String>::new(), "valid without {place}");
        assert!(read(&broken.to_string()).is_err(), "read without {place}");
    }
}

/// The schema with no field allowed that it does not describe.
fn without_other_fields() -> Value {
    let mut schema = schema();
    let mut closed = 0;
    for_each_object(&mut schema, "", &mut |_, map| {
        if map.get("additionalProperties") == Some(&json!(true)) {
            map.insert("additionalProperties".to_owned(), json!(false));
            closed += 1;
        }
    });
    assert!(closed > 30, "only {closed} objects were closed");
    schema
}

#[test]
fn the_schema_describes_every_field_that_is_written() {
    let strict = validator(&without_other_fields());
    let mut file = json_of(&write(&full_diary()));
    assert_valid(&strict, &file);
    // A field that it does not describe is seen, wherever it is.
    let mut places = Vec::new();
    for_each_object(&mut file, "", &mut |path, map| {
        if !has_no_fields(path, map) {
            places.push(path.to_owned());
        }
    });
    assert!(places.len() > 80, "only {} objects", places.len());
    for place in &places {
        let mut with_one = file.clone();
        with_one.pointer_mut(place).expect("it is there")["from_the_future"] = json!(1);
        assert!(!strict.is_valid(&with_one), "a field more at {place} was not seen");
        assert!(validator(&schema()).is_valid(&with_one), "and is allowed there: {place}");
    }
}

#[test]
fn the_schema_describes_no_field_that_is_not_written() {
    // Each field of the schema is in the full export, or is the shape of a solid that another
    // field names.
    let mut named = std::collections::BTreeSet::new();
    for_each_object(&mut json_of(&write(&full_diary())), "", &mut |_, map| {
        named.extend(map.keys().cloned());
    });
    let mut missing = Vec::new();
    for_each_object(&mut schema(), "", &mut |path, map| {
        if path.ends_with("/properties") {
            missing.extend(map.keys().filter(|k| !named.contains(*k)).cloned());
        }
    });
    assert_eq!(missing, Vec::<String>::new(), "fields that nothing writes");
}

#[test]
fn every_field_of_the_schema_says_what_it_is() {
    let mut silent = Vec::new();
    for_each_object(&mut schema(), "", &mut |path, map| {
        if path.ends_with("/properties") {
            for (name, field) in map {
                let says = field["description"].as_str().unwrap_or_default();
                if says.len() < 8 || !says.ends_with('.') {
                    silent.push(format!("{path}/{name}: {says}"));
                }
            }
        }
    });
    assert_eq!(silent, Vec::<String>::new(), "fields without a sentence");
}
