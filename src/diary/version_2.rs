//! Files of versions 1 and 2: readings stood in one list, each with its boat. Every day with one
//! boat becomes a session. Version 1 lacks only fields that may be absent.

use super::fields::{Extra, FieldValue, RecordReader, Wrong};
use super::reading_record::ReadingRecord;
use super::record::{Diary, check_identities};
use super::session_record::{Entry, EntryRecord, SessionRecord};
use serde_json::Value;
use std::collections::HashMap;

/// A reading with its identity, its boat and its time.
struct ReadingOfVersion2 {
    id: String,
    boat: String,
    kept_at: String,
    reading: ReadingRecord,
}

impl ReadingOfVersion2 {
    fn read(value: Value) -> Result<Self, Wrong> {
        let mut of = RecordReader::of(value);
        let (id, boat, kept_at) = (of.needs("id"), of.needs("boat"), of.needs("kept_at"));
        let reading = ReadingRecord::read(Value::Object(of.rest()));
        of.done(())?;
        Ok(Self { id, boat, kept_at, reading: reading? })
    }
}

/// The diary of a text of version 1 or 2; the reason if it is none.
pub(super) fn read_version_2(text: &str) -> Result<Diary, String> {
    let mut old = RecordReader::of(serde_json::from_str(text).map_err(|e| e.to_string())?);
    let _of_the_file: (String, u64) = (old.needs("format"), old.needs("version"));
    let readings: Vec<Value> = old.may("readings");
    let readings = readings.into_iter().map(ReadingOfVersion2::read).collect::<Result<Vec<_>, _>>();
    let readings = readings.map_err(|wrong| format!("readings: {wrong}"))?;
    check_identities("readings", readings.iter().map(|r| &r.id))?;
    let diary = Diary {
        boats: old.may("boats"),
        sessions: sessions(readings),
        materials: old.may("materials"),
        draft: old.may("draft"),
        settings: old.may("settings"),
        extra: old.rest(),
        ..Diary::default()
    };
    old.done(diary).map_err(|wrong| wrong.to_string())
}

/// One session for each boat and day (in UTC), in the order in which they began; readings in the
/// order of time, those of one time as they stood.
fn sessions(mut readings: Vec<ReadingOfVersion2>) -> Vec<SessionRecord> {
    readings.sort_by(|a, b| a.kept_at.cmp(&b.kept_at));
    let mut sessions: Vec<SessionRecord> = Vec::new();
    let mut of_day: HashMap<(String, String), usize> = HashMap::new();
    for reading in readings {
        let day = (reading.boat.clone(), day(&reading.kept_at).to_owned());
        let new = sessions.len();
        let at = *of_day.entry(day).or_insert(new);
        if at == new {
            sessions.push(beginning_with(&reading));
        }
        if let Some(session) = sessions.get_mut(at) {
            session.entries.push(EntryRecord {
                id: reading.id,
                at: reading.kept_at,
                what: Entry::Reading(Box::new(reading.reading)),
                extra: Extra::new(),
            });
        }
    }
    sessions
}

/// A session without entries that begins with a reading.
fn beginning_with(first: &ReadingOfVersion2) -> SessionRecord {
    SessionRecord {
        id: format!("session-of-{}", first.id),
        boat: first.boat.clone(),
        started_at: first.kept_at.clone(),
        water: first.reading.water.clone(),
        water_density_kg_m3: Some(first.reading.water_density_kg_m3),
        ..SessionRecord::default()
    }
}

/// The day of an ISO time; a text that is none is a day of its own.
pub(super) fn day(iso: &str) -> &str {
    iso.split_once('T').map_or(iso, |(day, _)| day)
}
