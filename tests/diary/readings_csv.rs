//! The table of readings: a spreadsheet finds in it what was read, and takes nothing for a formula.

use crate::support::diary::{diary, entry, full_diary, reading, session};
use crate::support::random::{Random, random_diary};
use crate::support::random_cases;
use proptest::prelude::*;
use std::collections::BTreeMap;
use trimwright::diary::{
    ConditionRecord, Diary, Entry, LeanRecord, MarkReading, ReadingRecord, SessionRecord,
    TableStyle, UnknownRecord, readings_csv,
};

/// Any number will do.
const SEED: u64 = 20_260_531;

/// The rows of a table, each a value by its column; the reader is of other hands.
fn rows(table: &str, style: TableStyle) -> Vec<BTreeMap<String, String>> {
    let delimiter = if style == TableStyle::Point { b',' } else { b';' };
    let mut reader = csv::ReaderBuilder::new().delimiter(delimiter).from_reader(table.as_bytes());
    let head = reader.headers().expect("a row of names").clone();
    let named = |row: csv::StringRecord| {
        head.iter().zip(&row).map(|(name, value)| (name.to_owned(), value.to_owned())).collect()
    };
    reader.records().map(|row| named(row.expect("a row as long as the first"))).collect()
}

fn of_reading(change: impl FnOnce(&mut ReadingRecord)) -> Diary {
    let mut read = reading();
    change(&mut read);
    let mut it = session("s", "grebe", "2026-05-09T10:31:00.000Z");
    "pond".clone_into(&mut it.place);
    it.entries[0].what = Entry::Reading(Box::new(read));
    Diary { sessions: vec![it], ..diary() }
}

#[track_caller]
fn only_row(diary: &Diary, style: TableStyle) -> BTreeMap<String, String> {
    let [row] = rows(&readings_csv(diary, style), style).try_into().expect("one reading");
    row
}

#[test]
fn a_row_says_what_was_read_told_and_foretold() {
    let diary = of_reading(|r| {
        let found = r.found.as_mut().expect("it told something");
        found.untold = vec![UnknownRecord::Across];
    });
    let row = only_row(&diary, TableStyle::Point);
    let expected = [
        ("time", "2026-05-09T10:31:00.000Z"),
        ("boat", "Six numbers, \"quoted\" and ünïcode"),
        ("place", "pond"),
        ("water", "fresh water of 20 °C"),
        ("water_density_kg_m3", "998.207"),
        ("condition", "afloat"),
        ("list_deg", "-1.3"),
        ("trim_deg", "0.7"),
        ("residual_g", "35"),
        ("bow_mm", "4"),
        ("stern_mm", "-2.5"),
        ("fill_percent", "25"),
        ("mass_found_g", "4970"),
        ("mass_found_standard_deviation_g", "12"),
        ("advice", "Put 84 g 212 mm forward of midship."),
        ("foretold_list_deg", "0.2"),
        ("foretold_trim_deg", "-0.1"),
    ];
    let expected: BTreeMap<String, String> =
        expected.map(|(name, value)| (name.to_owned(), value.to_owned())).into();
    assert_eq!(row, expected, "every column");
}

#[test]
fn the_columns_stand_in_this_order() {
    let table = readings_csv(&full_diary(), TableStyle::Point);
    let head = table.lines().next().expect("a first line").trim_start_matches('\u{feff}');
    let expected = "time,boat,place,water,water_density_kg_m3,condition,list_deg,trim_deg,residual_g,\
        bow_mm,stern_mm,fill_percent,mass_found_g,mass_found_standard_deviation_g,advice,\
        foretold_list_deg,foretold_trim_deg";
    assert_eq!(head, expected, "marks among them");
    let empty = readings_csv(&Diary::default(), TableStyle::Point);
    assert_eq!(empty.lines().count(), 1, "without readings the names alone: {empty}");
}

#[test]
fn what_was_not_seen_or_told_is_empty() {
    let diary = of_reading(|r| {
        *r = ReadingRecord {
            condition: ConditionRecord::Under,
            water_density_kg_m3: 1000.0,
            found: r.found.clone(),
            ..ReadingRecord::default()
        };
    });
    let row = only_row(&diary, TableStyle::Point);
    let empty = [
        "list_deg",
        "trim_deg",
        "residual_g",
        // The mass is among what it did not tell.
        "mass_found_g",
        "mass_found_standard_deviation_g",
        "advice",
        "foretold_list_deg",
        "foretold_trim_deg",
    ];
    for name in empty {
        assert_eq!(row[name], "", "{name}");
    }
    assert_eq!((row["condition"].as_str(), row["fill_percent"].as_str()), ("under", "0"), "");
    assert!(!row.contains_key("bow_mm"), "no mark was read");
}

#[test]
fn a_lean_seen_on_the_way_is_a_row_with_its_list_and_fill() {
    let mut diary = of_reading(|_| {});
    let lean = LeanRecord {
        fill: 0.55,
        list_deg: -12.0,
        going_up: true,
        water_density_kg_m3: Some(1025.0),
        ..LeanRecord::default()
    };
    diary.sessions[0].entries.push(entry("e2", "2026-05-09T10:40:00.000Z", Entry::Lean(lean)));
    let [_, row] = rows(&readings_csv(&diary, TableStyle::Point), TableStyle::Point)
        .try_into()
        .expect("the reading and the lean");
    let told: Vec<(&str, &str)> =
        row.iter().filter(|(_, v)| !v.is_empty()).map(|(k, v)| (&**k, &**v)).collect();
    // By the columns' names in the order of the alphabet; all others are empty.
    let expected = [
        ("boat", "Six numbers, \"quoted\" and ünïcode"),
        ("condition", "going_up"),
        ("fill_percent", "55"),
        ("list_deg", "-12"),
        ("place", "pond"),
        ("time", "2026-05-09T10:40:00.000Z"),
        ("water_density_kg_m3", "1025"),
    ];
    assert_eq!(told, expected, "what is told of it");
}

#[test]
fn each_mark_has_one_column_over_all_readings() {
    let mark = |name: &str, above_m: f64| {
        let mut mark: MarkReading = reading().marks[0].clone();
        name.clone_into(&mut mark.name);
        mark.above_m = above_m;
        mark
    };
    let mut diary = of_reading(|r| r.marks = vec![mark("stern", 0.001), mark("bow", -0.0005)]);
    let other = of_reading(|r| r.marks = vec![mark("bow", 0.002), mark("=sail", 0.0)]);
    diary.sessions.extend(other.sessions);
    let table = readings_csv(&diary, TableStyle::Point);
    assert!(table.contains("residual_g,stern_mm,bow_mm,'=sail_mm,fill"), "in order: {table}");
    let [first, second] = rows(&table, TableStyle::Point).try_into().expect("two readings");
    assert_eq!(
        (&*first["stern_mm"], &*first["bow_mm"], &*first["'=sail_mm"]),
        ("1", "-0.5", ""),
        ""
    );
    assert_eq!(
        (&*second["stern_mm"], &*second["bow_mm"], &*second["'=sail_mm"]),
        ("", "2", "0"),
        ""
    );
}

#[test]
fn decimal_commas_go_with_semicolons() {
    let row = only_row(&of_reading(|_| {}), TableStyle::Comma);
    assert_eq!(row["stern_mm"], "-2,5", "a comma in a number");
    assert_eq!(row["water_density_kg_m3"], "998,207", "and in another");
    assert_eq!(row["boat"], "Six numbers, \"quoted\" and ünïcode", "a comma in a text");
}

#[test]
fn no_text_is_a_formula() {
    for text in ["=1+1", "+49 30", "-x", "@now", "\tx", "\rx"] {
        let mut diary = of_reading(|r| {
            text.clone_into(&mut r.water);
            r.advice = vec![text.to_owned()];
        });
        text.clone_into(&mut diary.sessions[0].place);
        text.clone_into(&mut diary.boats[1].name);
        let row = only_row(&diary, TableStyle::Point);
        for name in ["water", "advice", "place", "boat"] {
            assert_eq!(row[name], format!("'{text}"), "{name}");
        }
        assert_eq!(row["list_deg"], "-1.3", "a number is no formula");
    }
}

#[test]
fn lines_end_as_the_standard_says_and_texts_keep_theirs() {
    let diary = of_reading(|r| r.water = "two\nlines".to_owned());
    let table = readings_csv(&diary, TableStyle::Point);
    // Source: RFC 4180, 2.1 and 2.6.
    assert_eq!(table.matches("\r\n").count(), 2, "a line of names and one reading");
    assert!(table.contains("\"two\nlines\""), "quoted: {table}");
    assert_eq!(only_row(&diary, TableStyle::Point)["water"], "two\nlines", "read back");
}

#[test]
fn a_boat_that_is_gone_is_named_as_it_was_or_by_its_identity() {
    let mut diary = of_reading(|r| "was".clone_into(&mut r.state));
    let mut boat = diary.boats.remove(1);
    "Grebe as it was".clone_into(&mut boat.name);
    assert_eq!(only_row(&diary, TableStyle::Point)["boat"], "grebe", "nothing is left but this");
    diary.states.insert("was".to_owned(), boat);
    assert_eq!(only_row(&diary, TableStyle::Point)["boat"], "Grebe as it was", "its state");
}

proptest! {
    #![proptest_config(random_cases(200, SEED))]

    #[test]
    fn every_reading_is_a_row_whatever_it_holds(seed in any::<u64>(), comma in any::<bool>()) {
        let diary = random_diary(&mut Random(seed));
        let style = if comma { TableStyle::Comma } else { TableStyle::Point };
        let rows = rows(&readings_csv(&diary, style), style);
        let rows: Vec<_> = rows.into_iter().filter(|r| !r["condition"].starts_with("going")).collect();
        let readings: Vec<_> = diary.sessions.iter().flat_map(SessionRecord::readings).collect();
        prop_assert_eq!(rows.len(), readings.len());
        for (row, (entry, reading)) in rows.iter().zip(readings) {
            prop_assert_eq!(&row["time"], &entry.at);
            let list = row["list_deg"].replace(',', ".").parse::<f64>().ok();
            match (list, reading.list_deg) {
                (Some(written), Some(read)) => {
                    let off = (written - read).abs();
                    prop_assert!(off <= 0.00051 + 1e-12 * read.abs(), "{} for {}", written, read);
                }
                (written, read) => prop_assert_eq!(written, read),
            }
        }
    }
}
