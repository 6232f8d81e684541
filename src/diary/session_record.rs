//! A session in the file: one outing with one boat, and what happened there in the order of time.

use super::checks::{CheckRecord, CheckTime};
use super::doing::DeedRecord;
use super::field_tables::{by_serde, fields};
use super::fields::{Extra, FieldValue, Fields, RecordReader, WrittenValue, Wrong, put_rest};
use super::reading_record::{AboardRecord, ReadingRecord};
use serde_json::Value;

/// One outing with one boat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SessionRecord {
    /// Its identity; never changes.
    pub id: String,
    /// The boat's identity; never changes.
    pub boat: String,
    /// When it began, ISO 8601 in UTC; never changes.
    pub started_at: String,
    /// Where it was.
    pub place: String,
    /// The weather, in the builder's words.
    pub weather: String,
    /// The water at the start, in words.
    pub water: String,
    /// The water's density at the start, kg/m³.
    pub water_density_kg_m3: Option<f64>,
    /// The boat as it was at the start: a name in [`super::Diary::states`]; empty if not kept.
    pub state: String,
    /// What happened, oldest first.
    pub entries: Vec<EntryRecord>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(SessionRecord {
    needs id,
    needs boat,
    needs started_at,
    may place,
    may weather,
    may water,
    may water_density_kg_m3,
    may state,
    has entries,
    .. extra
});

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

    /// What was seen on the bench with its entries, oldest first.
    pub fn benches(&self) -> impl Iterator<Item = (&EntryRecord, &BenchRecord)> {
        self.entries.iter().filter_map(|entry| match &entry.what {
            Entry::Bench(bench) => Some((entry, bench)),
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
#[derive(Debug, Clone, PartialEq)]
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
    /// The boat was on the bench, dry, its tanks empty.
    Bench(BenchRecord),
    /// What was read before tells nothing of the boat any more.
    NewBoat(NewBoatRecord),
    /// Something that a later version knows: kept as it is.
    Other,
}

/// What was done to the boat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DoneRecord {
    /// What, in words.
    pub lines: Vec<String>,
    /// The reading whose advice it was, by its entry's identity.
    pub after: String,
    /// The same as data.
    pub deeds: Vec<DeedRecord>,
    /// It was not what was advised: half of it, or something in its place.
    pub otherwise: bool,
    /// The boat's list as it was after that, by the name of its contents ([`super::state_of`]); empty if that was
    /// not noted.
    pub made: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(DoneRecord {
    needs lines,
    may after,
    may deeds,
    may otherwise,
    may made,
    .. extra
});

/// A picture; its bytes are kept apart under its name.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PictureRecord {
    /// A name made of its contents: a key of [`super::Diary::pictures`].
    pub name: String,
    /// Its width, pixels.
    pub width_px: u32,
    /// Its height, pixels.
    pub height_px: u32,
    /// What it shows, in the builder's words.
    pub words: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(PictureRecord {
    needs name,
    needs width_px,
    needs height_px,
    may words,
    .. extra
});

/// A run; it goes on while its end is not known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RunRecord {
    /// When it ended, ISO 8601 in UTC.
    pub ended_at: Option<String>,
    /// What it was, in the builder's words.
    pub words: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(RunRecord {
    may ended_at,
    may words,
    .. extra
});

/// A list of checks as it stood when it was last touched in this session.
#[derive(Debug, Clone, PartialEq)]
pub struct ChecksRun {
    /// Which list.
    pub time: CheckTime,
    /// Its checks.
    pub checks: Vec<CheckRecord>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(ChecksRun {
    needs time,
    needs checks,
    .. extra
});

/// A lean that was seen on the way down or up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LeanRecord {
    /// About how full the tanks were, 0 (blown) to 1 (full).
    pub fill: f64,
    /// The lean, degrees, positive to starboard.
    pub list_deg: f64,
    /// It was seen on the way up.
    pub going_up: bool,
    /// The water's density, kg/m³; absent if it was not noted.
    pub water_density_kg_m3: Option<f64>,
    /// The boat's list as it was then, by the name of its contents ([`super::state_of`]); empty if that was not
    /// noted.
    pub state: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(LeanRecord {
    needs fill,
    needs list_deg,
    has going_up,
    may water_density_kg_m3,
    may state,
    .. extra
});

/// What was seen of the boat on the bench, dry, its tanks empty.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BenchRecord {
    /// What all of it weighed, kg; absent if it was not weighed.
    pub scale_kg: Option<f64>,
    /// Where it balanced over an edge, metres forward of midship; absent if that was not tried.
    pub balance_m: Option<f64>,
    /// What lay on it and does not belong to it.
    pub aboard: Vec<AboardRecord>,
    /// The boat's list as it was then, by the name of its contents ([`super::state_of`]); empty if that was not
    /// noted.
    pub state: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(BenchRecord {
    may scale_kg,
    may balance_m,
    may aboard,
    may state,
    .. extra
});

/// From here on it is another boat than the one that was read before: it has changed, and stays so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct NewBoatRecord {
    /// What was seen of the change, in words.
    pub lines: Vec<String>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(NewBoatRecord {
    needs lines,
    .. extra
});

impl FieldValue for EntryRecord {
    fn read(value: Value) -> Result<Self, Wrong> {
        let mut of = RecordReader::of(value);
        let (id, at) = (of.needs("id"), of.needs("at"));
        // An entry is one thing: what else stands in it is kept as fields that are not known.
        let what = if let Some(reading) = of.may("reading") {
            Entry::Reading(reading)
        } else if let Some(done) = of.may("done") {
            Entry::Done(done)
        } else if let Some(note) = of.may("note") {
            Entry::Note(note)
        } else if let Some(picture) = of.may("picture") {
            Entry::Picture(picture)
        } else if let Some(run) = of.may("run") {
            Entry::Run(run)
        } else if let Some(checks) = of.may("checks") {
            Entry::Checks(checks)
        } else if let Some(lean) = of.may("lean") {
            Entry::Lean(lean)
        } else if let Some(bench) = of.may("bench") {
            Entry::Bench(bench)
        } else if let Some(new) = of.may("new_boat") {
            Entry::NewBoat(new)
        } else {
            Entry::Other
        };
        let extra = of.rest();
        of.done(Self { id, at, what, extra })
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Record(self)
    }

    fn usual() -> Self {
        Self { id: String::new(), at: String::new(), what: Entry::Other, extra: Extra::new() }
    }
}

impl Fields for EntryRecord {
    fn each(&self, put: &mut dyn FnMut(&str, WrittenValue<'_>)) {
        put("id", self.id.node());
        put("at", self.at.node());
        match &self.what {
            Entry::Reading(reading) => put("reading", reading.node()),
            Entry::Done(done) => put("done", done.node()),
            Entry::Note(note) => put("note", note.node()),
            Entry::Picture(picture) => put("picture", picture.node()),
            Entry::Run(run) => put("run", run.node()),
            Entry::Checks(checks) => put("checks", checks.node()),
            Entry::Lean(lean) => put("lean", lean.node()),
            Entry::Bench(bench) => put("bench", bench.node()),
            Entry::NewBoat(new) => put("new_boat", new.node()),
            Entry::Other => {}
        }
        put_rest(&self.extra, put);
    }
}

by_serde!(EntryRecord);
