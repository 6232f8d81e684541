//! An import never overwrites, and what it will do is foretold.

use crate::support::diary::{checks, diary, quick_record, round_trip, session};
use crate::support::random::{Random, random_diary};
use crate::support::random_cases;
use proptest::prelude::*;
use serde_json::json;
use std::collections::{BTreeMap, BTreeSet};
use trimwright::diary::{
    BoatRecord, ChecksRecord, Diary, Draft, Fate, IncomingRecord, LengthUnit, Merged,
    MissingRecord, RecordKind, SessionRecord, Settings, WaterDraft, WaterKind,
};

/// Any number will do.
const SEED: u64 = 20_260_529;

fn counts(new: usize, same: usize, differing: usize) -> Merged {
    Merged { new, same, differing }
}

fn checks_of(boat: &str) -> ChecksRecord {
    ChecksRecord { id: boat.to_owned(), before: checks(), ..ChecksRecord::default() }
}

fn ids_of(boats: &[BoatRecord]) -> Vec<&str> {
    boats.iter().map(|b| b.id.as_str()).collect()
}

#[test]
fn an_import_into_an_empty_diary_takes_everything() {
    let mut here = Diary::default();
    assert_eq!(here.merge(diary()), counts(4, 0, 0), "two boats and two sessions");
    let mut all = diary();
    all.settings = Settings::default();
    all.draft.water = WaterDraft::default();
    assert_eq!(here, all, "what was typed comes too");
}

#[test]
fn settings_come_only_when_they_are_asked_for_and_what_is_the_phone_s_own_stays() {
    let own = Settings {
        language: "de".to_owned(),
        theme: "sun".to_owned(),
        tilt_zero_deg: Some([0.4, -0.2]),
        phone_kg: Some(0.2),
        ..Settings::default()
    };
    let settings = Settings {
        language: "en".to_owned(),
        length: LengthUnit::Inch,
        tilt_zero_deg: Some([1.0, 1.0]),
        phone_kg: Some(0.3),
        ..Settings::default()
    };
    let mut there = Diary { settings, ..diary() };
    there.draft.water.kind = WaterKind::Sea;
    let mut here = Diary { settings: own.clone(), ..Diary::default() };
    here.merge(there.clone());
    assert_eq!(here.settings, own, "an empty phone keeps its own");
    assert_eq!(here.draft.water, WaterDraft::default(), "and its water");
    here.take_settings(&there);
    let Settings { tilt_zero_deg, phone_kg, .. } = own;
    let taken = Settings { tilt_zero_deg, phone_kg, ..there.settings };
    assert_eq!(here.settings, taken, "asked for");
    assert_eq!(here.draft.water, there.draft.water, "with its water");
}

#[test]
fn an_import_into_a_diary_in_use_leaves_what_is_being_typed() {
    let mut here = diary();
    here.draft.list = "7.5".to_owned();
    here.settings.theme = "paper".to_owned();
    let before = here.clone();
    let mut other = diary();
    other.boats = vec![BoatRecord::quick("another", "another", quick_record())];
    other.sessions = vec![session("session-3", "another", "2026-06-01T09:00:00.000Z")];
    assert_eq!(here.merge(other), counts(2, 0, 0), "a boat and a session");
    assert_eq!((&here.draft, &here.settings), (&before.draft, &before.settings), "as they were");
    assert_eq!(here.boats[..2], before.boats[..], "the boats here stay");
    assert_eq!(here.sessions[..2], before.sessions[..], "the sessions here stay");
    assert_eq!(here.boat("another").map(|b| b.name.as_str()), Some("another"), "it came");
    assert_eq!(here.sessions[2].boat, "another", "its session came");
}

#[test]
fn what_was_missing_from_a_file_is_not_missing_from_the_diary() {
    let mut here = Diary::default();
    let sessions = vec!["2026-05-01T08:00:00.000Z teal session-0".to_owned()];
    let missing = MissingRecord { sessions, ..MissingRecord::default() };
    here.merge(Diary { missing, ..diary() });
    here.take_settings(&diary());
    assert_eq!(here, diary(), "it is said when the file is opened, and not kept");
}

#[test]
fn an_import_of_ones_own_export_changes_nothing() {
    let mut here = diary();
    assert_eq!(here.merge(round_trip(&diary())), counts(0, 4, 0), "all was there");
    assert_eq!(here, diary(), "nothing has changed");
}

#[test]
fn what_differs_is_kept_beside_and_nothing_is_overwritten() {
    let mut here = diary();
    here.checks.push(checks_of("dipper"));
    let before = here.clone();
    let mut other = here.clone();
    other.boats[0].name = "Dipper, repainted".to_owned();
    // The boat, and since they belong to that boat its session, beside the one here, and its
    // checks; the other boat and session are the same.
    assert_eq!(here.merge(other.clone()), counts(1, 2, 2), "counts");
    assert_eq!(here.boats[..2], before.boats[..], "the boats here stay");
    for session in &before.sessions {
        assert!(here.sessions.contains(session), "the session {} stays", session.id);
    }
    let beside = here.boats.get(2).expect("the other one stands beside");
    assert_eq!(beside.name, "Dipper, repainted", "as it was imported");
    assert!(beside.id != "dipper", "under an identity of its own: {}", beside.id);
    let of_it: Vec<&SessionRecord> = here.sessions.iter().filter(|s| s.boat == beside.id).collect();
    assert_eq!(of_it.len(), 1, "its session belongs to it");
    assert_eq!(here.checks[1].id, beside.id, "and its checks");
    assert_eq!(round_trip(&here), here, "the result is a good file");

    let once = here.clone();
    assert_eq!(here.merge(other), counts(0, 5, 0), "the second time all is there");
    assert_eq!(here, once, "merging twice changes nothing the second time");
}

#[test]
fn three_boats_of_one_identity_and_other_contents_all_stay() {
    let mut here = diary();
    for name in ["Dipper, repainted", "Dipper, sunk"] {
        let mut other = diary();
        other.sessions.clear();
        other.boats.truncate(1);
        other.boats[0].name = name.to_owned();
        assert_eq!(here.merge(other), counts(0, 0, 1), "{name}");
    }
    let names: Vec<&str> = here.boats.iter().map(|b| b.name.as_str()).collect();
    assert_eq!(names[2..], ["Dipper, repainted", "Dipper, sunk"], "all of them");
    let ids: BTreeSet<&str> = ids_of(&here.boats).into_iter().collect();
    assert_eq!(ids.len(), 4, "each under an identity of its own: {ids:?}");
}

#[test]
fn checks_that_differ_come_to_belong_to_no_other_boat() {
    let mut here = diary();
    here.boats.push(BoatRecord::quick("dipper~2", "another Dipper", quick_record()));
    here.checks.push(checks_of("dipper"));
    let before = here.clone();
    let mut other = here.clone();
    other.checks[0].before[0].because = "elsewhere".to_owned();
    assert_eq!(here.merge(other), counts(0, 5, 1), "only the checks differ");
    assert_eq!(here.checks[..1], before.checks[..], "those here stay");
    let beside = &here.checks[1].id;
    assert!(here.boat(beside).is_none(), "{beside} is no boat");
}

#[test]
fn a_boat_that_differs_does_not_get_the_sessions_of_a_boat_that_is_gone() {
    let mut here = diary();
    here.sessions.push(session("left", "dipper~2", "2026-07-01T09:00:00.000Z"));
    let mut other = diary();
    other.sessions.clear();
    other.boats[0].name = "Dipper, repainted".to_owned();
    assert_eq!(here.merge(other.clone()), counts(0, 1, 1), "a boat beside the one here");
    assert_eq!(ids_of(&here.boats)[2], "dipper~3", "not under the identity that is still named");
    let once = here.clone();
    assert_eq!(here.merge(other), counts(0, 2, 0), "the second time");
    assert_eq!(here, once, "changes nothing");
}

#[test]
fn what_can_keep_its_identity_keeps_it_whatever_comes_before_it() {
    // Of two boats of a file the first differs from the one here, and would stand under the
    // identity of the second.
    let mut here = diary();
    here.sessions.push(session("left", "dipper~2", "2026-07-01T09:00:00.000Z"));
    let mut other = diary();
    other.sessions.truncate(1);
    other.boats[0].name = "Dipper, repainted".to_owned();
    other.boats[1] = BoatRecord { id: "dipper~2".to_owned(), ..other.boats[0].clone() };
    here.merge(other.clone());
    assert_eq!(ids_of(&here.boats), ["dipper", "grebe", "dipper~2"], "one boat of both");
    let once = here.clone();
    here.merge(other);
    assert_eq!(here, once, "and the second time nothing changes");
}

#[test]
fn an_imports_unknown_fields_come_along_and_do_not_overwrite() {
    let mut here = diary();
    here.extra.insert("club".to_owned(), json!("ours"));
    let mut other = diary();
    other.extra.insert("club".to_owned(), json!("theirs"));
    other.extra.insert("pond".to_owned(), json!("deep"));
    here.merge(other);
    assert_eq!(here.extra["club"], "ours", "what was here stays");
    assert_eq!(here.extra["pond"], "deep", "what is new comes");
}

#[test]
fn what_is_left_out_does_not_come() {
    let mut other = diary();
    other.checks.push(checks_of("dipper"));
    let left = [
        (RecordKind::Boat, "grebe".to_owned()),
        (RecordKind::Session, "session-1".to_owned()),
        (RecordKind::Checks, "grebe".to_owned()),
    ];
    other.leave_out(&left.map(|it| (it, ())).into_iter().collect());
    let mut here = Diary::default();
    assert_eq!(here.merge(other), counts(3, 0, 0), "a boat, a session and the checks");
    assert_eq!(ids_of(&here.boats), ["dipper"], "the boat that was not left out");
    assert_eq!(here.sessions[0].id, "session-2", "the session");
}

/// Two diaries that have something in common: the other one is this one, changed in places, or one
/// of its own.
fn two(seed: u64) -> [Diary; 2] {
    let random = &mut Random(seed);
    let here = random_diary(random);
    let stranger = random_diary(random);
    let mut other = here.clone();
    for (k, boat) in other.boats.iter_mut().enumerate() {
        if random.one_in(3) {
            boat.name = random.text();
        } else if random.one_in(3)
            && let Some(theirs) = stranger.boats.get(k)
        {
            *boat = BoatRecord { id: boat.id.clone(), ..theirs.clone() };
        }
    }
    for session in &mut other.sessions {
        if random.one_in(3) {
            session.place = random.text();
        }
    }
    for checks in &mut other.checks {
        if random.one_in(3) {
            checks.between.clone_from(&checks.before);
        }
    }
    let mut mixed = if random.one_in(4) { stranger.clone() } else { other };
    if random.one_in(2) {
        mixed.merge(stranger);
    }
    [here, mixed]
}

proptest! {
    #![proptest_config(random_cases(300, SEED))]

    #[test]
    fn what_is_foretold_is_what_happens(seed in any::<u64>()) {
        let [mut here, other] = two(seed);
        let before = here.clone();
        let coming = here.compare(&other);
        let merged = here.merge(other.clone());
        let count = |fate: Fate| coming.iter().filter(|c| c.fate == fate).count();
        let foretold = counts(count(Fate::New), count(Fate::Same), count(Fate::Differs));
        prop_assert_eq!(merged, foretold, "as many of each");
        let keys: Vec<(RecordKind, &str)> =
            coming.iter().map(|c| (c.kind, c.id.as_str())).collect();
        let boats = other.boats.iter().map(|b| (RecordKind::Boat, b.id.as_str()));
        let sessions = other.sessions.iter().map(|s| (RecordKind::Session, s.id.as_str()));
        let checks = other.checks.iter().map(|c| (RecordKind::Checks, c.id.as_str()));
        let all: Vec<(RecordKind, &str)> = boats.chain(sessions).chain(checks).collect();
        prop_assert_eq!(keys, all, "each of the file's records, under its identity there");
        for IncomingRecord { kind, id, fate } in coming {
            if kind != RecordKind::Boat {
                continue;
            }
            let (was, is) = (before.boat(&id), here.boat(&id));
            match fate {
                Fate::New => prop_assert!(was.is_none() && is == other.boat(&id), "new: {id}"),
                Fate::Same | Fate::Differs => prop_assert!(was == is || was.is_none(), "{id}"),
            }
        }
        let n = |d: &Diary| d.boats.len() + d.sessions.len() + d.checks.len();
        prop_assert_eq!(n(&here), n(&before) + merged.new + merged.differing, "so many more");
    }

    #[test]
    fn to_merge_twice_is_to_merge_once(seed in any::<u64>()) {
        let [mut here, other] = two(seed);
        here.merge(other.clone());
        let once = here.clone();
        let again = here.merge(other.clone());
        prop_assert_eq!(&here, &once);
        let n = other.boats.len() + other.sessions.len() + other.checks.len();
        prop_assert_eq!(again, counts(0, n, 0), "all of it is there");
        prop_assert_eq!(round_trip(&here), here, "the result is a good file");
    }

    #[test]
    fn nothing_that_was_here_changes(seed in any::<u64>()) {
        let [mut here, other] = two(seed);
        let before = here.clone();
        here.merge(other);
        prop_assert_eq!(&here.boats[..before.boats.len()], &before.boats[..]);
        prop_assert_eq!(&here.checks[..before.checks.len()], &before.checks[..]);
        prop_assert_eq!(&here.materials[..before.materials.len()], &before.materials[..]);
        let sessions: BTreeMap<&str, &SessionRecord> =
            here.sessions.iter().map(|s| (s.id.as_str(), s)).collect();
        for session in &before.sessions {
            prop_assert_eq!(sessions.get(session.id.as_str()), Some(&session));
        }
        for (name, state) in &before.states {
            prop_assert_eq!(here.states.get(name), Some(state));
        }
        for (name, picture) in &before.pictures {
            prop_assert_eq!(here.pictures.get(name), Some(picture));
        }
        for (key, value) in &before.extra {
            prop_assert_eq!(here.extra.get(key), Some(value));
        }
        if !(before.boats.is_empty() && before.sessions.is_empty()) {
            prop_assert_eq!(here.draft, before.draft);
            prop_assert_eq!(here.settings, before.settings);
        }
    }

    #[test]
    fn nothing_that_comes_is_lost(seed in any::<u64>()) {
        let [mut here, other] = two(seed);
        here.merge(other.clone());
        for boat in &other.boats {
            let same = |b: &&BoatRecord| BoatRecord { id: boat.id.clone(), ..(*b).clone() } == *boat;
            let found = here.boats.iter().find(same);
            prop_assert!(found.is_some(), "the boat {} is there under some identity", boat.id);
        }
        for session in &other.sessions {
            let same = |s: &&SessionRecord| {
                let (id, boat) = (session.id.clone(), session.boat.clone());
                SessionRecord { id, boat, ..(*s).clone() } == *session
            };
            let Some(found) = here.sessions.iter().find(same) else {
                return Err(TestCaseError::fail(format!("the session {} is lost", session.id)));
            };
            if let Some(boat) = other.boat(&session.boat) {
                let there = here.sessions.iter().filter(same).any(|s| {
                    here.boat(&s.boat).is_some_and(|b| {
                        BoatRecord { id: boat.id.clone(), ..b.clone() } == *boat
                    })
                });
                prop_assert!(there, "the session {} has its boat: {}", session.id, found.boat);
            }
        }
        for name in other.states.keys() {
            prop_assert!(here.states.contains_key(name), "the state {name}");
        }
    }

    #[test]
    fn an_empty_diary_becomes_what_it_takes_in(seed in any::<u64>()) {
        let other = random_diary(&mut Random(seed));
        let mut here = Diary {
            draft: Draft { list: "1".to_owned(), ..Draft::default() },
            settings: Settings { theme: "sun".to_owned(), ..Settings::default() },
            ..Diary::default()
        };
        here.merge(other.clone());
        let mut expected = other;
        expected.settings = Settings { theme: "sun".to_owned(), ..Settings::default() };
        expected.draft.water = WaterDraft::default();
        prop_assert_eq!(here, expected);
    }
}

/// A diary of many sessions; every third says something of its own.
fn many(n: usize, weather: &str) -> Diary {
    let session = |k: usize| SessionRecord {
        id: format!("session-{k}"),
        boat: "grebe".to_owned(),
        started_at: format!("2026-01-01T00:00:{k:07}Z"),
        weather: if k.is_multiple_of(3) { weather.to_owned() } else { String::new() },
        ..SessionRecord::default()
    };
    Diary {
        boats: vec![BoatRecord::quick("grebe", "Grebe", quick_record())],
        sessions: (0..n).map(session).collect(),
        ..Diary::default()
    }
}

#[test]
fn ten_thousand_sessions_meet_ten_thousand() {
    // If each were looked for among all, this would take minutes here.
    let (mut here, other) = (many(10_000, "calm"), many(10_000, "wind"));
    let differing = 10_000_usize.div_ceil(3);
    let foretold = here.compare(&other);
    assert_eq!(foretold.iter().filter(|c| c.fate == Fate::Differs).count(), differing, "foretold");
    assert_eq!(here.merge(other), counts(0, 10_001 - differing, differing), "merged");
    assert_eq!(here.sessions.len(), 10_000 + differing, "those that differ stand beside");
}
