//! What everything that was seen of a boat so far told of it: the next reading begins with that, and the boat is the
//! same one afloat and under.

use super::kept::{KeptSession, KeptSighting, KeptWhat, kept_in, sessions_in_hand};
use super::ready_boat::ReadyBoat;
use crate::diary::{BoatRecord, Diary, LeanRecord, ReadingRecord, state_of};
use crate::fit::{
    Covariance, Errors, Estimate, Fit, JointFit, KnownErrors, Sighting, Unknown, culprit, estimate,
};
use crate::float::N_ERRORS;
use crate::frame::Pose;
use crate::reading::{Condition, Reading};
use crate::unit::GRAM;

/// Mass that may have come aboard, gone or moved between two outings, anywhere in the boat, kg: common practice, no
/// source.
const CHANGED: f64 = 10.0 * GRAM;

/// A condition in which the boat was read as it is.
#[derive(Debug, Clone)]
struct SeenIn {
    /// The last reading there, and how full its tanks were.
    fill: f64,
    density: f64,
    pose: Pose,
    tells: Vec<Unknown>,
}

/// What everything that was seen of a boat told of it.
#[derive(Debug, Clone, Default)]
pub struct Evidence {
    told: Told,
    /// The last reading, if nothing was done since.
    last: Option<LastReading>,
    /// Where it was read, afloat and under.
    seen: [Option<SeenIn>; 2],
    /// What leans on the way were seen, and what does not fit of them.
    leans: Option<LeansTold>,
}

/// The last reading that was kept, and what was known before it.
#[derive(Debug, Clone)]
struct LastReading {
    reading: Reading,
    fill: f64,
    told: Told,
    /// The boat was read in its condition before it.
    was_read: bool,
}

/// What is known of a boat's errors from what was seen of it.
#[derive(Debug, Clone, Default)]
enum Told {
    /// Nothing was seen.
    #[default]
    Nothing,
    /// All that was seen is of one boat.
    One(Box<KnownErrors>),
    /// What was seen afloat and under does not go together: it is not shaped as it is described. Each counts where
    /// it was seen.
    Apart(Box<[Option<KnownErrors>; 2]>),
}

impl Told {
    fn in_condition(&self, condition: Condition) -> Option<&KnownErrors> {
        match self {
            Self::Nothing => None,
            Self::One(known) => Some(known),
            Self::Apart(known) => known[index(condition)].as_ref(),
        }
    }
}

/// The place of a condition in a pair.
fn index(condition: Condition) -> usize {
    usize::from(condition == Condition::Under)
}

/// What the leans on the way tell, with all else that was seen.
#[derive(Debug, Clone, PartialEq)]
pub struct LeansTold {
    /// How far the boat's centre of gravity, its tanks empty, lies to port of the list's, metres.
    pub offset: Estimate,
    /// How far above it, metres.
    pub height: Estimate,
    /// The lean that contradicts.
    pub clash: Option<LeanRecord>,
}

impl Evidence {
    /// What was seen told, oldest session first. What fits no such boat tells nothing.
    pub fn of(hand: &ReadyBoat, record: &BoatRecord, sessions: &[KeptSession]) -> Self {
        let mut evidence = Self::default();
        let Some((last, before)) = sessions.split_last() else { return evidence };
        let mut known: Option<KnownErrors> = None;
        for session in before {
            let prior = prior_of(hand, known.as_ref());
            let made = made(session, hand, record);
            let joint = estimate(hand.model.bare(), &prior, &made.1).ok();
            let Some(joint) = joint.filter(JointFit::is_consistent) else { continue };
            evidence.note(hand, &prior, &made, &joint);
            known = Some(joint.known);
        }
        evidence.take(hand, &prior_of(hand, known.as_ref()), &made(last, hand, record));
        evidence
    }

    /// What the diary has of the boat in hand.
    pub fn in_hand(diary: &Diary, hand: &ReadyBoat) -> Self {
        let Some(record) = diary.boat(&diary.draft.boat) else { return Self::default() };
        let kept = kept_in(sessions_in_hand(diary), &state_of(record).0, &hand.boat.marks);
        Self::of(hand, record, &kept)
    }

    /// Takes what was seen on the outing that goes on.
    fn take(&mut self, hand: &ReadyBoat, prior: &KnownErrors, made: &Made<'_>) {
        let (kept, sightings) = made;
        let earlier = [Condition::Afloat, Condition::Under].map(|of| self.was_read(of));
        let (told, joint) = told(hand, prior, sightings);
        self.told = told;
        if let Some(joint) = joint {
            self.note(hand, prior, made, &joint);
        }
        if let (Some(last), Some((_, others))) = (kept.last(), sightings.split_last())
            && let KeptWhat::Reading(reading, fill) = &last.what
            && !last.was_changed
        {
            let before = if others.is_empty() && prior == &hand.known {
                Told::Nothing
            } else {
                self::told(hand, prior, others).0
            };
            let condition = reading.condition;
            let is_there = |kept: &&KeptSighting| match &kept.what {
                KeptWhat::Reading(other, _) => other.condition == condition,
                KeptWhat::Lean(_) | KeptWhat::Bench(..) => false,
            };
            let was_read = earlier[index(condition)] || kept.iter().rev().skip(1).any(is_there);
            let (reading, fill) = (reading.clone(), *fill);
            self.last = Some(LastReading { reading, fill, told: before, was_read });
        }
    }

    /// Where the boat was read, and what that told.
    fn note(
        &mut self,
        hand: &ReadyBoat,
        prior: &KnownErrors,
        (kept, sightings): &Made<'_>,
        joint: &JointFit,
    ) {
        let bounds = hand.model.bounds();
        for (k, (kept, sighting)) in kept.iter().zip(sightings).enumerate() {
            let KeptWhat::Reading(reading, fill) = &kept.what else { continue };
            let Some(pose) = joint.sightings.get(k).and_then(|s| s.pose) else { continue };
            let tells = sighting.tells(bounds);
            let (fill, density) = (*fill, reading.water_density);
            let seen = SeenIn { fill, density, pose, tells };
            self.seen[index(reading.condition)] = Some(seen);
        }
        let lean = |kept: &KeptSighting| match &kept.what {
            KeptWhat::Lean(lean) => Some(lean.clone()),
            KeptWhat::Reading(..) | KeptWhat::Bench(..) => None,
        };
        let leans: Vec<Option<LeanRecord>> = kept.iter().map(|kept| lean(kept)).collect();
        let earlier = self.leans.take();
        if earlier.is_none() && leans.iter().all(Option::is_none) {
            return;
        }
        let clashes = |k: usize| leans[k].is_some() && joint.contradiction(k).is_some();
        let clash = if (0..leans.len()).any(clashes) {
            let culprit = culprit(hand.model.bare(), prior, sightings, joint);
            culprit.and_then(|(which, _)| leans.get(which)?.clone())
        } else {
            earlier.and_then(|told| told.clash)
        };
        self.leans = Some(LeansTold { offset: joint.error(2), height: joint.error(3), clash });
    }

    /// What is known of the boat's errors before a reading, and whether it was read in that condition before; the
    /// reading itself, if it was kept already, is not in that.
    pub(super) fn before(&self, reading: &Reading, fill: f64) -> (Option<&KnownErrors>, bool) {
        let condition = reading.condition;
        let same = |last: &&LastReading| is_same((&last.reading, last.fill), (reading, fill));
        match self.last.as_ref().filter(same) {
            Some(last) => (last.told.in_condition(condition), last.was_read),
            None => (self.told.in_condition(condition), self.was_read(condition)),
        }
    }

    /// True where the boat lay farther over than this (radians) when it was read afloat last.
    pub(super) fn lay_over(&self, heel: f64) -> bool {
        self.seen[index(Condition::Afloat)].as_ref().is_some_and(|s| s.pose.heel().abs() > heel)
    }

    fn was_read(&self, condition: Condition) -> bool {
        self.seen[index(condition)].is_some()
    }

    /// The boat as it is in a condition in which it was read, if that told all: as `fit` has it, where all that was
    /// seen is of one boat, or as it was found there.
    pub(super) fn found(
        &self,
        hand: &ReadyBoat,
        condition: Condition,
        fit: &Fit,
        differs: bool,
    ) -> Option<Fit> {
        let seen = self.seen[index(condition)].as_ref()?;
        if seen.tells.len() < Unknown::ALL.len() {
            return None;
        }
        let model = hand.model.flooded(seen.fill, seen.density).ok()?;
        let known = match &self.told {
            Told::One(_) if !differs => fit.known(),
            told => told.in_condition(condition)?.clone(),
        };
        Fit::of_known(&model, seen.pose, &known).ok()
    }

    /// What the leans on the way told; none if none were seen.
    pub fn leans(&self) -> Option<&LeansTold> {
        self.leans.as_ref()
    }

    /// What is known of the boat's errors from all that was seen; afloat, where that does not go together.
    pub fn known(&self) -> Option<&KnownErrors> {
        self.told.in_condition(Condition::Afloat)
    }
}

/// What was kept, with the sightings made of it.
type Made<'a> = (Vec<&'a KeptSighting>, Vec<Sighting>);

fn made<'a>(session: &'a KeptSession, hand: &ReadyBoat, record: &BoatRecord) -> Made<'a> {
    let sighting = |kept: &'a KeptSighting| Some((kept, kept.sighting(hand, record)?));
    session.sightings.iter().filter_map(sighting).unzip()
}

/// What is known before an outing, from what earlier ones left.
fn prior_of(hand: &ReadyBoat, known: Option<&KnownErrors>) -> KnownErrors {
    known.map_or_else(|| hand.known.clone(), |known| known.widened(&drift(hand)))
}

/// What sightings told, the latest first: one that does not go with later ones was of another boat, or a slip. The
/// fit of all of them, if they tell of one boat.
fn told(hand: &ReadyBoat, prior: &KnownErrors, sightings: &[Sighting]) -> (Told, Option<JointFit>) {
    let solve =
        |prior: &KnownErrors, some: &[Sighting]| estimate(hand.model.bare(), prior, some).ok();
    let all = solve(prior, sightings);
    if let Some(joint) = all.as_ref().filter(|joint| joint.is_consistent()) {
        return (Told::One(Box::new(joint.known.clone())), all);
    }
    let latest_in = |is_under: bool| {
        let of_condition: Vec<Sighting> =
            sightings.iter().filter(|s| s.is_under() == is_under).cloned().collect();
        let last = of_condition.len().checked_sub(1)?;
        // A single one counts, however odd the boat is that it tells of.
        let counts = |from: usize, joint: &JointFit| from == last || joint.is_consistent();
        (0..=last).find_map(|from| {
            let joint = solve(&hand.known, of_condition.get(from..)?)?;
            counts(from, &joint).then_some(joint.known)
        })
    };
    match [false, true].map(latest_in) {
        [None, None] => (Told::Nothing, all),
        known => (Told::Apart(Box::new(known)), all),
    }
}

/// What may have changed between two outings.
fn drift(hand: &ReadyBoat) -> Covariance {
    let (mass, size) = (hand.model.bare().mass, hand.model.bounds().size());
    // Anywhere within the bounds, evenly: a twelfth of the square of the length.
    let place = size * (CHANGED / mass / 12.0_f64.sqrt());
    let spreads: [f64; N_ERRORS] = [CHANGED, place.x, place.y, place.z, 0.0];
    Covariance::from_diagonal(&Errors::from(spreads.map(|s| s * s)))
}

/// True when both say the same, as where a reading is kept once more.
fn is_same(kept: (&Reading, f64), other: (&Reading, f64)) -> bool {
    let record = |(reading, fill): (&Reading, f64)| ReadingRecord::of(reading, "", fill);
    record(kept).says_the_same(&record(other))
}
