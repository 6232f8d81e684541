//! What everything that was seen of a boat so far told of it: the next reading begins with that, and the boat is the
//! same one afloat and under.

use super::kept::{KeptSession, KeptSighting, KeptWhat, kept_in, sessions_in_hand};
use super::ready_boat::ReadyBoat;
use crate::diary::{BoatRecord, Diary, ReadingRecord, state_of};
use crate::fit::{
    Covariance, Errors, Estimate, Fit, JointFit, KnownErrors, Sighting, Unknown, estimate,
};
use crate::float::N_ERRORS;
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
    pose: crate::frame::Pose,
    tells: Vec<Unknown>,
}

/// What everything that was seen of a boat told of it.
#[derive(Debug, Clone, Default)]
pub struct Evidence {
    /// What is known of its errors; none before anything was seen.
    known: Option<KnownErrors>,
    /// The same without the last reading, and that reading, if nothing was done since.
    before_last: Option<(Option<KnownErrors>, Reading, f64)>,
    /// Where it was read, afloat and under.
    seen: [Option<SeenIn>; 2],
    /// What leans on the way were seen, and what does not fit of them.
    leans: Option<LeansTold>,
}

/// What the leans on the way tell, with all else that was seen.
#[derive(Debug, Clone, PartialEq)]
pub struct LeansTold {
    /// How far the boat's centre of gravity, its tanks empty, lies to port of the list's, metres.
    pub offset: Estimate,
    /// How far above it, metres.
    pub height: Estimate,
    /// The lean that contradicts, by its place among those of its outing.
    pub clash: Option<usize>,
}

impl Evidence {
    /// What was seen told, oldest session first. A session that fits no such boat tells nothing.
    pub fn of(hand: &ReadyBoat, record: &BoatRecord, sessions: &[KeptSession]) -> Self {
        let mut evidence = Self::default();
        let last = sessions.len().saturating_sub(1);
        for (k, session) in sessions.iter().enumerate() {
            evidence.take(hand, record, session, k == last);
        }
        evidence
    }

    /// What the diary has of the boat in hand.
    pub fn in_hand(diary: &Diary, hand: &ReadyBoat) -> Self {
        let Some(record) = diary.boat(&diary.draft.boat) else { return Self::default() };
        let kept = kept_in(sessions_in_hand(diary), &state_of(record).0, &hand.boat.marks);
        Self::of(hand, record, &kept)
    }

    fn take(
        &mut self,
        hand: &ReadyBoat,
        record: &BoatRecord,
        session: &KeptSession,
        is_last: bool,
    ) {
        let since = self.known.take();
        let known = match &since {
            Some(known) => known.widened(&drift(hand)),
            None => hand.known.clone(),
        };
        let made =
            session.sightings.iter().filter_map(|kept| Some((kept, kept.sighting(hand, record)?)));
        let (kept, sightings): (Vec<&KeptSighting>, Vec<Sighting>) = made.unzip();
        let joint = estimate(hand.model.bare(), &known, &sightings);
        let Ok(joint) = joint else {
            self.known = since;
            return;
        };
        self.known = Some(joint.known.clone());
        if !is_last {
            return;
        }
        self.note(hand, &kept, &sightings, &joint);
        let without = || {
            let (_, others) = sightings.split_last()?;
            let before = estimate(hand.model.bare(), &known, others).ok()?;
            Some(before.known).filter(|_| !others.is_empty()).or(since)
        };
        if let Some(KeptSighting { what: KeptWhat::Reading(reading, fill), weights }) =
            kept.last().copied()
            && weights.is_empty()
        {
            self.before_last = Some((without(), reading.clone(), *fill));
        }
    }

    /// Where the boat was read, and what that told.
    fn note(
        &mut self,
        hand: &ReadyBoat,
        kept: &[&KeptSighting],
        sightings: &[Sighting],
        joint: &JointFit,
    ) {
        let bounds = hand.model.bounds();
        for (k, (kept, sighting)) in kept.iter().zip(sightings).enumerate() {
            let KeptWhat::Reading(reading, fill) = &kept.what else { continue };
            let Some(pose) = joint.sightings.get(k).and_then(|s| s.pose) else { continue };
            let tells = sighting.tells(bounds);
            let (fill, density) = (*fill, reading.water_density);
            let seen = SeenIn { fill, density, pose, tells };
            self.seen[usize::from(reading.condition == Condition::Under)] = Some(seen);
        }
        let is_lean = |kept: &&KeptSighting| matches!(kept.what, KeptWhat::Lean(_));
        let leans = kept.iter().enumerate().filter(|(_, kept)| is_lean(kept));
        let clashes = leans.map(|(k, _)| joint.contradiction(k)).collect::<Vec<_>>();
        self.leans = (!clashes.is_empty()).then(|| LeansTold {
            offset: joint.error(2),
            height: joint.error(3),
            clash: clashes.iter().position(Option::is_some),
        });
    }

    /// What is known of the boat's errors before a reading; the reading itself, if it was kept already, is not in
    /// that.
    pub(super) fn before(&self, reading: &Reading, fill: f64) -> Option<&KnownErrors> {
        match &self.before_last {
            Some((before, last, last_fill)) if is_same((last, *last_fill), (reading, fill)) => {
                before.as_ref()
            }
            _ => self.known.as_ref(),
        }
    }

    /// The boat as it is known from a reading of it, if it was read in this condition and that told all.
    pub(super) fn found(&self, hand: &ReadyBoat, condition: Condition, fit: &Fit) -> Option<Fit> {
        let seen = self.seen[usize::from(condition == Condition::Under)].as_ref()?;
        if seen.tells.len() < Unknown::ALL.len() {
            return None;
        }
        let model = hand.model.flooded(seen.fill, seen.density).ok()?;
        let found = model.with_errors(&fit.known().errors.into()).ok()?;
        Some(Fit { found, pose: seen.pose, ..fit.clone() })
    }

    /// What the leans on the way told; none if none were seen.
    pub fn leans(&self) -> Option<&LeansTold> {
        self.leans.as_ref()
    }

    /// What is known of the boat's errors from all that was seen.
    pub fn known(&self) -> Option<&KnownErrors> {
        self.known.as_ref()
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
