//! A reading counts once, however often it is kept.

use super::fields::Extra;
use super::reading_record::{AboardRecord, MarkReading, ReadingRecord};
use super::session_record::{Entry, EntryRecord, NewBoatRecord, SessionRecord};

/// Figures are typed to a tenth of a millimetre, a hundredth of a degree and a tenth of a gram at the
/// finest; in other units they are the same to half of that.
const SAME_LENGTH: f64 = 0.05e-3;
const SAME_ANGLE: f64 = 0.005;
const SAME_MASS: f64 = 0.05e-3;
/// Densities that differ by less were not typed anew, kg/m³.
const SAME_DENSITY: f64 = 0.5e-3;
/// Densities of materials that differ by less are the same, kg/m³.
const SAME_MATERIAL: f64 = 0.5;
/// Fills that differ by less were not typed anew.
const SAME_FILL: f64 = 0.5e-3;

/// How a reading stands in a session.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReadingStatus<'a> {
    /// It is not in it, or something has happened to the boat since.
    New,
    /// It is the last thing that was kept: by this entry.
    Kept(&'a EntryRecord),
    /// And what it advised was noted as done, by an app that changed nothing in the boat then.
    Done(&'a EntryRecord),
}

impl SessionRecord {
    /// How a reading stands in this session. Notes, pictures and checks between change nothing.
    pub fn reading_status(&self, reading: &ReadingRecord) -> ReadingStatus<'_> {
        let mut done = Vec::new();
        for entry in self.entries.iter().rev() {
            match &entry.what {
                // The boat was changed: whatever is read now was read after that.
                Entry::Done(changed) if !changed.deeds.is_empty() => break,
                Entry::Done(after) => done.push(after.after.as_str()),
                Entry::Reading(last) if last.is_same(reading) => {
                    let its_own = |after: &&str| after.is_empty() || **after == entry.id;
                    return match done.as_slice() {
                        [] => ReadingStatus::Kept(entry),
                        all if all.iter().all(its_own) => ReadingStatus::Done(entry),
                        _ => ReadingStatus::New,
                    };
                }
                Entry::Reading(_) | Entry::Run(_) | Entry::NewBoat(_) => break,
                _ => {}
            }
        }
        ReadingStatus::New
    }

    /// The last reading of it, unless something was done to the boat since.
    pub fn unanswered(&self) -> Option<&ReadingRecord> {
        let tells = |entry: &&EntryRecord| matches!(entry.what, Entry::Reading(_) | Entry::Done(_));
        match &self.entries.iter().rev().find(tells)?.what {
            Entry::Reading(reading) => Some(reading),
            _ => None,
        }
    }

    /// Keeps a reading under an identity; the identity of the entry that has it. One that is kept
    /// already stays where it is, and has the advice that was given last.
    pub fn keep(&mut self, reading: ReadingRecord, id: String, at: String) -> String {
        let kept = match self.reading_status(&reading) {
            ReadingStatus::Done(entry) => return entry.id.clone(),
            ReadingStatus::Kept(entry) => Some(entry.id.clone()),
            ReadingStatus::New => None,
        };
        let Some(kept) = kept else {
            let what = Entry::Reading(Box::new(reading));
            self.entries.push(EntryRecord { id: id.clone(), at, what, extra: Extra::new() });
            return id;
        };
        let here = self.entries.iter_mut().rev().find(|entry| entry.id == kept);
        if let Some(EntryRecord { what: Entry::Reading(first), .. }) = here {
            let extra = std::mem::take(&mut first.extra);
            **first = ReadingRecord { extra, ..reading };
        }
        kept
    }
}

impl SessionRecord {
    /// Notes that it is a new boat from a reading on, which may be kept here already: what was read before that
    /// tells nothing of it.
    pub fn begin_new_boat(
        &mut self,
        from: &ReadingRecord,
        id: String,
        at: String,
        new: NewBoatRecord,
    ) {
        let kept = match self.reading_status(from) {
            ReadingStatus::Done(entry) | ReadingStatus::Kept(entry) => Some(entry.id.clone()),
            ReadingStatus::New => None,
        };
        let place = self.entries.iter().rposition(|entry| Some(&entry.id) == kept.as_ref());
        let at = place.and_then(|k| self.entries.get(k)).map_or(at, |entry| entry.at.clone());
        let entry = EntryRecord { id, at, what: Entry::NewBoat(new), extra: Extra::new() };
        self.entries.insert(place.unwrap_or(self.entries.len()), entry);
    }
}

impl ReadingRecord {
    /// True when both say that the same was seen of a boat in the same state.
    pub fn is_same(&self, other: &Self) -> bool {
        self.says_the_same(other) && self.state == other.state
    }

    /// True when the same of it counts in both: which figures are set aside, and what came of pushing it over.
    pub fn counts_the_same(&self, other: &Self) -> bool {
        self.aside == other.aside && self.comes_back == other.comes_back
    }

    /// As [`Self::is_same`], whatever state the boat was in.
    pub fn says_the_same(&self, other: &Self) -> bool {
        let marks = |of: &Self, mark: &MarkReading| {
            let other = of.marks.iter().find(|m| m.name == mark.name);
            other.is_some_and(|other| near(mark.above_m, other.above_m, SAME_LENGTH))
        };
        self.condition == other.condition
            && near(self.water_density_kg_m3, other.water_density_kg_m3, SAME_DENSITY)
            && near(self.fill, other.fill, SAME_FILL)
            && same(self.list_deg, other.list_deg, SAME_ANGLE)
            && same(self.trim_deg, other.trim_deg, SAME_ANGLE)
            && same(self.residual_kg, other.residual_kg, SAME_MASS)
            && self.aboard.len() == other.aboard.len()
            && self.aboard.iter().zip(&other.aboard).all(|(one, other)| is_same_thing(one, other))
            && self.marks.len() == other.marks.len()
            && self.marks.iter().all(|mark| marks(other, mark))
    }
}

/// True for the same thing aboard at the same place. A density comes back from a volume, and not to the last digit.
fn is_same_thing(one: &AboardRecord, other: &AboardRecord) -> bool {
    one.name == other.name
        && near(one.mass_kg, other.mass_kg, SAME_MASS)
        && one.at_m.iter().zip(other.at_m).all(|(a, b)| near(*a, b, SAME_LENGTH))
        && same(one.off_m, other.off_m, SAME_LENGTH)
        && same(one.density_kg_m3, other.density_kg_m3, SAME_MATERIAL)
}

fn same(one: Option<f64>, other: Option<f64>, by: f64) -> bool {
    match (one, other) {
        (Some(one), Some(other)) => near(one, other, by),
        (one, other) => one.is_none() && other.is_none(),
    }
}

fn near(one: f64, other: f64, by: f64) -> bool {
    (one - other).abs() <= by
}
