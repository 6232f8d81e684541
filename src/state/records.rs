//! The diary in memory as single records: what is written, told to other windows and taken back is a
//! record, never the whole.

use super::settings::turn_draft;
use super::settle::settle;
use crate::device::storage::{Key, Store};
use litemap::LiteMap;
use trimwright::diary::{Diary, KeptMeshes, SessionRecord, Settings, read_kept, write_kept};

/// Records by their keys; each is a diary with one thing in it.
pub(super) type Records = LiteMap<Key, Diary>;

/// First words of keys of records.
const BOAT: &str = "boat";
const CHECKS: &str = "checks";
const DRAFT: &str = "draft";
const REST: &str = "rest";

/// Where a boat is kept.
pub(super) fn boat_key(id: &str) -> Key {
    Key::new(Store::Record, [BOAT, id])
}

/// Where a session is kept: in the order in which they began.
pub(crate) fn session_key(session: &SessionRecord) -> Key {
    Key::new(Store::Session, [&session.started_at, &session.boat, &session.id])
}

/// Where what is typed for a boat is kept; none while there is no boat.
pub(super) fn draft_key(boat: &str) -> Key {
    Key::new(Store::Record, [DRAFT, boat])
}

/// When the session under a key began (ISO 8601) and the identity of its boat.
pub(crate) fn session_of_key(key: &Key) -> Option<(&str, &str)> {
    match key.words.as_slice() {
        [began, boat, _] if key.store == Store::Session => Some((began, boat)),
        _ => None,
    }
}

/// The boat whose draft is kept under a key.
pub(super) fn boat_of_draft(key: &Key) -> Option<&str> {
    match key.words.as_slice() {
        [kind, boat] if kind == DRAFT => Some(boat),
        _ => None,
    }
}

/// The one record of a diary that is kept under a key, if it is there.
pub(super) fn record_of(diary: &Diary, key: &Key) -> Option<Diary> {
    let words: Vec<&str> = key.words.iter().map(String::as_str).collect();
    let none = Diary::default();
    match (key.store, words.as_slice()) {
        (Store::Record, [BOAT, id]) => Some(Diary { boats: vec![diary.boat(id)?.clone()], ..none }),
        (Store::Record, [CHECKS, id]) => {
            let checks = diary.checks.iter().find(|c| c.id == *id)?;
            Some(Diary { checks: vec![checks.clone()], ..none })
        }
        (Store::Session, [.., id]) => {
            let session = diary.sessions.iter().find(|s| s.id == *id)?;
            Some(Diary { sessions: vec![session.clone()], ..none })
        }
        (Store::Record, [DRAFT, boat]) if diary.draft.boat == *boat => {
            Some(Diary { draft: diary.draft.clone(), ..none })
        }
        (Store::Record, [REST]) if !(diary.materials.is_empty() && diary.extra.is_empty()) => {
            let (materials, extra) = (diary.materials.clone(), diary.extra.clone());
            Some(Diary { materials, extra, ..none })
        }
        _ => None,
    }
}

/// The records of a diary. States, meshes and pictures never change and are written where they are
/// made; settings have a place of their own.
pub(super) fn records(diary: &Diary) -> Records {
    let mut all = Records::new();
    for boat in &diary.boats {
        all.insert(boat_key(&boat.id), Diary { boats: vec![boat.clone()], ..Diary::default() });
    }
    for session in &diary.sessions {
        let one = Diary { sessions: vec![session.clone()], ..Diary::default() };
        all.insert(session_key(session), one);
    }
    for checks in &diary.checks {
        let key = Key::new(Store::Record, [CHECKS, &checks.id]);
        all.insert(key, Diary { checks: vec![checks.clone()], ..Diary::default() });
    }
    for key in [draft_key(&diary.draft.boat), Key::new(Store::Record, [REST])] {
        if let Some(record) = record_of(diary, &key) {
            all.insert(key, record);
        }
    }
    all
}

/// Puts a record, or its absence, into a diary in memory.
pub(super) fn set_record(diary: &mut Diary, key: &Key, record: Option<&Diary>) {
    let words: Vec<&str> = key.words.iter().map(String::as_str).collect();
    match (key.store, words.as_slice()) {
        (Store::Record, [BOAT, id]) => {
            let new = record.and_then(|d| d.boats.first());
            set_one(&mut diary.boats, new, |boat| boat.id == *id);
            // A window of an older version of the app: its boat comes with the leans that were seen of it.
            diary.take_leans(record.map(|d| d.sessions.clone()).unwrap_or_default());
        }
        (Store::Record, [CHECKS, id]) => {
            let new = record.and_then(|d| d.checks.first());
            set_one(&mut diary.checks, new, |checks| checks.id == *id);
        }
        (Store::Session, [_, _, id]) => {
            let new = record.and_then(|d| d.sessions.first());
            set_one(&mut diary.sessions, new, |session| session.id == *id);
        }
        (Store::Record, [DRAFT, boat]) if diary.draft.boat == *boat => {
            let new = record.map(|d| d.draft.clone());
            // The water stays: it is the pool's, whatever becomes of the figures.
            diary.draft = new.unwrap_or_else(|| diary.draft.for_boat(*boat));
            turn_draft(diary);
        }
        (Store::Record, [REST]) => {
            let rest = record.cloned().unwrap_or_default();
            (diary.materials, diary.extra) = (rest.materials, rest.extra);
        }
        _ => {}
    }
}

fn set_one<R: Clone>(list: &mut Vec<R>, new: Option<&R>, is_it: impl Fn(&R) -> bool) {
    match (list.iter_mut().find(|r| is_it(r)), new) {
        (Some(old), Some(new)) => old.clone_from(new),
        (None, Some(new)) => list.push(new.clone()),
        (Some(_), None) => list.retain(|r| !is_it(r)),
        (None, None) => {}
    }
}

/// Takes back a change that made `after` of `before`; what was changed since is joined with it.
pub(super) fn take_back(diary: &mut Diary, before: &Records, after: &Records) {
    let now = records(diary);
    let mut keys: Vec<&Key> = before.keys().chain(after.keys()).collect();
    keys.sort();
    keys.dedup();
    for key in keys.into_iter().filter(|key| before.get(*key) != after.get(*key)) {
        let text = |records: &Records| records.get(key).map(write_kept);
        let [was, became, is] = [before, after, &now].map(text);
        let plain = |text: &Option<(String, KeptMeshes)>| text.as_ref().map(|(t, _)| t.clone());
        let settled =
            settle(plain(&became).as_deref(), plain(&is).as_deref(), plain(&was).as_deref());
        let mut meshes = KeptMeshes::new();
        for (_, named) in [was, became, is].into_iter().flatten() {
            meshes.extend(named);
        }
        // What was written by this program can be read; were it not so, nothing is changed.
        let record = settled.text.map(|text| read_kept(&text, &meshes)).transpose();
        if let Ok(record) = record {
            set_record(diary, key, record.as_ref());
        }
    }
}

/// Settings as they are kept.
pub(super) fn settings_record(settings: &Settings) -> Diary {
    Diary { settings: settings.clone(), ..Diary::default() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::diary::{BoatRecord, ChecksRecord, Draft};

    fn diary() -> Diary {
        let boat: BoatRecord = serde_json::from_str(r#"{ "id": "teal", "name": "Teal" }"#)
            .expect("a boat without anything");
        let session = SessionRecord {
            id: "s1".to_owned(),
            boat: "teal".to_owned(),
            started_at: "2026-05-09T10:00:00.000Z".to_owned(),
            ..SessionRecord::default()
        };
        Diary {
            boats: vec![boat],
            sessions: vec![session],
            checks: vec![ChecksRecord { id: "teal".to_owned(), ..ChecksRecord::default() }],
            draft: Draft { boat: "teal".to_owned(), list: "1.5".to_owned(), ..Draft::default() },
            ..Diary::default()
        }
    }

    #[test]
    fn a_diary_put_together_from_its_records_is_the_same() {
        let mut again = Diary { draft: Draft::default().for_boat("teal"), ..Diary::default() };
        for (key, record) in records(&diary()) {
            set_record(&mut again, &key, Some(&record));
        }
        assert_eq!(again, diary(), "boat, session, checks, draft");
    }

    #[test]
    fn a_record_that_goes_takes_nothing_with_it() {
        for key in records(&diary()).keys() {
            let mut rest = diary();
            set_record(&mut rest, key, None);
            let left = records(&rest);
            let all = records(&diary());
            let others = all.iter().filter(|(k, _)| *k != key);
            assert!(others.clone().all(|(k, r)| left.get(k) == Some(r)), "without {key:?}");
            assert_ne!(left.get(key), all.get(key), "{key:?} is gone");
        }
    }
}
