//! What the readings of an outing told of the boat before the one that is looked at: the next fit begins with it,
//! and in the other condition the boat is as it was found there.

use super::fitted::fitted;
use super::ready_boat::ReadyBoat;
use crate::ballast::Target;
use crate::boat::Mark;
use crate::diary::{DeedKind, DeedRecord, Diary, Entry, ReadingRecord, SessionRecord, state_of};
use crate::fit::{Fit, KnownErrors};
use crate::frame::Position;
use crate::reading::{Aboard, Condition, Reading};
use nalgebra::Vector3;

/// A kept reading of the boat as it is now, with how full its tanks were, 0 (blown) to 1 (full).
///
/// Weights changed since are in it with the opposite sign: the boat found from it is the boat as it
/// is now.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptReading {
    /// The reading.
    pub reading: Reading,
    /// The fill.
    pub fill: f64,
    /// The weights that were put, taken or moved after it and before the next one, kg.
    pub weights: Vec<f64>,
}

/// Number of latest readings used: each takes a fit.
const LATEST: usize = 8;

/// The latest readings that a session has of a boat, oldest first; `state` names the boat as it is now
/// ([`state_of`]). They end where the boat's list was changed otherwise than by what was done and noted: what was
/// read before that tells nothing sure of the boat as it is.
pub fn kept_readings(session: &SessionRecord, state: &str, marks: &[Mark]) -> Vec<KeptReading> {
    let mut state = state;
    let mut since: Vec<&DeedRecord> = Vec::new();
    let mut weights = Vec::new();
    let mut kept = Vec::new();
    for entry in session.entries.iter().rev() {
        match &entry.what {
            Entry::Done(done) => {
                let its_own = || session.readings().find(|(read, _)| read.id == done.after);
                let Some((_, before)) = its_own().filter(|_| done.made == state) else { break };
                since.extend(&done.deeds);
                weights.extend(done.deeds.iter().map(|deed| deed.mass_kg));
                state = &before.state;
            }
            Entry::Reading(read) if read.state != state || state.is_empty() => break,
            Entry::Reading(read) => {
                let mut reading = read.reading();
                for deed in &since {
                    undo(deed, marks, &mut reading);
                }
                let weights = std::mem::take(&mut weights);
                kept.push(KeptReading { reading, fill: read.fill, weights });
            }
            _ => {}
        }
        if kept.len() == LATEST {
            break;
        }
    }
    kept.reverse();
    kept
}

/// Takes what was done out of a reading that was made before it.
fn undo(deed: &DeedRecord, marks: &[Mark], reading: &mut Reading) {
    let at = deed.at_m.map_or(Vector3::zeros(), Vector3::from);
    let mass = deed.mass_kg * counts(deed, at, marks, reading);
    let mut aboard = |mass: f64, at: Vector3<f64>| {
        let at = Position::from_vector(at);
        reading.aboard.push(Aboard { name: deed.part.clone(), mass, at, off: 0.0 });
    };
    match deed.kind {
        DeedKind::Add => aboard(-mass, at),
        DeedKind::TakeOff => aboard(mass, at),
        DeedKind::Shift => {
            let by = deed.by_m.map_or(Vector3::zeros(), Vector3::from);
            aboard(mass, at);
            aboard(-mass, at + by);
        }
    }
}

/// What a weight counts in the water of a reading, kg per kg: less than one if it displaces and was under.
fn counts(deed: &DeedRecord, at: Vector3<f64>, marks: &[Mark], reading: &Reading) -> f64 {
    let Some(density) = deed.density_kg_m3 else { return 1.0 };
    let at_the_marks = || Target::at_the_marks(marks).and_then(|target| target.pose());
    let is_under = reading.condition == Condition::Under
        || at_the_marks().is_some_and(|pose| pose.water_height_at(at.x, at.y) > at.z);
    if is_under { 1.0 - reading.water_density / density } else { 1.0 }
}

/// What the readings of an outing told of a boat.
#[derive(Debug, Clone, Default)]
pub struct Evidence {
    /// What is known of its errors, and the condition in which it was read last.
    known: Option<(KnownErrors, Condition)>,
    /// The same before the last reading, and that reading, if nothing was done since.
    before_last: Option<(Option<(KnownErrors, Condition)>, KeptReading)>,
    /// The boat as it was found afloat and under, last.
    found: [Option<Fit>; 2],
}

impl Evidence {
    /// What readings told, one after the other. One that fits no such boat tells nothing. Six numbers are too
    /// rough to set one reading against another: there is none of them.
    pub fn of(hand: &ReadyBoat, readings: Vec<KeptReading>) -> Self {
        let mut evidence = Self::default();
        if hand.is_quick {
            return evidence;
        }
        for kept in readings {
            let before = evidence.known.take();
            let condition = kept.reading.condition;
            let known = carried(hand, before.as_ref(), &kept.reading, kept.fill);
            let fit = fitted(hand, kept.reading.clone(), kept.fill, known.as_ref());
            let model = hand.model.flooded(kept.fill, kept.reading.water_density);
            let (Ok((_, fit)), Ok(model)) = (fit, model) else {
                evidence.known = before;
                continue;
            };
            let known = KnownErrors::of(&fit, &model).after_weights(kept.weights.iter().copied());
            evidence.known = Some((known, condition));
            evidence.before_last = kept.weights.is_empty().then_some((before, kept));
            // It is of use in the other condition only if it tells all.
            if fit.untold.is_empty() {
                evidence.found[usize::from(condition == Condition::Under)] = Some(fit);
            }
        }
        evidence
    }

    /// What the latest session of the boat in hand has of it.
    pub fn in_hand(diary: &Diary, hand: &ReadyBoat) -> Self {
        let boat = diary.boat(&diary.draft.boat);
        let (Some(boat), Some(session)) = (boat, latest_session(diary)) else {
            return Self::default();
        };
        Self::of(hand, kept_readings(session, &state_of(boat).0, &hand.boat.marks))
    }

    /// What is known of the boat's errors before a reading; the reading itself, if it was kept already, is not in
    /// that.
    pub(super) fn before(
        &self,
        hand: &ReadyBoat,
        reading: &Reading,
        fill: f64,
    ) -> Option<KnownErrors> {
        let known = match &self.before_last {
            Some((before, last)) if is_same(last, reading, fill) => before,
            _ => &self.known,
        };
        carried(hand, known.as_ref(), reading, fill)
    }

    /// The boat as it was found in a condition.
    pub(super) fn found(&self, condition: Condition) -> Option<&Fit> {
        self.found[usize::from(condition == Condition::Under)].as_ref()
    }
}

fn carried(
    hand: &ReadyBoat,
    known: Option<&(KnownErrors, Condition)>,
    reading: &Reading,
    fill: f64,
) -> Option<KnownErrors> {
    let (known, last) = known?;
    let model = hand.model.flooded(fill, reading.water_density).ok()?;
    Some(known.clone().carried(&model, *last, reading.condition))
}

/// True when both say the same, as where a reading is kept once more.
fn is_same(kept: &KeptReading, other: &Reading, fill: f64) -> bool {
    let record = |reading: &Reading, fill: f64| ReadingRecord::of(reading, "", fill);
    record(&kept.reading, kept.fill).says_the_same(&record(other, fill))
}

/// The latest session of the boat in hand.
pub fn latest_session(diary: &Diary) -> Option<&SessionRecord> {
    let of_boat = diary.sessions.iter().filter(|session| session.boat == diary.draft.boat);
    of_boat.max_by(|a, b| a.started_at.cmp(&b.started_at))
}
