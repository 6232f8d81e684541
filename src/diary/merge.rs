//! Adds the records of another file to those already kept, never overwriting them. The result can
//! be previewed.

use super::boat_record::BoatRecord;
use super::checks::ChecksRecord;
use super::draft::Draft;
use super::record::Diary;
use super::session_record::SessionRecord;
use super::settings::Settings;
use crate::pause::{Pause, Work, at_once, pause};
use litemap::LiteMap;
use std::borrow::Cow;
use std::collections::{HashMap, HashSet};

/// What becomes of a record of another file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// It was not here before.
    New,
    /// It is here already, the same.
    Same,
    /// It is here with other contents: it is added beside the one that is here.
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
pub struct IncomingRecord {
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
    pub fn compare(&self, other: &Self) -> Vec<IncomingRecord> {
        at_once(|due| self.compare_with(other, due))
    }

    /// As [`Self::compare`], with pauses where they are due.
    pub fn compare_with<'a>(
        &'a self,
        other: &'a Self,
        due: Pause<'a>,
    ) -> Work<'a, Vec<IncomingRecord>> {
        Box::pin(self.compared(other, due))
    }

    async fn compared(&self, other: &Self, due: Pause<'_>) -> Vec<IncomingRecord> {
        let sessions = other.sessions.iter().map(Cow::Borrowed).collect();
        let lists = (other.boats.clone(), sessions, other.checks.clone());
        let arranged = self.arrange(lists, due).await;
        let mut all: Vec<IncomingRecord> = coming(RecordKind::Boat, &arranged.boats).collect();
        all.extend(coming(RecordKind::Session, &arranged.sessions));
        all.extend(coming(RecordKind::Checks, &arranged.checks));
        all
    }

    /// Leaves records of a kind out, by their identities: for an import of a part of a file.
    pub fn leave_out(&mut self, left: &LiteMap<(RecordKind, String), ()>) {
        let stays = |kind: RecordKind, id: &str| !left.contains_key(&(kind, id.to_owned()));
        self.boats.retain(|b| stays(RecordKind::Boat, &b.id));
        self.sessions.retain(|s| stays(RecordKind::Session, &s.id));
        self.checks.retain(|c| stays(RecordKind::Checks, &c.id));
    }

    /// Takes in everything of `other`. A record with a known identity and other contents is kept
    /// under an identity of its own, so nothing is overwritten. What was being typed is taken over only when
    /// nothing was kept here before, and the settings never: [`Self::take_settings`].
    pub fn merge(&mut self, other: Self) -> Merged {
        at_once(|due| self.merge_with(other, due))
    }

    /// As [`Self::merge`], with pauses where they are due.
    pub fn merge_with<'a>(&'a mut self, other: Self, due: Pause<'a>) -> Work<'a, Merged> {
        Box::pin(self.merged(other, due))
    }

    async fn merged(&mut self, other: Self, due: Pause<'_>) -> Merged {
        let sessions = other.sessions.into_iter().map(Cow::Owned).collect();
        let arranged = self.arrange((other.boats, sessions, other.checks), due).await;
        if self.boats.is_empty() && self.sessions.is_empty() {
            let water = std::mem::take(&mut self.draft.water);
            self.draft = Draft { water, ..other.draft };
        }
        for (key, value) in other.extra {
            self.extra.entry(key).or_insert(value);
        }
        let known: HashSet<String> = self.materials.iter().map(|m| m.name.clone()).collect();
        self.materials.extend(other.materials.into_iter().filter(|m| !known.contains(&m.name)));
        // Named by their contents: what has the same name is the same.
        take_named(&mut self.states, other.states);
        take_named(&mut self.meshes, other.meshes);
        take_named(&mut self.pictures, other.pictures);
        let mut merged = Merged::default();
        take_in(&mut self.boats, arranged.boats, &mut merged);
        take_in(&mut self.sessions, arranged.sessions, &mut merged);
        take_in(&mut self.checks, arranged.checks, &mut merged);
        self.sort_sessions();
        merged
    }

    /// Takes over how the phone of `other` looks, speaks and measures, and the water it is used in. What belongs
    /// to the phone itself, its zero and its weight, stays.
    pub fn take_settings(&mut self, other: &Self) {
        let Settings { tilt_zero_deg, phone_kg, .. } = self.settings;
        self.settings = Settings { tilt_zero_deg, phone_kg, ..other.settings.clone() };
        self.draft.water.clone_from(&other.draft.water);
    }

    /// Where each record of another file comes to stand here. The sessions and the checks of a boat
    /// that gets another identity follow it.
    async fn arrange<'a>(
        &self,
        (boats, sessions, checks): OtherLists<'a>,
        due: Pause<'_>,
    ) -> Arranged<'a> {
        // Sessions and checks of a boat that is gone must not come to belong to another one.
        let mut left = without_their_boat(&self.boats, &self.sessions, &self.checks);
        pause(due).await;
        let named = sessions.iter().map(AsRef::as_ref);
        left.extend(without_their_boat(&boats, named, &checks));
        pause(due).await;
        let boats = place(&self.boats, with_identities(owned(boats), |_| ()), "~", &left);
        let renamed: HashMap<&str, &str> =
            boats.iter().map(|p| (p.was.as_str(), p.record.id.as_str())).collect();
        let new_name = |boat: &str| renamed.get(boat).filter(|new| **new != boat).copied();
        let none = HashSet::new();
        let sessions = with_identities(sessions, |session| {
            if let Some(new) = new_name(&session.boat) {
                session.to_mut().boat = new.to_owned();
            }
        });
        // Checks have the identity of their boat: beside others they stand under one that no boat has.
        let checks = with_identities(owned(checks), |checks| {
            if let Some(new) = new_name(&checks.id) {
                checks.to_mut().id = new.to_owned();
            }
        });
        pause(due).await;
        Arranged {
            sessions: place(&self.sessions, sessions, "~", &none),
            checks: place(&self.checks, checks, "~checks~", &none),
            boats,
        }
    }
}

/// The lists of another file.
type OtherLists<'a> = (Vec<BoatRecord>, Vec<Cow<'a, SessionRecord>>, Vec<ChecksRecord>);

/// The records of another file in their places.
struct Arranged<'a> {
    boats: Vec<Placed<'a, BoatRecord>>,
    sessions: Vec<Placed<'a, SessionRecord>>,
    checks: Vec<Placed<'a, ChecksRecord>>,
}

/// A record of another file under the identity that it gets here.
struct Placed<'a, R: Identified> {
    record: Cow<'a, R>,
    /// Its identity in that file.
    was: String,
    fate: Fate,
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

/// The identities of boats that sessions and checks name and that are not there.
fn without_their_boat<'a>(
    boats: &[BoatRecord],
    sessions: impl IntoIterator<Item = &'a SessionRecord>,
    checks: &[ChecksRecord],
) -> HashSet<String> {
    let there: HashSet<&str> = boats.iter().map(|b| b.id.as_str()).collect();
    let of_sessions = sessions.into_iter().map(|s| s.boat.as_str());
    let named = of_sessions.chain(checks.iter().map(|c| c.id.as_str()));
    named.filter(|id| !there.contains(id)).map(str::to_owned).collect()
}

fn owned<'a, R: Identified>(records: Vec<R>) -> Vec<Cow<'a, R>> {
    records.into_iter().map(Cow::Owned).collect()
}

/// Records with the identities that they had before a change.
fn with_identities<'a, R: Identified>(
    records: Vec<Cow<'a, R>>,
    change: impl Fn(&mut Cow<'a, R>),
) -> Vec<(String, Cow<'a, R>)> {
    let changed = |mut record: Cow<'a, R>| {
        let was = record.id().to_owned();
        change(&mut record);
        (was, record)
    };
    records.into_iter().map(changed).collect()
}

/// Finds the place of each record among those here: under its own identity, or, where another one
/// has that, under its identity with `beside` and a number, but for those in `left`. Those that can
/// keep their identity come first, so that none of them is in another one's way.
fn place<'a, R: Identified>(
    here: &[R],
    there: Vec<(String, Cow<'a, R>)>,
    beside: &str,
    left: &HashSet<String>,
) -> Vec<Placed<'a, R>> {
    let known: HashMap<&str, &R> = here.iter().map(|r| (r.id(), r)).collect();
    let mut placed: Vec<Placed<'a, R>> = Vec::with_capacity(there.len());
    let mut came: HashMap<String, usize> = HashMap::new();
    for (was, record) in there {
        let fate = match standing(&known, &came, &placed, record.id()) {
            None => Fate::New,
            Some(other) if *other == *record => Fate::Same,
            Some(_) => Fate::Differs,
        };
        if fate == Fate::New {
            came.insert(record.id().to_owned(), placed.len());
        }
        placed.push(Placed { record, was, fate });
    }
    for k in 0..placed.len() {
        let Some(differs) = placed.get(k).filter(|p| p.fate == Fate::Differs) else { continue };
        let wanted = differs.record.id().to_owned();
        let mut record = differs.record.clone();
        let mut fate = Fate::Differs;
        // It ends: every number that is passed over is one of a record, or of those left.
        for number in 2_u64.. {
            record.to_mut().set_id(format!("{wanted}{beside}{number}"));
            match standing(&known, &came, &placed, record.id()) {
                Some(other) if *other == *record => {
                    fate = Fate::Same;
                    break;
                }
                None if !left.contains(record.id()) => break,
                _ => {}
            }
        }
        if fate == Fate::Differs {
            came.insert(record.id().to_owned(), k);
        }
        if let Some(differs) = placed.get_mut(k) {
            (differs.record, differs.fate) = (record, fate);
        }
    }
    placed
}

/// The record that has an identity, of those here or of those that came.
fn standing<'a, R: Identified>(
    known: &HashMap<&str, &'a R>,
    came: &HashMap<String, usize>,
    placed: &'a [Placed<'_, R>],
    id: &str,
) -> Option<&'a R> {
    let of_those = || came.get(id).and_then(|k| placed.get(*k)).map(|p| p.record.as_ref());
    known.get(id).copied().or_else(of_those)
}

fn coming<R: Identified>(
    kind: RecordKind,
    placed: &[Placed<'_, R>],
) -> impl Iterator<Item = IncomingRecord> {
    placed.iter().map(move |p| IncomingRecord { kind, id: p.was.clone(), fate: p.fate })
}

fn take_in<R: Identified>(here: &mut Vec<R>, placed: Vec<Placed<'_, R>>, merged: &mut Merged) {
    for one in placed {
        merged.count(one.fate);
        if one.fate != Fate::Same {
            here.push(one.record.into_owned());
        }
    }
}

fn take_named<V>(here: &mut LiteMap<String, V>, there: LiteMap<String, V>) {
    for (name, value) in there {
        here.entry(name).or_insert(value);
    }
}
