//! The answer for other programs: what is printed of an export, whatever version wrote it.

use crate::support::real::{Real, read as read_real};
use serde_json::{Value, json};
use trimwright::answer::{PrintError, Printed, ReadyBoat};
use trimwright::boat::{Part, demo_boat};
use trimwright::diary::{
    BoatRecord, ConditionRecord, Diary, Draft, Entry, EntryRecord, ReadingRecord, SessionRecord,
    TEMPLATES, read, state_of, write,
};
use trimwright::float::{Basin, FloatModel, Tolerance, hang, release};
use trimwright::frame::Position;
use trimwright::geometry::Fineness;
use trimwright::reading::{Condition, Observation, Reading, Seen};
use trimwright::unit::{DEGREE, GRAM, MILLIMETRE};

/// Fresh water of 20 °C, kg/m³, as a draft has it that nobody touched. Source: Tanaka et al. 2001,
/// Metrologia 38:301.
const POOL: f64 = 998.2067;

fn printed(diary: &Diary) -> Value {
    // By way of the file, as another program gives it.
    let diary = read(&write(diary)).expect("the app's own file");
    serde_json::to_value(Printed::of(&diary).expect("an answer")).expect("JSON")
}

fn of_boat(boat: BoatRecord, draft: Draft) -> Diary {
    let draft = Draft { boat: boat.id.clone(), ..draft };
    Diary { boats: vec![boat], draft, ..Diary::default() }
}

fn heron() -> BoatRecord {
    let heron = TEMPLATES.iter().map(|t| t.boat_record().expect("a file of ours"));
    let mut heron = heron.into_iter().find(|b| b.name.contains("Heron")).expect("one of them");
    "heron".clone_into(&mut heron.id);
    heron
}

fn model_of(boat: &BoatRecord) -> FloatModel {
    FloatModel::new(&boat.boat().expect("parts"), Fineness::WORK).expect("a boat")
}

fn figure(value: &Value) -> [f64; 2] {
    serde_json::from_value(value.clone()).expect("a value and its spread")
}

#[test]
fn a_boat_that_its_tank_makes_neutral_is_left_alone() {
    // Heron hangs 1.1° by the bow with its tank full, and is neutral with 586 ml of its 656 ml.
    let under = Draft {
        condition: ConditionRecord::Under,
        residual: "70".to_owned(),
        list: "0".to_owned(),
        trim: "1.1".to_owned(),
        ..Draft::default()
    };
    let answer = printed(&of_boat(heron(), under));
    assert_eq!(answer["verdict"], "leave_it", "{answer}");
    assert_eq!(answer["steps"], json!([]), "nothing to do: {answer}");
    assert_eq!(answer["boat"], "heron");
    let [fill, spread] = figure(&answer["after"]["under"]["fill"]);
    assert!((fill - 586.0 / 656.0).abs() < 0.005, "neutral at {fill}");
    assert!(spread > 0.0 && spread < 0.02, "± {spread}");
    let [residual, _] = figure(&answer["after"]["under"]["residual_kg"]);
    assert!(residual.abs() < 1e-6, "it lacks nothing: {residual}");
}

/// The demonstration boat with a weight that its ledger does not have, at the height of its centre of
/// gravity, which no reading tells: the ledger, the weight, and what is read of the boat as it floats.
fn read_with(mass: f64, [x, y]: [f64; 2]) -> (BoatRecord, Part, Reading) {
    let ledger = demo_boat().expect("fixed sizes");
    let model = FloatModel::new(&ledger, Fineness::WORK).expect("a boat");
    let z = model.centre_of_gravity(nalgebra::Vector3::z_axis()).z();
    let forgotten = Part::weight("forgotten", mass, Position::new(x, y, z));
    let mut real = ledger.clone();
    real.parts.push(forgotten.clone());
    let model = FloatModel::new(&real, Fineness::WORK).expect("a boat");
    let basin = Basin::deep(POOL);
    let blown = model.flooded(0.0, POOL).expect("a share");
    let pose = release(&blown, basin, &Tolerance::FINE).expect("water").pose();
    let mut seen: Vec<Seen> = ledger
        .marks
        .iter()
        .map(|mark| Seen::WaterAtMark {
            mark: mark.clone(),
            above: pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z(),
        })
        .collect();
    seen.push(Seen::List(pose.heel()));
    let observation = |seen: Seen| {
        let spread = if matches!(seen, Seen::List(_)) { 0.3 * DEGREE } else { MILLIMETRE };
        Observation { seen, spread }
    };
    let observations = seen.into_iter().map(observation).collect();
    let reading = Reading {
        condition: Condition::Afloat,
        water_density: POOL,
        aboard: Vec::new(),
        observations,
        ..Reading::default()
    };
    (BoatRecord::ledger("dipper", &ledger), forgotten, reading)
}

fn kept(boat: &BoatRecord, reading: &Reading) -> Diary {
    let state = state_of(boat).0;
    let record = ReadingRecord { state, ..ReadingRecord::of(reading, "pool", 0.0) };
    let at = "2026-05-01T10:00:00.000Z".to_owned();
    let entry = EntryRecord {
        id: "e1".to_owned(),
        at: at.clone(),
        what: Entry::Reading(Box::new(record)),
        extra: serde_json::Map::new(),
    };
    let session = SessionRecord {
        id: "s1".to_owned(),
        boat: boat.id.clone(),
        started_at: at,
        entries: vec![entry],
        ..SessionRecord::default()
    };
    Diary { sessions: vec![session], ..of_boat(boat.clone(), Draft::default()) }
}

#[test]
fn a_forgotten_weight_is_found_and_what_is_advised_brings_the_boat_to_its_marks() {
    // The boat's own parts make it lie a little off its marks; the weight is found against them.
    let mass = 250.0 * GRAM;
    let (boat, forgotten, reading) = read_with(mass, [0.1, 0.01]);
    let answer = printed(&kept(&boat, &reading));
    let ledger = model_of(&boat);
    let [found, spread] = figure(&answer["estimate"]["mass_kg"]);
    let expected = ledger.mass() + mass;
    // How much of it is mass, and how much a hull that displaces less, no single reading tells.
    assert!((found - expected).abs() < spread, "{found} ± {spread} for {expected} kg");
    assert!(spread > 0.0 && spread < 0.1, "± {spread} kg");
    let [x, spread] = figure(&answer["estimate"]["x_m"]);
    let own = ledger.centre_of_gravity(nalgebra::Vector3::z_axis()).vector().x;
    let expected_x = (own * ledger.mass() + forgotten.centre.x() * mass) / expected;
    assert!(
        (x - expected_x).abs() < spread && spread < MILLIMETRE,
        "the centre at {x} for {expected_x}"
    );

    assert_eq!(answer["verdict"], "do", "{answer}");
    // Done to the real boat as another program would, it lies at its marks as foretold.
    let mut real = boat.boat().expect("a boat");
    real.parts.push(forgotten);
    let mut model = FloatModel::new(&real, Fineness::WORK).expect("a boat");
    for step in answer["steps"].as_array().expect("a list") {
        let mass = step["mass_kg"].as_f64().expect("a mass");
        let [x, y, z]: [f64; 3] = serde_json::from_value(step["at_m"].clone()).expect("a place");
        let at = Position::new(x, y, z);
        model = match step["do"].as_str() {
            Some("add") => model.with_weight(mass, at),
            Some("take_off") => model.with_weight(-mass, at),
            _ => {
                let to: [f64; 3] = serde_json::from_value(step["to_m"].clone()).expect("a place");
                let away = model.with_weight(mass, Position::new(to[0], to[1], to[2]));
                away.and_then(|model| model.with_weight(-mass, at))
            }
        }
        .expect("still a boat");
    }
    let blown = model.flooded(0.0, POOL).expect("a share");
    let pose = release(&blown, Basin::deep(POOL), &Tolerance::FINE).expect("water").pose();
    for mark in &real.marks {
        let above = pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z();
        let [told, spread] = figure(&answer["after"]["afloat"]["marks_m"][&mark.name]);
        assert!((above - told).abs() < spread, "{}: {above} for {told} ± {spread}", mark.name);
        assert!(above.abs() < 2.0 * MILLIMETRE, "{}: {above} m off", mark.name);
        assert!(spread < 2.0 * MILLIMETRE, "{}: ± {spread}", mark.name);
    }
    // And under water it hangs as foretold.
    let [fill, _] = figure(&answer["after"]["under"]["fill"]);
    let diving = model.flooded(fill, POOL).expect("a share");
    let hangs = hang(&diving, Basin::deep(POOL), &Tolerance::FINE).expect("water");
    let [trim, spread] = figure(&answer["after"]["under"]["trim_deg"]);
    assert!((hangs.pose.trim() / DEGREE - trim).abs() < spread, "trim {trim} ± {spread}");
    let bg = answer["after"]["under"]["bg_m"].as_f64().expect("a length");
    let [_, height] = figure(&answer["estimate"]["z_m"]);
    assert!((hangs.bg - bg).abs() < height, "BG {} for {bg} ± {height}", hangs.bg);
}

#[test]
fn the_estimate_is_of_the_boat_without_the_water_in_its_tanks() {
    // Read under water with a full tank, whose water is no part of what was forgotten.
    let record = heron();
    let z = model_of(&record).centre_of_gravity(nalgebra::Vector3::z_axis()).z();
    let mass = 250.0 * GRAM;
    let moment = nalgebra::Vector3::new(0.1, 0.01, z) * mass;
    let real = Real { boat: record.boat().expect("a boat"), mass, moment };
    let reading = read_real(&real, Condition::Under);
    let mut diary = kept(&record, &reading);
    let Entry::Reading(kept) = &mut diary.sessions[0].entries[0].what else { panic!("it is one") };
    kept.fill = 1.0;
    let answer = printed(&diary);
    let blown = real.at(0.0);
    let [found, spread] = figure(&answer["estimate"]["mass_kg"]);
    assert!((found - blown.mass()).abs() < spread, "{found} ± {spread} for {} kg", blown.mass());
    let centre = blown.centre_of_gravity(nalgebra::Vector3::z_axis()).vector();
    for (axis, expected) in [("x_m", centre.x), ("y_m", centre.y)] {
        let [got, spread] = figure(&answer["estimate"][axis]);
        // The reading has no error, and what was known of the boat before draws it less than a fifth of the ±. With the
        // tank's water in it, it would be half a millimetre off along.
        let off = (got - expected).abs();
        assert!(
            off < 0.2 * MILLIMETRE && off < 0.2 * spread,
            "{axis}: {got} ± {spread} for {expected}"
        );
    }
}

#[test]
fn a_reading_counts_while_the_boat_is_as_it_was() {
    let (boat, _, reading) = read_with(250.0 * GRAM, [0.1, 0.01]);
    let mut diary = kept(&boat, &reading);
    assert_eq!(printed(&diary)["verdict"], "do");
    let hull = diary.boats[0].parts.first_mut().expect("a hull");
    hull.mass_kg = hull.mass_kg.map(|mass| mass + 0.05);
    let answer = printed(&diary);
    assert_eq!(answer["verdict"], "read_more", "nobody has read this boat: {answer}");
    assert_eq!(answer["steps"], json!([]), "and nothing is advised");
    assert!(answer["next"].as_array().is_some_and(|next| !next.is_empty()), "but what to read is");
    // What is typed is newer than all that was kept.
    let mark = boat.marks.first().expect("a mark").name.clone();
    diary.draft.marks.insert(mark, "-20".to_owned());
    assert_ne!(printed(&diary)["verdict"], "leave_it", "20 mm are something");
}

#[test]
fn what_gives_no_answer_says_why() {
    let none = Printed::of(&Diary::default()).expect_err("no boat");
    assert!(matches!(none, PrintError::NoBoat), "{none}");
    let draft = Draft { boat: "gone".to_owned(), ..Draft::default() };
    let gone = Printed::of(&Diary { draft, ..Diary::default() }).expect_err("no such boat");
    assert!(gone.to_string().contains("gone"), "{gone}");
    let bad = Draft { list: "1.2.3".to_owned(), trim: "x".to_owned(), ..Draft::default() };
    let bad = Printed::of(&of_boat(heron(), bad)).expect_err("no figures").to_string();
    assert!(bad.contains("the list") && bad.contains("the trim"), "{bad}");
}

#[test]
fn exports_of_older_versions_are_answered() {
    let mut answered = 0;
    for text in [
        include_str!("../data/diary_v1.json"),
        include_str!("../data/diary_v2.json"),
        include_str!("../data/diary_v3.json"),
    ] {
        let mut diary = read(text).expect("a kept sample");
        for id in diary.boats.iter().map(|boat| boat.id.clone()).collect::<Vec<_>>() {
            diary.draft = Draft { boat: id.clone(), ..Draft::default() };
            // A sample holds a boat that no version can calculate: its bulkhead stands outside its tank.
            let boat = diary.boat(&id).expect("it is there");
            if ReadyBoat::of(boat).is_err() {
                assert!(matches!(Printed::of(&diary), Err(PrintError::Hand(_))), "{id}");
                continue;
            }
            let answer = printed(&diary);
            assert_eq!(answer["boat"], Value::String(id));
            assert!(answer["estimate"]["mass_kg"][0].as_f64() > Some(0.0), "{answer}");
            answered += 1;
        }
    }
    assert!(answered >= 3, "{answered} boats");
}
