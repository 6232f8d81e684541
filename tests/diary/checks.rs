//! The lists of checks: what comes with the app, working through a list, and changing it.

use crate::support::{locale, random_cases};
use proptest::prelude::*;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use trimwright::diary::{
    Caution, CheckMove, CheckRecord, CheckState, CheckSummary, CheckTime, ChecksRecord, Diary,
    begun_anew, read, usual_check, usual_checks, write,
};

const NOON: &str = "2026-05-09T12:00:00.000Z";
const LATER: &str = "2026-05-09T13:30:00.000Z";

/// Three checks of the builder's own before the dive, one after it.
fn own() -> ChecksRecord {
    let mut checks = ChecksRecord { id: "teal".to_owned(), ..ChecksRecord::default() };
    for (id, words) in [("a", "Lamp"), ("b", "Mast"), ("c", "Buoy")] {
        assert!(checks.add(CheckTime::Before, id, words), "{words} is new");
    }
    assert!(checks.add(CheckTime::After, "d", "Dry"), "another list");
    checks
}

fn ids(checks: &ChecksRecord, time: CheckTime) -> Vec<&str> {
    checks.list(time).iter().map(|check| check.id.as_str()).collect()
}

fn state(checks: &ChecksRecord, id: &str) -> (CheckState, String) {
    let (_, check) = checks.find(id).expect("it is there");
    (check.state, check.because.clone())
}

#[test]
fn each_list_that_comes_with_the_app_can_be_told_apart_and_read() {
    let mut seen = BTreeSet::new();
    for time in CheckTime::ALL {
        let list = usual_checks(time);
        assert!(
            (5..=18).contains(&list.len()),
            "{time:?} is gone through standing: {}",
            list.len()
        );
        for check in list {
            assert!(seen.insert(check.id), "{} is there once", check.id);
            assert_eq!(usual_check(check.id), Some(check), "it is found by its identity");
            let plain = |c: char| c.is_ascii_lowercase() || c == '-';
            assert!(check.id.chars().all(plain), "{} is a name for files of words", check.id);
        }
    }
}

#[test]
fn the_usual_lists_have_all_that_a_careful_builder_looks_at() {
    let words = locale::languages().remove("en").expect("English is there");
    let words_of = |id: &str| {
        let key = format!("check.{}", id.replace('-', "_"));
        words.get(&key).unwrap_or_else(|| panic!("{id} has words")).clone()
    };
    let has = |time, words: &[&str]| {
        let list = usual_checks(time);
        let said = |check: &&trimwright::diary::UsualCheck| {
            let text = words_of(check.id).to_lowercase();
            words.iter().all(|word| text.contains(word))
        };
        assert!(list.iter().any(|check| said(&check)), "{time:?} has no check of {words:?}");
    };
    for words in [
        &["seals"][..],
        &["straps"],
        &["air line"],
        &["vents", "open"],
        &["rudders", "planes", "free", "tight"],
        &["range"],
        &["fail-safe"],
        &["battery", "charged"],
        &["battery", "strapped"],
        &["leak"],
        &["line", "pole"],
    ] {
        has(CheckTime::Before, words);
    }
    for id in CheckTime::ALL.into_iter().flat_map(usual_checks).map(|check| check.id) {
        let words = words_of(id);
        assert!(words.chars().count() <= 84, "too long for a row: {words}");
        assert!(words.starts_with(char::is_uppercase), "{words}");
    }
    has(CheckTime::Between, &["dry box", "opened", "checked"]);
    has(CheckTime::After, &["dry", "open"]);
}

#[test]
fn every_caution_has_a_name_and_the_near_ones_stand_beside_a_check() {
    let beside: BTreeSet<Caution> = CheckTime::ALL
        .into_iter()
        .flat_map(usual_checks)
        .flat_map(|check| check.cautions.iter().copied())
        .collect();
    for near in [
        Caution::Lithium,
        Caution::Mains,
        Caution::Lead,
        Caution::Alone,
        Caution::GoingIn,
        Caution::Lifting,
    ] {
        assert!(beside.contains(&near), "{near:?} belongs to a check");
    }
    let ids: BTreeSet<&str> = Caution::ALL.map(Caution::id).into();
    assert_eq!(ids.len(), Caution::ALL.len(), "each has a name of its own");
}

#[test]
fn a_boat_without_lists_has_the_usual_ones_and_its_own_from_the_first_touch_on() {
    let mut diary = Diary::default();
    let usual = ChecksRecord::usual("teal");
    assert_eq!(*diary.checks_of("teal"), usual, "the usual lists");
    let marked = diary.change_checks("teal", |c| c.mark("nobody", CheckState::Good, NOON));
    assert!(!marked && diary.checks.is_empty(), "nothing was touched");
    assert!(diary.change_checks("teal", |c| c.mark("hatch-seal", CheckState::Good, NOON)), "one");
    assert_eq!(diary.checks.len(), 1, "its own lists");
    assert_eq!(state(&diary.checks_of("teal"), "hatch-seal").0, CheckState::Good, "marked");
    assert_eq!(*diary.checks_of("heron"), ChecksRecord::usual("heron"), "not another boat's");
    diary.change_checks("teal", |c| c.mark("straps", CheckState::Good, NOON));
    assert_eq!(diary.checks.len(), 1, "no second record");
    assert_eq!(diary.checks_of("teal").summary(CheckTime::Before).good, 2, "both marks");
}

#[test]
fn a_mark_has_its_time_and_a_reason_only_where_one_is_asked() {
    let mut checks = own();
    assert!(!checks.give_reason("a", "why"), "an open check has no reason");
    assert!(checks.mark("a", CheckState::Failed, NOON), "it is there");
    assert!(checks.give_reason("a", "weeps"), "a failed one has");
    assert_eq!(state(&checks, "a"), (CheckState::Failed, "weeps".to_owned()), "both");
    assert!(checks.mark("a", CheckState::Failed, LATER), "looked at again");
    assert_eq!(state(&checks, "a").1, "weeps", "it is still what is wrong");
    let (time, check) = checks.find("a").expect("it is there");
    assert_eq!((time, check.at.as_str()), (CheckTime::Before, LATER), "the last look");
    checks.mark("a", CheckState::NotToday, LATER);
    assert_eq!(state(&checks, "a").1, "", "what was wrong is no reason to leave it out");
    assert!(checks.give_reason("a", "no lamp aboard"), "it may have one");
    checks.mark("a", CheckState::Good, LATER);
    assert_eq!(state(&checks, "a").1, "", "nothing is wrong with a good one");
    assert!(!checks.give_reason("a", "why"), "so no reason");
    checks.mark("a", CheckState::Open, LATER);
    assert_eq!(checks, own(), "taken back as if never looked at");
    assert!(!checks.mark("z", CheckState::Good, NOON), "nobody");
}

#[test]
fn a_summary_counts_each_check_once() {
    let mut checks = own();
    let before = |checks: &ChecksRecord| checks.summary(CheckTime::Before);
    assert_eq!(before(&checks), CheckSummary { open: 3, ..CheckSummary::default() }, "untouched");
    checks.mark("a", CheckState::Good, NOON);
    checks.mark("b", CheckState::NotToday, NOON);
    assert!(!before(&checks).is_done(), "one is open");
    checks.mark("c", CheckState::Failed, NOON);
    let all = CheckSummary { good: 1, left_out: 1, failed: 1, open: 0 };
    assert_eq!(before(&checks), all, "one of each");
    assert!(!before(&checks).is_done(), "one failed");
    checks.mark("c", CheckState::Good, LATER);
    assert!(before(&checks).is_done(), "good, or left out for a reason");
    assert_eq!(checks.last_noted_at(CheckTime::Before), Some(LATER), "the last mark");
    assert_eq!(checks.last_noted_at(CheckTime::After), None, "none there");
    assert!(!ChecksRecord::default().summary(CheckTime::Between).is_done(), "nothing to look at");
}

#[test]
fn begun_anew_everything_is_open_but_what_failed() {
    let mut checks = own();
    checks.mark("a", CheckState::Good, NOON);
    checks.mark("b", CheckState::NotToday, NOON);
    checks.give_reason("b", "no mast");
    checks.mark("c", CheckState::Failed, NOON);
    checks.give_reason("c", "cracked");
    checks.mark("d", CheckState::Good, NOON);
    checks.begin_anew(CheckTime::Before);
    assert_eq!(state(&checks, "a"), (CheckState::Open, String::new()), "open");
    assert_eq!(state(&checks, "b"), (CheckState::Open, String::new()), "without its reason");
    assert_eq!(state(&checks, "c"), (CheckState::Failed, "cracked".to_owned()), "still failed");
    assert_eq!(state(&checks, "d").0, CheckState::Good, "another list");
    let failed: Vec<_> = checks.failed().map(|(time, check)| (time, check.id.as_str())).collect();
    assert_eq!(failed, [(CheckTime::Before, "c")], "it is told of");
    checks.mark("d", CheckState::Failed, NOON);
    assert_eq!(checks.failed().count(), 2, "of all lists");
}

#[test]
fn a_list_begun_anew_is_told_from_a_mark_taken_back() {
    let mut checks = own();
    checks.mark("c", CheckState::Failed, NOON);
    checks.mark("a", CheckState::Good, NOON);
    let one = checks.before.clone();
    checks.mark("a", CheckState::Open, NOON);
    assert!(!begun_anew(&one, &checks.before), "a single mark was taken back");
    checks.mark("a", CheckState::Good, NOON);
    checks.mark("b", CheckState::NotToday, NOON);
    let two = checks.before.clone();
    assert!(!begun_anew(&two, &two), "nothing happened");
    checks.mark("b", CheckState::Open, NOON);
    assert!(!begun_anew(&two, &checks.before), "one of two was taken back");
    checks.mark("b", CheckState::NotToday, NOON);
    checks.begin_anew(CheckTime::Before);
    assert!(begun_anew(&two, &checks.before), "nothing is left but the failed one");
    checks.mark("a", CheckState::Good, LATER);
    assert!(begun_anew(&two, &checks.before), "a mark of another time is another mark");
    assert!(!begun_anew(&[], &checks.before), "nothing was there before");
}

#[test]
fn words_are_the_builders_or_left_to_the_app() {
    let mut checks = ChecksRecord::usual("teal");
    let words = |checks: &ChecksRecord, id: &str| {
        let (_, check) = checks.find(id).expect("it is there");
        check.words.clone()
    };
    assert_eq!(words(&checks, "hatch-seal"), "", "as usual: the app's, in its language");
    assert!(checks.rename("hatch-seal", "  Both O-rings  "), "renamed");
    assert_eq!(words(&checks, "hatch-seal"), "Both O-rings", "in the builder's words");
    assert!(checks.rename("hatch-seal", " "), "none");
    assert_eq!(words(&checks, "hatch-seal"), "", "are those of the app again");
    assert!(checks.add(CheckTime::Between, "mine", " Lamp "), "an own one");
    assert!(!checks.rename("mine", "  "), "cannot be without words");
    assert_eq!(words(&checks, "mine"), "Lamp", "and keeps those it has");
    assert!(!checks.rename("nobody", "Lamp"), "nobody");
}

#[test]
fn checks_come_go_and_move_within_their_list() {
    let mut checks = own();
    assert!(!checks.add(CheckTime::After, "a", "Again"), "an identity is there once");
    assert!(!checks.add(CheckTime::After, "e", "  "), "words are needed");
    assert!(!checks.add(CheckTime::After, "", "Lamp"), "an identity too");
    assert_eq!(checks, own(), "nothing was changed");
    assert!(!checks.shift("a", CheckMove::Up), "it is the first");
    assert!(!checks.shift("c", CheckMove::Down), "it is the last");
    assert!(checks.shift("a", CheckMove::Down) && checks.shift("c", CheckMove::Up), "by one");
    assert_eq!(ids(&checks, CheckTime::Before), ["b", "c", "a"], "in the new order");
    assert_eq!(checks.remove("c").map(|check| check.id), Some("c".to_owned()), "gone");
    assert_eq!(checks.remove("c"), None, "already gone");
    assert_eq!(ids(&checks, CheckTime::Before), ["b", "a"], "the others stay");
    assert_eq!(ids(&checks, CheckTime::After), ["d"], "another list");
}

#[test]
fn back_to_usual_keeps_marks_and_what_failed() {
    let mut checks = ChecksRecord::usual("teal");
    checks.rename("straps", "My straps");
    checks.mark("straps", CheckState::Good, NOON);
    checks.remove("hatch-seal");
    checks.shift("air-line", CheckMove::Up);
    checks.add(CheckTime::Before, "mine", "Lamp");
    checks.add(CheckTime::Before, "mast", "Mast");
    checks.mark("mast", CheckState::Failed, NOON);
    checks.add(CheckTime::After, "other", "Dry");
    checks.back_to_usual(CheckTime::Before);
    let usual: Vec<&str> = usual_checks(CheckTime::Before).iter().map(|c| c.id).collect();
    let mut wanted = usual.clone();
    wanted.push("mast");
    assert_eq!(ids(&checks, CheckTime::Before), wanted, "all of them, and the failed one");
    assert_eq!(state(&checks, "straps").0, CheckState::Good, "as it was marked");
    assert_eq!(checks.find("straps").expect("it is there").1.words, "", "in the usual words");
    assert!(checks.find("other").is_some(), "another list is left alone");
}

/// What a later version may have written beside what this one knows.
fn with_unknown_fields() -> Diary {
    let checks = |list: &[&str]| -> Vec<Value> {
        list.iter().map(|id| json!({ "id": id, "colour": format!("of {id}") })).collect()
    };
    let file = json!({
        "format": "trimwright",
        "version": 3,
        "checks": [{
            "id": "teal",
            "mood": "calm",
            "before": checks(&["hatch-seal", "straps", "mine"]),
            "between": checks(&["air-left"]),
            "after": [],
        }],
    });
    read(&file.to_string()).expect("a file of this version")
}

#[test]
fn what_other_versions_wrote_stays_with_its_check() {
    let mut diary = with_unknown_fields();
    diary.change_checks("teal", |checks| {
        checks.mark("straps", CheckState::Failed, NOON);
        checks.give_reason("straps", "torn");
        checks.rename("mine", "Lamp");
        checks.shift("mine", CheckMove::Up);
        checks.remove("hatch-seal");
        checks.begin_anew(CheckTime::Before);
        checks.back_to_usual(CheckTime::Between);
    });
    let again = read(&write(&diary)).expect("the app's own file");
    assert_eq!(again, diary, "kept as it is");
    let checks = again.checks.first().expect("the boat's lists");
    assert_eq!(checks.extra.get("mood"), Some(&json!("calm")), "of the lists");
    for id in ["straps", "mine", "air-left"] {
        let (_, check) = checks.find(id).expect("it is there");
        assert_eq!(check.extra.get("colour"), Some(&json!(format!("of {id}"))), "of {id}");
    }
    assert!(checks.find("hatch-seal").is_none(), "the removed one is gone, with all it had");
}

/// Something that can be done to the lists.
#[derive(Debug, Clone)]
enum Act {
    Mark(String, CheckState),
    Reason(String, String),
    Rename(String, String),
    Add(CheckTime, String, String),
    Remove(String),
    Shift(String, CheckMove),
    Anew(CheckTime),
    Usual(CheckTime),
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    let known: Vec<String> = CheckTime::ALL
        .into_iter()
        .flat_map(usual_checks)
        .map(|check| check.id.to_owned())
        .chain((0..4).map(|k| format!("own-{k}")))
        .collect();
    let id = || prop::sample::select(known.clone());
    let words = || prop::sample::select(vec!["", " ", "Lamp", " Mast ", "Äußerer Deckel ✓"]);
    let time = || prop::sample::select(CheckTime::ALL.to_vec());
    let state = prop::sample::select(vec![
        CheckState::Open,
        CheckState::Good,
        CheckState::Failed,
        CheckState::NotToday,
    ]);
    let way = prop::sample::select(vec![CheckMove::Up, CheckMove::Down]);
    let act = prop_oneof![
        (id(), state).prop_map(|(id, state)| Act::Mark(id, state)),
        (id(), words()).prop_map(|(id, words)| Act::Reason(id, words.to_owned())),
        (id(), words()).prop_map(|(id, words)| Act::Rename(id, words.to_owned())),
        (time(), id(), words()).prop_map(|(time, id, words)| Act::Add(time, id, words.to_owned())),
        id().prop_map(Act::Remove),
        (id(), way).prop_map(|(id, way)| Act::Shift(id, way)),
        time().prop_map(Act::Anew),
        time().prop_map(Act::Usual),
    ];
    prop::collection::vec(act, 0..40)
}

fn apply(checks: &mut ChecksRecord, act: &Act) {
    match act {
        Act::Mark(id, state) => drop(checks.mark(id, *state, NOON)),
        Act::Reason(id, words) => drop(checks.give_reason(id, words)),
        Act::Rename(id, words) => drop(checks.rename(id, words)),
        Act::Add(time, id, words) => drop(checks.add(*time, id, words)),
        Act::Remove(id) => drop(checks.remove(id)),
        Act::Shift(id, way) => drop(checks.shift(id, *way)),
        Act::Anew(time) => checks.begin_anew(*time),
        Act::Usual(time) => checks.back_to_usual(*time),
    }
}

fn failed(checks: &ChecksRecord) -> BTreeSet<String> {
    checks.failed().map(|(_, check)| check.id.clone()).collect()
}

proptest! {
    #![proptest_config(random_cases(400, 20_261_128))]

    #[test]
    fn whatever_is_done_the_lists_stay_whole_and_no_failure_is_lost(acts in acts()) {
        let mut checks = ChecksRecord::usual("teal");
        for act in &acts {
            let before = failed(&checks);
            apply(&mut checks, act);
            let all: Vec<&CheckRecord> =
                CheckTime::ALL.into_iter().flat_map(|time| checks.list(time)).collect();
            let identities: BTreeSet<&str> = all.iter().map(|check| check.id.as_str()).collect();
            prop_assert_eq!(identities.len(), all.len(), "two of one identity after {:?}", act);
            for check in &all {
                let has_words = !check.words.trim().is_empty() || usual_check(&check.id).is_some();
                prop_assert!(has_words, "without words after {:?}", act);
                let reasoned = matches!(check.state, CheckState::Failed | CheckState::NotToday);
                prop_assert!(reasoned || check.because.is_empty(), "a reason for nothing: {act:?}");
            }
            for time in CheckTime::ALL {
                prop_assert_eq!(checks.summary(time).total(), checks.list(time).len(), "counted");
            }
            if !matches!(act, Act::Mark(..) | Act::Remove(_)) {
                prop_assert_eq!(failed(&checks), before, "a failure came or went by {:?}", act);
            }
        }
        let diary = Diary { checks: vec![checks], ..Diary::default() };
        prop_assert_eq!(read(&write(&diary)).expect("the app's own file"), diary);
    }
}
