//! All readings as a table for spreadsheets (RFC 4180), leans seen on the way among them: one row each, every
//! column with its unit.

use super::found_record::{EstimateRecord, UnknownRecord};
use super::reading_record::{ConditionRecord, ReadingRecord};
use super::record::Diary;
use super::session_record::{Entry, EntryRecord, LeanRecord, SessionRecord};
use std::collections::HashMap;

/// How numbers are written in a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TableStyle {
    /// Decimal points, fields divided by commas.
    #[default]
    Point,
    /// Decimal commas, fields divided by semicolons: as spreadsheets in German have them.
    Comma,
}

/// Columns before those of the marks.
const BEFORE_MARKS: [&str; 9] = [
    "time",
    "boat",
    "place",
    "water",
    "water_density_kg_m3",
    "condition",
    "list_deg",
    "trim_deg",
    "residual_g",
];
/// Columns after those of the marks.
const AFTER_MARKS: [&str; 6] = [
    "fill_percent",
    "mass_found_g",
    "mass_found_standard_deviation_g",
    "advice",
    "foretold_list_deg",
    "foretold_trim_deg",
];

/// Grams in a kilogram, millimetres in a metre.
const THOUSAND: f64 = 1000.0;
/// Per cent in one.
const PER_CENT: f64 = 100.0;

/// A table of all readings, oldest session first: what was seen, what it told, the first line of the
/// advice and what was foretold. List is positive to starboard, trim bow down, the residual heavy,
/// the water at a mark above it; a field is empty where nothing was seen or told. A lean that was seen on the way
/// has `going_down` or `going_up` for its condition.
///
/// It begins with a byte order mark, without which spreadsheets take it for another encoding than
/// UTF-8. A text that a spreadsheet would take for a formula has an apostrophe before it.
pub fn readings_csv(diary: &Diary, style: TableStyle) -> String {
    let marks = marks(diary);
    let row = |(session, entry): (&SessionRecord, &EntryRecord)| match &entry.what {
        Entry::Reading(reading) => Some(row(diary, session, entry, reading, &marks, style)),
        Entry::Lean(lean) => Some(lean_row(diary, session, entry, lean, marks.len(), style)),
        _ => None,
    };
    let entries = diary.sessions.iter().flat_map(|s| s.entries.iter().map(move |entry| (s, entry)));
    let names = marks.iter().map(|name| text(&format!("{name}_mm")));
    let before = BEFORE_MARKS.iter().map(|&name| name.to_owned());
    let after = AFTER_MARKS.iter().map(|&name| name.to_owned());
    let head: Vec<String> = before.chain(names).chain(after).collect();
    let lines = std::iter::once(head).chain(entries.filter_map(row));
    let table: String = lines.map(|fields| line(&fields, style)).collect();
    format!("\u{feff}{table}")
}

/// A line of a table. A crate for this costs the app 17 kB (gzip); the tests read with one.
///
/// Source: RFC 4180, 2.1, 2.6 and 2.7.
fn line(fields: &[String], style: TableStyle) -> String {
    let between = match style {
        TableStyle::Point => ",",
        TableStyle::Comma => ";",
    };
    let quoted = |field: &String| {
        let plain = !field.contains([',', ';', '"', '\r', '\n']);
        if plain { field.clone() } else { format!("\"{}\"", field.replace('"', "\"\"")) }
    };
    let fields: Vec<String> = fields.iter().map(quoted).collect();
    format!("{}\r\n", fields.join(between))
}

fn readings(diary: &Diary) -> impl Iterator<Item = (&SessionRecord, &EntryRecord, &ReadingRecord)> {
    diary.sessions.iter().flat_map(|session| session.readings().map(move |(e, r)| (session, e, r)))
}

/// The names of all marks that were read, in the order in which they first were.
fn marks(diary: &Diary) -> Vec<&str> {
    let mut known: HashMap<&str, usize> = HashMap::new();
    for mark in readings(diary).flat_map(|(_, _, reading)| &reading.marks) {
        let next = known.len();
        known.entry(&mark.name).or_insert(next);
    }
    let mut names: Vec<(&str, usize)> = known.into_iter().collect();
    names.sort_by_key(|&(_, place)| place);
    names.into_iter().map(|(name, _)| name).collect()
}

fn row(
    diary: &Diary,
    session: &SessionRecord,
    entry: &EntryRecord,
    reading: &ReadingRecord,
    marks: &[&str],
    style: TableStyle,
) -> Vec<String> {
    let number = |value: Option<f64>, unit: f64| number(value, unit, style);
    let boat = diary.boat(&session.boat).or_else(|| diary.states.get(&reading.state));
    let condition = match reading.condition {
        ConditionRecord::Afloat => "afloat",
        ConditionRecord::Under => "under",
    };
    // A mass that the reading did not tell is the model's, not found.
    let found = reading.found.as_ref().filter(|f| !f.untold.contains(&UnknownRecord::Mass));
    let foretold = reading.foretold.as_ref();
    let angle = |of: Option<&EstimateRecord>| number(of.map(|e| e.value), 1.0);
    let at_mark = |name: &&str| {
        let mark = reading.marks.iter().find(|mark| mark.name == **name);
        number(mark.map(|mark| mark.above_m), THOUSAND)
    };
    let mut row = vec![
        text(&entry.at),
        text(boat.map_or(&session.boat, |b| &b.name)),
        text(&session.place),
        text(&reading.water),
        number(Some(reading.water_density_kg_m3), 1.0),
        condition.to_owned(),
        number(reading.list_deg, 1.0),
        number(reading.trim_deg, 1.0),
        number(reading.residual_kg, THOUSAND),
    ];
    row.extend(marks.iter().map(at_mark));
    row.extend([
        number(Some(reading.fill), PER_CENT),
        number(found.map(|f| f.mass_kg.value), THOUSAND),
        number(found.map(|f| f.mass_kg.spread), THOUSAND),
        text(reading.advice.first().map_or("", String::as_str)),
        angle(foretold.and_then(|f| f.list_deg.as_ref())),
        angle(foretold.and_then(|f| f.trim_deg.as_ref())),
    ]);
    row
}

/// The row of a lean: of the columns between, only the list and the fill are told.
fn lean_row(
    diary: &Diary,
    session: &SessionRecord,
    entry: &EntryRecord,
    lean: &LeanRecord,
    n_marks: usize,
    style: TableStyle,
) -> Vec<String> {
    let boat = diary.boat(&session.boat).or_else(|| diary.states.get(&session.state));
    let nothing = |n: usize| std::iter::repeat_n(String::new(), n);
    let mut row = vec![
        text(&entry.at),
        text(boat.map_or(&session.boat, |b| &b.name)),
        text(&session.place),
        String::new(),
        number(lean.water_density_kg_m3, 1.0, style),
        (if lean.going_up { "going_up" } else { "going_down" }).to_owned(),
        number(Some(lean.list_deg), 1.0, style),
    ];
    row.extend(nothing(BEFORE_MARKS.len() - row.len() + n_marks));
    row.push(number(Some(lean.fill), PER_CENT, style));
    row.extend(nothing(AFTER_MARKS.len() - 1));
    row
}

/// A text that no spreadsheet takes for a formula.
fn text(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if formula { format!("'{text}") } else { text.to_owned() }
}

/// A number in another unit, to a thousandth of it.
fn number(value: Option<f64>, unit: f64, style: TableStyle) -> String {
    let Some(value) = value.map(|v| v * unit).filter(|v| v.is_finite()) else {
        return String::new();
    };
    let digits = format!("{value:.3}");
    let short = digits.trim_end_matches('0').trim_end_matches('.');
    let plain = if short == "-0" { "0" } else { short };
    match style {
        TableStyle::Point => plain.to_owned(),
        TableStyle::Comma => plain.replace('.', ","),
    }
}
