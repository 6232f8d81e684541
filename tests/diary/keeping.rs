//! One reading is one reading: keeping it twice is keeping it once, and copies in old files close
//! nothing.

use crate::support::random_cases;
use crate::support::session::{done_entry, entry, reading_entry, session};
use proptest::prelude::*;
use trimwright::diary::{
    CheckTime, ChecksRun, Closing, ConditionRecord, DeedRecord, DoneRecord, Entry, EntryRecord,
    EstimateRecord, Followed, ForetoldRecord, MarkReading, NotComparable, PictureRecord,
    ReadingRecord, ReadingStatus, RunRecord, SessionRecord, closings,
};
use trimwright::fit::Estimate;

/// A reading of a list (degrees) and a mark that leaves the boat as it is.
fn listing(list: f64) -> ReadingRecord {
    let foretold = ForetoldRecord {
        list_deg: Some(EstimateRecord::from(Estimate::new(list, 0.3))),
        as_it_is: true,
        ..ForetoldRecord::default()
    };
    let mark = MarkReading {
        name: "bow".to_owned(),
        at_m: [0.3, 0.0, 0.1],
        above_m: -0.0035,
        extra: serde_json::Map::default(),
    };
    ReadingRecord {
        water_density_kg_m3: 998.2,
        marks: vec![mark],
        list_deg: Some(list),
        state: "state-1".to_owned(),
        foretold: Some(foretold),
        ..ReadingRecord::default()
    }
}

/// The same where something was to be done: level was foretold.
fn to_do(list: f64) -> ReadingRecord {
    let mut reading = listing(list);
    let level = EstimateRecord::from(Estimate::new(0.0, 0.3));
    reading.foretold = Some(ForetoldRecord { list_deg: Some(level), ..ForetoldRecord::default() });
    reading
}

/// Keeps a reading in a session under an identity; the identity of the entry that has it.
fn keep(session: &mut SessionRecord, id: &str, reading: ReadingRecord) -> String {
    session.keep(reading, id.to_owned(), format!("2026-05-09T10:00:00Z {id}"))
}

#[test]
fn keeping_a_reading_twice_is_keeping_it_once() {
    let mut day = session("one", Vec::new());
    assert_eq!(day.reading_status(&listing(0.4)), ReadingStatus::New, "nothing is kept yet");
    assert_eq!(keep(&mut day, "a1", listing(0.4)), "a1", "the first");
    for id in ["a2", "a3"] {
        assert_eq!(keep(&mut day, id, listing(0.4)), "a1", "one reading is one reading");
    }
    assert_eq!(day.readings().count(), 1, "one entry");
    let ReadingStatus::Kept(kept) = day.reading_status(&listing(0.4)) else { panic!("it is kept") };
    assert_eq!(kept.id, "a1", "by this entry");
    assert_eq!(keep(&mut day, "b1", listing(0.5)), "b1", "another figure");
    assert_eq!(keep(&mut day, "a4", listing(0.4)), "a4", "another one was between");
}

#[test]
fn whatever_is_different_makes_it_another_reading() {
    type Change = fn(&mut ReadingRecord);
    let first = listing(0.4);
    let kinds: [(&str, Change); 9] = [
        ("list", |r| r.list_deg = Some(0.41)),
        ("no list", |r| r.list_deg = None),
        ("trim too", |r| r.trim_deg = Some(0.0)),
        ("mark", |r| r.marks[0].above_m = -0.0036),
        ("another mark", |r| r.marks[0].name = "stern".to_owned()),
        ("under", |r| r.condition = ConditionRecord::Under),
        ("fill", |r| r.fill = 0.01),
        ("water", |r| r.water_density_kg_m3 = 998.3),
        ("the boat", |r| r.state = "state-2".to_owned()),
    ];
    for (what, change) in kinds {
        let mut other = first.clone();
        change(&mut other);
        let mut day = session("one", vec![reading_entry("a1", first.clone())]);
        assert_eq!(keep(&mut day, "a2", other), "a2", "{what}");
    }
}

#[test]
fn a_reading_kept_again_has_the_advice_that_was_given_last() {
    let advised = |words: &str| ReadingRecord { advice: vec![words.to_owned()], ..to_do(3.0) };
    let mut day = session("one", Vec::new());
    keep(&mut day, "a1", advised("on the keel"));
    keep(&mut day, "a2", advised("on deck"));
    let kept: Vec<_> = day.readings().map(|(_, r)| r.advice.join(" ")).collect();
    assert_eq!(kept, ["on deck"], "the weight was to go elsewhere");
    day.entries.push(done_entry("a1"));
    keep(&mut day, "a3", advised("on the keel"));
    assert_eq!(day.readings().next().expect("one").1.advice, ["on deck"], "what was done stays");
}

#[test]
fn the_same_figures_in_other_units_are_the_same_reading() {
    // 3.5 mm is typed as 0.1378 in, and 57 g as 2.011 oz.
    let mut inches = listing(0.4);
    inches.marks[0].above_m = -0.1378 * 0.0254;
    let mut day = session("one", vec![reading_entry("a1", listing(0.4))]);
    assert_eq!(keep(&mut day, "a2", inches), "a1", "by a thousandth of a millimetre");
    let under = |kg: f64| ReadingRecord { residual_kg: Some(kg), ..listing(0.4) };
    let mut day = session("one", vec![reading_entry("u1", under(0.057))]);
    assert_eq!(
        keep(&mut day, "u2", under(2.011 * 0.028_349_523)),
        "u1",
        "by a hundredth of a gram"
    );
}

#[test]
fn words_between_make_no_new_reading_and_acts_do() {
    let checks = ChecksRun {
        time: CheckTime::Before,
        checks: Vec::new(),
        extra: serde_json::Map::default(),
    };
    for between in [
        Entry::Note("windy".to_owned()),
        Entry::Picture(PictureRecord::default()),
        Entry::Checks(checks),
        Entry::Other,
    ] {
        let entries = vec![reading_entry("a1", listing(0.4)), entry("n", between)];
        let mut day = session("one", entries);
        assert_eq!(keep(&mut day, "a2", listing(0.4)), "a1", "{:?}", day.entries[1].what);
    }
    let run = Entry::Run(RunRecord::default());
    let mut day = session("one", vec![reading_entry("a1", listing(0.4)), entry("run", run)]);
    assert_eq!(keep(&mut day, "a2", listing(0.4)), "a2", "it was out, and lies as before");
}

#[test]
fn a_reading_whose_advice_was_done_is_kept_and_done() {
    let day = session("one", vec![reading_entry("a1", to_do(3.0)), done_entry("a1")]);
    let ReadingStatus::Done(kept) = day.reading_status(&to_do(3.0)) else { panic!("it is done") };
    assert_eq!(kept.id, "a1", "that of this entry");
    let unsaid = session("one", vec![reading_entry("a1", to_do(3.0)), done_entry("")]);
    assert!(
        matches!(unsaid.reading_status(&to_do(3.0)), ReadingStatus::Done(_)),
        "after the last one"
    );
    let of_other = session("one", vec![reading_entry("a1", to_do(3.0)), done_entry("z")]);
    assert_eq!(of_other.reading_status(&to_do(3.0)), ReadingStatus::New, "something else was done");
}

fn pair(closing: &Closing) -> (&str, &str, Option<bool>) {
    (&closing.advice.entry, &closing.reading.entry, closing.came_true())
}

#[test]
fn copies_in_an_old_file_close_nothing() {
    let copies = ["a1", "a2", "a3"].map(|id| reading_entry(id, listing(0.4)));
    assert_eq!(closings([&session("one", copies.to_vec())]), [], "one reading, kept three times");
    let mut entries = copies.to_vec();
    entries.push(reading_entry("b1", listing(0.5)));
    let got = closings([&session("one", entries)]);
    let got: Vec<_> = got.iter().map(pair).collect();
    assert_eq!(got, [("a1", "b1", Some(true))], "closed once, by what was read next");
}

#[test]
fn a_reading_after_the_boat_was_changed_is_another_reading() {
    let deeds = vec![DeedRecord::default()];
    let done = DoneRecord { after: "a".to_owned(), deeds, ..DoneRecord::default() };
    let changed = entry("changed", Entry::Done(done));
    let mut day = session("day", vec![reading_entry("a", to_do(3.0)), changed]);
    assert_eq!(
        day.reading_status(&to_do(3.0)),
        ReadingStatus::New,
        "to the last digit the same, and new"
    );
    day.keep(to_do(3.0), "b".to_owned(), "later".to_owned());
    assert_eq!(day.entries.len(), 3, "it is kept");
}

#[test]
fn what_was_done_after_a_copy_counts_for_the_reading() {
    let entries = vec![
        reading_entry("a1", to_do(3.0)),
        reading_entry("a2", to_do(3.0)),
        done_entry("a2"),
        reading_entry("b1", listing(0.2)),
    ];
    let got = closings([&session("one", entries)]);
    assert_eq!(got.len(), 1, "one advice");
    assert_eq!((pair(&got[0]).0, got[0].followed), ("a1", Followed::Done), "it was followed");
    assert!(got[0].is_fair(), "nothing else was done: {:?}", got[0].unlike);
}

#[test]
fn the_same_figures_after_something_was_done_judge_nothing() {
    // 0.5° is within two spreads of the level that was foretold: it would have come true.
    let entries = vec![
        reading_entry("a1", to_do(0.5)),
        done_entry("a1"),
        reading_entry("a2", to_do(0.5)),
        reading_entry("b1", listing(0.1)),
    ];
    let got = closings([&session("one", entries)]);
    assert_eq!(got[0].unlike, [NotComparable::SameFigures], "perhaps nobody read anew");
    assert_eq!(got.iter().map(pair).collect::<Vec<_>>()[1], ("a2", "b1", Some(true)), "the next");
}

proptest! {
    #![proptest_config(random_cases(100, 20_261_130))]

    /// Copies right behind their readings, in any number, change nothing that is closed.
    #[test]
    fn copies_change_nothing_that_is_closed(
        kinds in prop::collection::vec((0_u8..4, 0_usize..3), 0..8),
    ) {
        let mut once: Vec<EntryRecord> = Vec::new();
        let mut twice = Vec::new();
        for (k, (kind, copies)) in kinds.into_iter().enumerate() {
            let list = 0.1 * f64::from(u32::try_from(k).expect("a few"));
            let id = format!("e{k}");
            let what = match kind {
                0 => reading_entry(&id, listing(list)),
                1 => reading_entry(&id, to_do(list)),
                2 => reading_entry(&id, ReadingRecord { foretold: None, ..listing(list) }),
                _ => done_entry(&format!("e{}", k.saturating_sub(1))),
            };
            once.push(what.clone());
            twice.push(what.clone());
            if kind < 3 {
                let copy = |n| EntryRecord { id: format!("{id} copy {n}"), ..what.clone() };
                twice.extend((0..copies).map(copy));
            }
        }
        let (once, twice) = (session("one", once), session("one", twice));
        prop_assert_eq!(closings([&once]), closings([&twice]));
    }
}
