//! Leans that were seen on the way count for the boat as it was then, and change nothing else.

use crate::support::diary::{diary, entry, session};
use trimwright::answer::{Evidence, KeptWhat, ReadyBoat, kept_in, leans_in_hand};
use trimwright::diary::{
    BenchRecord, Diary, DoneRecord, Entry, EntryRecord, LeanRecord, ReadingRecord, SessionRecord,
    state_of,
};

const BOAT: &str = "dipper";

fn lean(minute: u32, state: &str) -> EntryRecord {
    let seen =
        LeanRecord { fill: 0.5, list_deg: -12.0, state: state.to_owned(), ..LeanRecord::default() };
    let at = format!("2026-05-09T10:{minute:02}:00.000Z");
    entry(&format!("lean {minute}"), &at, Entry::Lean(seen))
}

fn read(minute: u32, state: &str) -> EntryRecord {
    let reading = ReadingRecord { state: state.to_owned(), ..ReadingRecord::default() };
    let at = format!("2026-05-09T10:{minute:02}:00.000Z");
    entry(&format!("reading {minute}"), &at, Entry::Reading(Box::new(reading)))
}

fn outing(day: u32, entries: Vec<EntryRecord>) -> SessionRecord {
    let started_at = format!("2026-05-{day:02}T10:00:00.000Z");
    SessionRecord { entries, ..session(&format!("outing {day}"), BOAT, &started_at) }
}

/// The diary with these sessions, and the name of its boat in hand as it is.
fn with(sessions: Vec<SessionRecord>) -> (Diary, String) {
    let mut diary = Diary { sessions, ..diary() };
    BOAT.clone_into(&mut diary.boats[0].id);
    BOAT.clone_into(&mut diary.draft.boat);
    let state = state_of(&diary.boats[0]).0;
    (diary, state)
}

fn now() -> String {
    with(Vec::new()).1
}

/// The entries of those that count, and how many do not.
fn told(diary: &Diary, state: &str) -> (Vec<String>, usize) {
    let leans = leans_in_hand(diary, state);
    (leans.counting.into_iter().map(|noted| noted.entry).collect(), leans.before)
}

#[test]
fn leans_of_the_boat_as_it_is_count_in_whichever_session_they_are() {
    let other_boat =
        SessionRecord { boat: "another".to_owned(), ..outing(8, vec![lean(1, &now())]) };
    // The sessions in memory are in no order: the one that was opened last is the last.
    let (diary, state) = with(vec![
        outing(9, vec![lean(5, &now()), lean(7, "as it was before"), lean(9, &now())]),
        other_boat,
        outing(2, vec![lean(3, &now()), lean(4, "as it was before")]),
    ]);
    let (counting, before) = told(&diary, &state);
    assert_eq!(counting, ["lean 3", "lean 5", "lean 9"], "oldest first");
    assert_eq!(before, 1, "of the latest session only");
}

#[test]
fn after_a_change_of_the_list_no_lean_counts_and_they_are_counted() {
    let (mut diary, before) = with(vec![outing(9, vec![lean(5, &now()), lean(6, &now())])]);
    assert_eq!(told(&diary, &before), (vec!["lean 5".to_owned(), "lean 6".to_owned()], 0), "first");
    diary.boats[0].parts[0].mass_kg = Some(1.0);
    let changed = state_of(&diary.boats[0]).0;
    assert_eq!(told(&diary, &changed), (Vec::new(), 2), "after it");
    // What was noted of no known boat is of none.
    let (diary, state) = with(vec![outing(9, vec![lean(5, "")])]);
    assert_eq!(told(&diary, &state), (Vec::new(), 1), "it names no boat");
    assert_eq!(told(&diary, ""), (Vec::new(), 1), "and there is none");
}

#[test]
fn a_lean_between_two_kept_readings_leaves_the_first_as_evidence_for_the_second() {
    let done = |after: &str, made: &str| {
        let done =
            DoneRecord { after: after.to_owned(), made: made.to_owned(), ..DoneRecord::default() };
        entry("done", "2026-05-09T10:06:00.000Z", Entry::Done(done))
    };
    let (mut diary, state) = with(vec![outing(9, vec![read(1, &now())])]);
    let marks = diary.boats[0].boat().expect("a boat").marks;
    let kept = |d: &Diary| {
        let sessions = kept_in(&d.sessions, &state_of(&d.boats[0]).0, &marks);
        let sightings = sessions.iter().flat_map(|session| &session.sightings);
        sightings.filter(|kept| matches!(kept.what, KeptWhat::Reading(..))).count()
    };
    diary.sessions[0].entries.push(lean(2, &state));
    assert_eq!(state_of(&diary.boats[0]).0, state, "the boat has the same name");
    assert_eq!(kept(&diary), 1, "the first is evidence for what is read next");
    diary.sessions[0].entries.push(read(3, &state));
    assert_eq!(kept(&diary), 2, "and both for the one after");
    // And with a step done and noted between them.
    let entries =
        vec![read(1, "before"), lean(2, "before"), done("reading 1", &state), lean(7, &state)];
    diary.sessions = vec![outing(9, entries)];
    assert_eq!(kept(&diary), 1, "what was done is known");
}

/// What was told by leans is not forgotten because the next outing has none.
#[test]
fn what_leans_of_an_earlier_outing_told_stands() {
    let upright = |minute: u32| {
        let mut entry = lean(minute, &now());
        if let Entry::Lean(lean) = &mut entry.what {
            (lean.fill, lean.list_deg) = (0.0, 0.0);
        }
        entry
    };
    let (diary, _) = with(Vec::new());
    let hand = ReadyBoat::of(&diary.boats[0]).expect("a good boat");
    let on_the_bench = BenchRecord {
        scale_kg: Some(hand.model.bare().mass),
        state: now(),
        ..BenchRecord::default()
    };
    let weighed = entry("weighed", "2026-05-09T10:01:00.000Z", Entry::Bench(on_the_bench));
    let told = |sessions: Vec<SessionRecord>| {
        let evidence = Evidence::in_hand(&with(sessions).0, &hand);
        evidence.leans().map(|told| told.offset.spread)
    };
    let before = told(vec![outing(2, vec![upright(3)])]).expect("a lean was seen");
    let after = told(vec![outing(2, vec![upright(3)]), outing(9, vec![weighed.clone()])]);
    assert_eq!(told(vec![outing(9, vec![weighed])]), None, "no lean was seen");
    let after = after.expect("the lean still counts");
    let known = hand.known.spreads()[2];
    assert!(before < known && after < known, "{before}, then {after}, of {known}");
}
