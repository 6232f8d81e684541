//! The boat on the bench: what scales and balance point tell, in the closed form of one figure against what was known.

use crate::support::diary::{diary, entry, session};
use crate::support::{assert_close, assert_within};
use trimwright::answer::{Evidence, Field, ReadyBoat, bench_told, kept_in, read_bench};
use trimwright::diary::{
    BenchRecord, BoatRecord, DatumRecord, DeedKind, DeedRecord, Diary, DoneRecord, Draft, Entry,
    EntryRecord, PartRecord, ReadingRecord, SessionRecord, state_of,
};

/// Of scales, the more of both; of the balance point: common practice, no source, as the app's contract has it.
const SCALES: f64 = 5e-3;
const SCALES_SHARE: f64 = 1e-3;
const BALANCE: f64 = 2e-3;

fn demo() -> BoatRecord {
    diary().boats[0].clone()
}

fn at(minute: u32) -> String {
    format!("2026-05-09T10:{minute:02}:00.000Z")
}

fn benched(minute: u32, bench: &BenchRecord, boat: &BoatRecord) -> EntryRecord {
    let bench = BenchRecord { state: state_of(boat).0, ..bench.clone() };
    entry(&format!("bench {minute}"), &at(minute), Entry::Bench(bench))
}

fn outing(boat: &BoatRecord, entries: Vec<EntryRecord>) -> Vec<SessionRecord> {
    vec![SessionRecord { entries, ..session("outing", &boat.id, &at(0)) }]
}

fn told(boat: &BoatRecord, sessions: &[SessionRecord]) -> (ReadyBoat, Evidence) {
    let hand = ReadyBoat::of(boat).expect("a boat");
    let kept = kept_in(sessions, &state_of(boat).0, &hand.boat.marks);
    let evidence = Evidence::of(&hand, boat, &kept);
    (hand, evidence)
}

/// What one figure leaves of an error known to `before` and read to `own`: its share, and its spread.
fn one_figure(before: f64, own: f64) -> (f64, f64) {
    let share = before.powi(2) / (before.powi(2) + own.powi(2));
    (share, (1.0 / (1.0 / before.powi(2) + 1.0 / own.powi(2))).sqrt())
}

#[test]
fn the_scales_tell_the_mass_as_well_as_they_weigh() {
    let boat = demo();
    let hand = ReadyBoat::of(&boat).expect("a boat");
    let described = hand.model.bare().mass;
    let scale = described + 0.12;
    let bench = BenchRecord { scale_kg: Some(scale), ..BenchRecord::default() };
    let (_, evidence) = told(&boat, &outing(&boat, vec![benched(1, &bench, &boat)]));
    let known = evidence.known().expect("it was weighed");
    let own = SCALES.max(SCALES_SHARE * scale);
    let (share, left) = one_figure(hand.known.spreads()[0], own);
    assert_close(known.errors[0], share * 0.12, 1e-6, "mass");
    assert_close(known.spreads()[0], left, 1e-6, "its spread");
    assert!(left < own, "no worse than the scales: {left}");
}

#[test]
fn what_was_done_after_it_is_in_the_boat_that_was_weighed() {
    let boat = demo();
    let (weight, place) = (0.084, [0.2, 0.018, 0.01]);
    let mut after = boat.clone();
    after.parts.push(PartRecord {
        name: "lead".to_owned(),
        mass_kg: Some(weight),
        centre_m: Some(place),
        ..boat.parts.iter().find(|part| part.solid.is_none()).expect("a mere weight").clone()
    });
    let hand = ReadyBoat::of(&after).expect("a boat");
    let described = hand.model.bare().mass;
    let own = ReadyBoat::of(&boat).expect("a boat").model.bare().mass;
    assert_within(described - own, weight, 1e-9, "the list has it");
    // The boat weighed what it is described with, and 60 g: before the weight was put on.
    let bench = BenchRecord { scale_kg: Some(own + 0.06), ..BenchRecord::default() };
    let state = state_of(&boat).0;
    let read = Entry::Reading(Box::new(ReadingRecord { state, ..ReadingRecord::default() }));
    let deed = DeedRecord {
        kind: DeedKind::Add,
        mass_kg: weight,
        at_m: Some(place),
        by_m: None,
        density_kg_m3: None,
        part: "lead".to_owned(),
        extra: serde_json::Map::new(),
    };
    let done = DoneRecord {
        after: "read".to_owned(),
        deeds: vec![deed],
        made: state_of(&after).0,
        ..DoneRecord::default()
    };
    let entries = vec![
        benched(1, &bench, &boat),
        entry("read", &at(2), read),
        entry("done", &at(3), Entry::Done(done)),
    ];
    let kept = kept_in(&outing(&after, entries), &state_of(&after).0, &hand.boat.marks);
    // The reading has no figure; the bench counts alone.
    let only_bench: Vec<_> = kept.iter().filter_map(|session| session.sightings.first()).collect();
    let sessions = vec![trimwright::answer::KeptSession {
        sightings: only_bench.into_iter().cloned().collect(),
        ..trimwright::answer::KeptSession::default()
    }];
    let evidence = Evidence::of(&hand, &after, &sessions);
    let known = evidence.known().expect("it was weighed");
    let (share, _) = one_figure(hand.known.spreads()[0], SCALES.max(SCALES_SHARE * (own + 0.06)));
    assert_close(known.errors[0], share * 0.06, 1e-6, "the 60 g, and not the lead again");
}

#[test]
fn scales_and_balance_point_tell_where_the_weight_is_along_the_boat() {
    let boat = demo();
    let hand = ReadyBoat::of(&boat).expect("a boat");
    let bare = hand.model.bare();
    let bench = BenchRecord {
        scale_kg: Some(bare.mass),
        balance_m: Some(bare.centre.x + 0.004),
        ..BenchRecord::default()
    };
    let sessions = outing(&boat, vec![benched(1, &bench, &boat)]);
    let (_, evidence) = told(&boat, &sessions);
    let known = evidence.known().expect("it balanced");
    let before = hand.known.spreads()[1];
    // Where it balances is its centre of gravity, and nothing else: one figure of one error.
    let (_, left) = one_figure(before, BALANCE);
    assert_close(known.spreads()[1], left, 1e-3, "along");
    let (share, _) = one_figure(before, BALANCE);
    assert_close(known.errors[1], share * 0.004, 1e-2, "towards where it balances");
    let kept = kept_in(&sessions, &state_of(&boat).0, &hand.boat.marks);
    let told = bench_told(&hand, &boat, &kept, &evidence).expect("it was there");
    assert_close(told.along[0], before, 1e-9, "as it was known before");
    assert_close(told.along[1], left, 1e-3, "as it is now");
    assert_close(told.mass[0], hand.known.spreads()[0], 1e-9, "the mass before");
}

/// What is typed on the bench of a boat measured from `datum`.
fn typed(datum: DatumRecord, fields: &[(&str, &str)]) -> (Diary, ReadyBoat) {
    let boat = BoatRecord { datum, ..demo() };
    let texts = fields.iter().map(|(field, text)| ((*field).to_owned(), (*text).to_owned()));
    let mut draft = Draft::default();
    draft.forms.insert("bench".to_owned(), texts.collect());
    let hand = ReadyBoat::of(&boat).expect("a boat");
    (Diary { draft, ..Diary::default() }, hand)
}

#[test]
fn the_balance_point_is_typed_from_where_the_boat_is_measured() {
    let balance = |datum, fields: &[(&str, &str)]| {
        let (diary, hand) = typed(datum, fields);
        read_bench(&diary.draft, &hand).expect("good").expect("a figure").balance_m.expect("it")
    };
    let aft = [("balance", "12,5"), ("aft", "yes")];
    assert_within(balance(DatumRecord::Midship, &aft[..1]), 0.0125, 1e-12, "forward of midship");
    assert_within(balance(DatumRecord::Midship, &aft), -0.0125, 1e-12, "aft of midship");
    // The demonstration boat is 0.92 m long, from -0.46 to 0.46: its contract.
    let from_end = [("balance", "450")];
    assert_within(balance(DatumRecord::Bow, &from_end), 0.46 - 0.45, 1e-9, "from the bow: aft");
    assert_within(balance(DatumRecord::Stern, &from_end), 0.45 - 0.46, 1e-9, "from the stern");
}

#[test]
fn what_cannot_be_is_named_with_its_field_and_nothing_is_nothing() {
    let (diary, hand) = typed(DatumRecord::Midship, &[("scale", "heavy"), ("balance", "5000")]);
    let wrong = read_bench(&diary.draft, &hand).expect_err("both are wrong");
    let fields: Vec<&Field> = wrong.iter().map(|wrong| &wrong.field).collect();
    assert_eq!(fields, [&Field::Scale, &Field::Balance], "{wrong:?}");
    assert_eq!(read_bench(&Draft::default(), &hand), Ok(None), "nothing typed");
}
