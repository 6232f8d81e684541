//! Files of versions 1 and 2: readings stood in one list, each with its boat. Every day with one
//! boat becomes a session. Version 1 lacks only fields that may be absent.

use super::boat_record::BoatRecord;
use super::part_record::MaterialRecord;
use super::reading_record::ReadingRecord;
use super::record::{Diary, Draft, Extra};
use super::session_record::{Entry, EntryRecord, SessionRecord};
use super::settings::Settings;
use serde::Deserialize;

/// Everything that was kept.
#[derive(Deserialize)]
pub(super) struct DiaryOfVersion2 {
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

impl From<DiaryOfVersion2> for Diary {
    fn from(old: DiaryOfVersion2) -> Self {
        Self {
            boats: old.boats,
            sessions: sessions(old.readings),
            materials: old.materials,
            draft: old.draft,
            settings: old.settings,
            extra: old.extra,
            ..Self::default()
        }
    }
}

/// One session for each boat and day (in UTC), in the order in which they began.
fn sessions(readings: Vec<ReadingOfVersion2>) -> Vec<SessionRecord> {
    let mut sessions: Vec<SessionRecord> = Vec::new();
    for ReadingOfVersion2 { id, boat, kept_at, reading } in readings {
        let same = |s: &&mut SessionRecord| s.boat == boat && day(&s.started_at) == day(&kept_at);
        let entry = EntryRecord {
            id: id.clone(),
            at: kept_at.clone(),
            what: Entry::Reading(Box::new(reading)),
            extra: Extra::new(),
        };
        if let Some(session) = sessions.iter_mut().find(same) {
            session.entries.push(entry);
            continue;
        }
        let (water, density) = match &entry.what {
            Entry::Reading(first) => (first.water.clone(), Some(first.water_density_kg_m3)),
            _ => (String::new(), None),
        };
        sessions.push(SessionRecord {
            id: format!("session-of-{id}"),
            boat,
            started_at: kept_at,
            water,
            water_density_kg_m3: density,
            entries: vec![entry],
            ..SessionRecord::default()
        });
    }
    sessions
}

/// The day of an ISO time; a text that is none is a day of its own.
fn day(iso: &str) -> &str {
    iso.split_once('T').map_or(iso, |(day, _)| day)
}
