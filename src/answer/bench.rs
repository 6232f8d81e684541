//! What is typed of the boat on the bench, and what that told.

use super::evidence::Evidence;
use super::kept::{KeptSession, KeptSighting, KeptWhat, sessions_in_hand};
use super::ready_boat::ReadyBoat;
use super::wrong::{Field, Unreadable};
use crate::diary::{BenchRecord, BoatRecord, Diary, Draft, FormTexts};
use crate::unit::{GRAM, Units, read_number_within};

/// Under what name the figures are typed ([`Draft::forms`]), and their fields: on the scales, the balance point, and
/// (where something is in it) that this is aft of the datum.
pub const BENCH_FORM: &str = "bench";
/// On the scales.
pub const BENCH_SCALE: &str = "scale";
/// The balance point.
pub const BENCH_BALANCE: &str = "balance";
/// Aft of the datum.
pub const BENCH_AFT: &str = "aft";

/// What is typed of the boat on the bench; none if nothing is.
///
/// # Errors
/// All fields that are filled in and cannot be read.
pub fn read_bench(draft: &Draft, hand: &ReadyBoat) -> Result<Option<BenchRecord>, Vec<Unreadable>> {
    let none = FormTexts::new();
    let form = draft.forms.get(BENCH_FORM).unwrap_or(&none);
    let text = |field: &str| form.get(field).map_or("", |text| text.trim());
    let units = Units::from(draft.units);
    let mut wrong = Vec::new();
    let mut read = |field: Field, text: &str, low: f64, high: f64| {
        if text.is_empty() {
            return None;
        }
        read_number_within(text, low, high)
            .map_err(|why| wrong.push(Unreadable::new(field, why)))
            .ok()
    };
    let (of_mass, of_length) = (units.mass_unit(), units.length_unit());
    // Twice what is described is a typing slip.
    let heaviest = of_mass.limit(2.0 * hand.model.bare().mass);
    let scale = read(Field::Scale, text(BENCH_SCALE), of_mass.least(GRAM), heaviest);
    let longest = of_length.limit(hand.model.bounds().size().x);
    let balance = read(Field::Balance, text(BENCH_BALANCE), 0.0, longest);
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let is_aft = !text(BENCH_AFT).is_empty();
    let seen = BenchRecord {
        scale_kg: scale.map(|typed| of_mass.si(typed)),
        balance_m: balance.map(|typed| hand.along(of_length.si(typed), is_aft)),
        ..BenchRecord::default()
    };
    Ok(Some(seen).filter(|seen| seen.scale_kg.is_some() || seen.balance_m.is_some()))
}

/// Something that was kept of the boat on the bench, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct NotedBench {
    /// The session's identity.
    pub session: String,
    /// The entry's identity in it.
    pub entry: String,
    /// What was seen.
    pub bench: BenchRecord,
}

/// What the sessions here have of the boat in hand on the bench, of that which counts (`kept`), oldest first.
pub fn benches_in_hand(diary: &Diary, kept: &[KeptSession]) -> Vec<NotedBench> {
    let counts = |bench: &BenchRecord| {
        let is_it = |seen: &KeptSighting| matches!(&seen.what, KeptWhat::Bench(b, _) if b == bench);
        kept.iter().any(|session| session.sightings.iter().any(is_it))
    };
    let mut sessions: Vec<_> = sessions_in_hand(diary).collect();
    sessions.sort_by(|a, b| a.started_at.cmp(&b.started_at));
    let all = sessions.into_iter().flat_map(|session| {
        session.benches().filter(|(_, bench)| counts(bench)).map(|(entry, bench)| NotedBench {
            session: session.id.clone(),
            entry: entry.id.clone(),
            bench: bench.clone(),
        })
    });
    all.collect()
}

/// What the bench told: spreads before it and with it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BenchTold {
    /// Of the boat's mass, kg.
    pub mass: [f64; 2],
    /// Of the place of its centre of gravity along it, metres.
    pub along: [f64; 2],
}

/// What was seen on the bench told, with everything else that was seen of the boat (`kept`); `all` is what that told.
/// None if it never was there.
pub fn bench_told(
    hand: &ReadyBoat,
    record: &BoatRecord,
    kept: &[KeptSession],
    all: &Evidence,
) -> Option<BenchTold> {
    let is_bench = |seen: &&KeptSighting| matches!(seen.what, KeptWhat::Bench(..));
    let was_there = kept.iter().any(|session| session.sightings.iter().any(|s| is_bench(&s)));
    let after = all.known().filter(|_| was_there)?.spreads();
    let without = |session: &KeptSession| KeptSession {
        sightings: session.sightings.iter().filter(|s| !is_bench(s)).cloned().collect(),
        ..session.clone()
    };
    let others: Vec<KeptSession> = kept.iter().map(without).collect();
    let before = Evidence::of(hand, record, &others);
    let before = before.known().unwrap_or(&hand.known).spreads();
    Some(BenchTold { mass: [before[0], after[0]], along: [before[1], after[1]] })
}
