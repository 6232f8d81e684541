//! Brings the records of another file in beside those already kept; never over them. What would
//! come of it can be looked at before.

use super::boat_record::BoatRecord;
use super::checks::ChecksRecord;
use super::record::Diary;
use super::session_record::SessionRecord;
use std::collections::BTreeSet;

/// What becomes of a record of another file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// It was not here before.
    New,
    /// It is here already, the same.
    Same,
    /// It is here with other contents: it comes to stand beside the one that is here.
    Differs,
}

/// What kind of record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each is a list of the diary")]
pub enum RecordKind {
    Boat,
    Session,
    Checks,
}

/// A record of another file beside what is here.
#[derive(Debug, Clone, PartialEq)]
pub struct Coming {
    /// Which list it is of.
    pub kind: RecordKind,
    /// Its identity in that file.
    pub id: String,
    /// What becomes of it.
    pub fate: Fate,
}

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

impl Merged {
    fn count(&mut self, fate: Fate) {
        match fate {
            Fate::New => self.new += 1,
            Fate::Same => self.same += 1,
            Fate::Differs => self.differing += 1,
        }
    }
}

impl Diary {
    /// What would become of each record of `other`; nothing is changed.
    pub fn compare(&self, other: &Self) -> Vec<Coming> {
        fn coming<R: Identified>(kind: RecordKind, here: &[R], there: &[R]) -> Vec<Coming> {
            let fate = |record: &R| match destination(here, record) {
                (_, fate) => Coming { kind, id: record.id().to_owned(), fate },
            };
            there.iter().map(fate).collect()
        }
        let mut all = coming(RecordKind::Boat, &self.boats, &other.boats);
        all.extend(coming(RecordKind::Session, &self.sessions, &other.sessions));
        all.extend(coming(RecordKind::Checks, &self.checks, &other.checks));
        all
    }

    /// Leaves records of a kind out, by their identities: for an import of a part of a file.
    pub fn leave_out(&mut self, left: &BTreeSet<(RecordKind, String)>) {
        let stays = |kind: RecordKind, id: &str| !left.contains(&(kind, id.to_owned()));
        self.boats.retain(|b| stays(RecordKind::Boat, &b.id));
        self.sessions.retain(|s| stays(RecordKind::Session, &s.id));
        self.checks.retain(|c| stays(RecordKind::Checks, &c.id));
    }

    /// Takes in everything of `other`. A record with a known identity and other contents is kept
    /// under an identity of its own, so nothing is overwritten. What was being typed, and the
    /// settings, are taken over only when nothing was kept here before.
    pub fn merge(&mut self, other: Self) -> Merged {
        if self.boats.is_empty() && self.sessions.is_empty() {
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
        // Named by their contents: what has the same name is the same.
        take_named(&mut self.states, other.states);
        take_named(&mut self.meshes, other.meshes);
        take_named(&mut self.pictures, other.pictures);
        let mut merged = Merged::default();
        let mut renamed: Vec<(String, String)> = Vec::new();
        for boat in other.boats {
            let old = boat.id.clone();
            let new = take_in(&mut self.boats, boat, &mut merged);
            if new != old {
                renamed.push((old, new));
            }
        }
        let follow = |boat: &mut String| {
            if let Some((_, new)) = renamed.iter().find(|(old, _)| old == boat) {
                boat.clone_from(new);
            }
        };
        for mut session in other.sessions {
            follow(&mut session.boat);
            take_in(&mut self.sessions, session, &mut merged);
        }
        self.sessions.sort_by(|a, b| (&a.started_at, &a.id).cmp(&(&b.started_at, &b.id)));
        for mut checks in other.checks {
            follow(&mut checks.id);
            take_in(&mut self.checks, checks, &mut merged);
        }
        merged
    }
}

fn take_named<V>(
    here: &mut std::collections::BTreeMap<String, V>,
    there: std::collections::BTreeMap<String, V>,
) {
    for (name, value) in there {
        here.entry(name).or_insert(value);
    }
}

/// A record with an identity.
trait Identified: PartialEq + Clone {
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

impl Identified for SessionRecord {
    fn id(&self) -> &str {
        &self.id
    }

    fn set_id(&mut self, id: String) {
        self.id = id;
    }
}

impl Identified for ChecksRecord {
    fn id(&self) -> &str {
        &self.id
    }

    fn set_id(&mut self, id: String) {
        self.id = id;
    }
}

/// The identity under which a record comes to stand among those here, and what becomes of it.
fn destination<R: Identified>(here: &[R], record: &R) -> (String, Fate) {
    let wanted = record.id();
    let mut id = wanted.to_owned();
    let mut attempt = 1;
    while let Some(known) = here.iter().find(|k| k.id() == id) {
        let mut same = record.clone();
        same.set_id(id.clone());
        if *known == same {
            return (id, Fate::Same);
        }
        attempt += 1;
        id = format!("{wanted}~{attempt}");
    }
    (id, if attempt > 1 { Fate::Differs } else { Fate::New })
}

/// Adds a record and says under which identity.
fn take_in<R: Identified>(here: &mut Vec<R>, mut record: R, merged: &mut Merged) -> String {
    let (id, fate) = destination(here, &record);
    merged.count(fate);
    if fate != Fate::Same {
        record.set_id(id.clone());
        here.push(record);
    }
    id
}
