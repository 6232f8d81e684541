//! Brings the records of another file in beside those already kept; never over them.

use super::boat_record::BoatRecord;
use super::record::{Diary, ReadingRecord};

/// What an import brought.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Merged {
    /// Records that were not there before.
    pub new: usize,
    /// Records that were there already, the same.
    pub same: usize,
    /// Records that were there with other contents: the imported one stands beside it.
    pub differing: usize,
}

impl Diary {
    /// Takes in all boats and readings of `other`. A record with a known identity and other
    /// contents is kept under an identity of its own, so nothing is overwritten. What was being
    /// typed, and the settings, are taken over only when nothing was kept here before.
    pub fn merge(&mut self, other: Self) -> Merged {
        let was_empty = self.boats.is_empty() && self.readings.is_empty();
        if was_empty {
            self.draft = other.draft;
            self.settings = other.settings;
        }
        for (key, value) in other.extra {
            self.extra.entry(key).or_insert(value);
        }
        for material in other.materials {
            if self.materials.iter().all(|m| m.name != material.name) {
                self.materials.push(material);
            }
        }
        let mut merged = Merged::default();
        let mut renamed: Vec<(String, String)> = Vec::new();
        for boat in other.boats {
            let old = boat.id.clone();
            let new = take_in(&mut self.boats, boat, &mut merged);
            if new != old {
                renamed.push((old, new));
            }
        }
        for mut reading in other.readings {
            if let Some((_, new)) = renamed.iter().find(|(old, _)| *old == reading.boat) {
                reading.boat.clone_from(new);
            }
            take_in(&mut self.readings, reading, &mut merged);
        }
        merged
    }
}

/// A record with an identity.
trait Identified: PartialEq {
    fn id(&self) -> &str;
    fn set_id(&mut self, id: String);
}

impl Identified for BoatRecord {
    fn id(&self) -> &str {
        &self.id
    }

    fn set_id(&mut self, id: String) {
        self.id = id;
    }
}

impl Identified for ReadingRecord {
    fn id(&self) -> &str {
        &self.id
    }

    fn set_id(&mut self, id: String) {
        self.id = id;
    }
}

/// Adds a record and says under which identity.
fn take_in<R: Identified>(kept: &mut Vec<R>, mut record: R, merged: &mut Merged) -> String {
    let wanted = record.id().to_owned();
    let mut id = wanted.clone();
    let mut attempt = 1;
    while let Some(known) = kept.iter().find(|k| k.id() == id) {
        record.set_id(id.clone());
        if *known == record {
            merged.same += 1;
            return id;
        }
        attempt += 1;
        id = format!("{wanted}~{attempt}");
    }
    if attempt > 1 {
        merged.differing += 1;
    } else {
        merged.new += 1;
    }
    record.set_id(id.clone());
    kept.push(record);
    id
}
