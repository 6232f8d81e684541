//! Files of versions 1 and 2: readings stood in one list, each with its boat. Every day with one
//! boat becomes a session. Version 1 lacks only fields that may be absent.

use super::boat_record::BoatRecord;
use super::part_record::MaterialRecord;
use super::reading_record::ReadingRecord;
use super::record::{Diary, Draft, Extra, check_identities};
use super::session_record::{Entry, EntryRecord, SessionRecord};
use super::settings::Settings;
use serde::Deserialize;
use std::collections::HashMap;

/// Everything that was kept.
#[derive(Deserialize)]
struct DiaryOfVersion2 {
    #[serde(default)]
    boats: Vec<BoatRecord>,
    #[serde(default)]
    readings: Vec<ReadingOfVersion2>,
    #[serde(default)]
    materials: Vec<MaterialRecord>,
    #[serde(default)]
    draft: Draft,
    #[serde(default)]
    settings: Settings,
    #[serde(rename = "format")]
    _format: String,
    #[serde(rename = "version")]
    _version: u64,
    #[serde(flatten)]
    extra: Extra,
}

/// A reading with its identity, its boat and its time.
#[derive(Deserialize)]
struct ReadingOfVersion2 {
    id: String,
    boat: String,
    kept_at: String,
    #[serde(flatten)]
    reading: ReadingRecord,
}

/// The diary of a text of version 1 or 2; the reason if it is none.
pub(super) fn read_version_2(text: &str) -> Result<Diary, String> {
    let old: DiaryOfVersion2 = serde_json::from_str(text).map_err(|e| e.to_string())?;
    check_identities("readings", old.readings.iter().map(|r| &r.id))?;
    Ok(Diary {
        boats: old.boats,
        sessions: sessions(old.readings),
        materials: old.materials,
        draft: old.draft,
        settings: old.settings,
        extra: old.extra,
        ..Diary::default()
    })
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
