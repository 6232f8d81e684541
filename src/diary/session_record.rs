//! A session in the file: one outing with one boat, and what happened there in the order of time.

use super::checks::{CheckRecord, CheckTime};
use super::doing::DeedRecord;
use super::reading_record::ReadingRecord;
use super::record::Extra;
use serde::{Deserialize, Serialize};
use serde_json::Value;

/// One outing with one boat.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct SessionRecord {
    /// Its identity; never changes.
    pub id: String,
    /// The boat's identity; never changes.
    pub boat: String,
    /// When it began, ISO 8601 in UTC; never changes.
    pub started_at: String,
    /// Where it was.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// The weather, in the builder's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub weather: String,
    /// The water at the start, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub water: String,
    /// The water's density at the start, kg/m³.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_density_kg_m3: Option<f64>,
    /// The boat as it was at the start: a name in [`super::Diary::states`]; empty if not kept.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub state: String,
    /// What happened, oldest first.
    #[serde(default)]
    pub entries: Vec<EntryRecord>,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

impl SessionRecord {
    /// The readings with their entries, oldest first.
    pub fn readings(&self) -> impl DoubleEndedIterator<Item = (&EntryRecord, &ReadingRecord)> {
        self.entries.iter().filter_map(|entry| match &entry.what {
            Entry::Reading(reading) => Some((entry, reading.as_ref())),
            _ => None,
        })
    }

    /// The leans that were seen on the way with their entries, oldest first.
    pub fn leans(&self) -> impl Iterator<Item = (&EntryRecord, &LeanRecord)> {
        self.entries.iter().filter_map(|entry| match &entry.what {
            Entry::Lean(lean) => Some((entry, lean)),
            _ => None,
        })
    }

    /// When something last happened in it, ISO 8601.
    pub fn last_at(&self) -> &str {
        self.entries.last().map_or(&self.started_at, |e| &e.at)
    }

    /// The name of the boat as it was last read, else as it was at the start.
    pub fn last_state(&self) -> &str {
        let mut of_readings = self.readings().rev().map(|(_, r)| r.state.as_str());
        of_readings.find(|name| !name.is_empty()).unwrap_or(&self.state)
    }

    /// The names of the states that it refers to; some may be named twice.
    pub fn states(&self) -> impl Iterator<Item = &str> {
        let of_readings = self.readings().map(|(_, r)| r.state.as_str());
        std::iter::once(self.state.as_str()).chain(of_readings).filter(|name| !name.is_empty())
    }

    /// The names of its pictures.
    pub fn pictures(&self) -> impl Iterator<Item = &str> {
        self.entries.iter().filter_map(|entry| match &entry.what {
            Entry::Picture(picture) => Some(picture.name.as_str()),
            _ => None,
        })
    }
}

/// One thing that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(from = "EntryFields", into = "EntryFields")]
pub struct EntryRecord {
    /// Its identity within the session.
    pub id: String,
    /// When, ISO 8601 in UTC; for a run, when it began.
    pub at: String,
    /// What.
    pub what: Entry,
    /// Fields of other versions.
    pub extra: Extra,
}

/// What can happen.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Entry {
    /// The boat was read, and an advice given.
    Reading(Box<ReadingRecord>),
    /// Something was done to the boat.
    Done(DoneRecord),
    /// The builder wrote something down.
    Note(String),
    /// A picture was taken.
    Picture(PictureRecord),
    /// A run, timed.
    Run(RunRecord),
    /// A list of checks was gone through, as it stands.
    Checks(ChecksRun),
    /// A lean was seen on the way down or up.
    Lean(LeanRecord),
    /// Something that a later version knows: kept as it is.
    Other,
}

/// What was done to the boat.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct DoneRecord {
    /// What, in words.
    pub lines: Vec<String>,
    /// The reading whose advice it was, by its entry's identity.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub after: String,
    /// The same as data.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub deeds: Vec<DeedRecord>,
    /// It was not what was advised: half of it, or something in its place.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub otherwise: bool,
    /// The boat's list as it was after that, by the name of its contents ([`super::state_of`]); empty if that was
    /// not noted.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub made: String,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// A picture; its bytes are kept apart under its name.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct PictureRecord {
    /// A name made of its contents: a key of [`super::Diary::pictures`].
    pub name: String,
    /// Its width, pixels.
    pub width_px: u32,
    /// Its height, pixels.
    pub height_px: u32,
    /// What it shows, in the builder's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// A run; it goes on while its end is not known.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct RunRecord {
    /// When it ended, ISO 8601 in UTC.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended_at: Option<String>,
    /// What it was, in the builder's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// A list of checks as it stood when it was last touched in this session.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ChecksRun {
    /// Which list.
    pub time: CheckTime,
    /// Its checks.
    pub checks: Vec<CheckRecord>,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// A lean that was seen on the way down or up.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct LeanRecord {
    /// About how full the tanks were, 0 (blown) to 1 (full).
    pub fill: f64,
    /// The lean, degrees, positive to starboard.
    pub list_deg: f64,
    /// It was seen on the way up.
    #[serde(default)]
    pub going_up: bool,
    /// The water's density, kg/m³; absent if it was not noted.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_density_kg_m3: Option<f64>,
    /// The boat's list as it was then, by the name of its contents ([`super::state_of`]); empty if that was not
    /// noted.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub state: String,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// An entry as its fields stand in the file: one of them says what happened.
#[derive(Clone, Serialize, Deserialize)]
struct EntryFields {
    id: String,
    at: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    reading: Option<Box<ReadingRecord>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    done: Option<DoneRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    note: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    picture: Option<PictureRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    run: Option<RunRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    checks: Option<ChecksRun>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    lean: Option<LeanRecord>,
    #[serde(flatten)]
    extra: Extra,
}

impl From<EntryFields> for EntryRecord {
    fn from(mut fields: EntryFields) -> Self {
        let mut found = Vec::new();
        found.extend(fields.reading.take().map(Entry::Reading));
        found.extend(fields.done.take().map(Entry::Done));
        found.extend(fields.note.take().map(Entry::Note));
        found.extend(fields.picture.take().map(Entry::Picture));
        found.extend(fields.run.take().map(Entry::Run));
        found.extend(fields.checks.take().map(Entry::Checks));
        found.extend(fields.lean.take().map(Entry::Lean));
        let mut found = found.into_iter();
        let what = found.next().unwrap_or(Entry::Other);
        let mut extra = fields.extra;
        // An entry is one thing: what else stands in it is kept as fields that are not known.
        for (key, value) in found.filter_map(Entry::field) {
            extra.insert(key.to_owned(), value);
        }
        Self { id: fields.id, at: fields.at, what, extra }
    }
}

impl Entry {
    /// Its field in the file.
    fn field(self) -> Option<(&'static str, Value)> {
        let (key, value) = match self {
            Self::Reading(reading) => ("reading", serde_json::to_value(reading)),
            Self::Done(done) => ("done", serde_json::to_value(done)),
            Self::Note(note) => ("note", Ok(Value::String(note))),
            Self::Picture(picture) => ("picture", serde_json::to_value(picture)),
            Self::Run(run) => ("run", serde_json::to_value(run)),
            Self::Checks(checks) => ("checks", serde_json::to_value(checks)),
            Self::Lean(lean) => ("lean", serde_json::to_value(lean)),
            Self::Other => return None,
        };
        value.ok().map(|value| (key, value))
    }
}

impl From<EntryRecord> for EntryFields {
    fn from(entry: EntryRecord) -> Self {
        let mut fields = Self {
            id: entry.id,
            at: entry.at,
            reading: None,
            done: None,
            note: None,
            picture: None,
            run: None,
            checks: None,
            lean: None,
            extra: entry.extra,
        };
        match entry.what {
            Entry::Reading(reading) => fields.reading = Some(reading),
            Entry::Done(done) => fields.done = Some(done),
            Entry::Note(note) => fields.note = Some(note),
            Entry::Picture(picture) => fields.picture = Some(picture),
            Entry::Run(run) => fields.run = Some(run),
            Entry::Checks(checks) => fields.checks = Some(checks),
            Entry::Lean(lean) => fields.lean = Some(lean),
            Entry::Other => {}
        }
        fields
    }
}
