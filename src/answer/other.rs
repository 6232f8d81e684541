//! What was read of the boat in its other condition on the same outing: afloat, while it is looked at under
//! water, and the other way round.

use super::advised::fitted;
use super::hand::Hand;
use crate::ballast::Target;
use crate::boat::Mark;
use crate::diary::{DeedKind, DeedRecord, Diary, Entry, SessionRecord};
use crate::fit::Fit;
use crate::frame::Position;
use crate::reading::{Aboard, Condition, Reading};
use nalgebra::Vector3;

/// A kept reading of the boat as it is now, with how full its tanks were, 0 (blown) to 1 (full).
///
/// What was done since lies in it as if it had been aboard the other way round: the boat that is found from it
/// is the boat as it is now.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// The reading.
    pub reading: Reading,
    /// The fill.
    pub fill: f64,
}

/// The newest reading that a session has of a boat in a condition; `state` names the boat as it is now
/// ([`crate::diary::state_of`]). None if there is none, or if the boat's list was changed since otherwise than
/// by what was done and noted: then nobody knows what it tells of the boat as it is.
pub fn kept_reading(
    session: &SessionRecord,
    state: &str,
    marks: &[Mark],
    condition: Condition,
) -> Option<Kept> {
    let mut state = state;
    let mut since: Vec<&DeedRecord> = Vec::new();
    for entry in session.entries.iter().rev() {
        match &entry.what {
            Entry::Done(done) => {
                if done.made != state {
                    return None;
                }
                since.extend(&done.deeds);
                let (_, before) = session.readings().find(|(read, _)| read.id == done.after)?;
                state = &before.state;
            }
            Entry::Reading(kept) if kept.state != state => return None,
            Entry::Reading(kept) if Condition::from(kept.condition) == condition => {
                let mut reading = kept.reading();
                for deed in since {
                    undo(deed, marks, &mut reading);
                }
                return Some(Kept { reading, fill: kept.fill });
            }
            _ => {}
        }
    }
    None
}

/// Takes what was done out of a reading that was made before it.
fn undo(deed: &DeedRecord, marks: &[Mark], reading: &mut Reading) {
    let at = deed.at_m.map_or(Vector3::zeros(), Vector3::from);
    let mass = deed.mass_kg * counts(deed, at, marks, reading);
    let mut aboard = |mass: f64, at: Vector3<f64>| {
        let at = Position::from_vector(at);
        reading.aboard.push(Aboard { name: deed.part.clone(), mass, at });
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

/// What a kept reading tells of the boat; none if it does not tell all, or fits no such boat.
pub fn found_in(hand: &Hand, kept: Kept) -> Option<Fit> {
    // Six numbers are too rough to set one condition against the other.
    let fit = (!hand.is_quick).then(|| fitted(hand, kept.reading, kept.fill))?;
    fit.ok().map(|(_, fit)| fit).filter(|fit| fit.untold.is_empty())
}

/// What is known of the boat in hand from the other condition than the one it is looked at in.
pub fn found_in_the_other(diary: &Diary, hand: &Hand, condition: Condition) -> Option<Fit> {
    let boat = diary.boat(&diary.draft.boat)?;
    let session = latest_session(diary)?;
    let state = crate::diary::state_of(boat).0;
    found_in(hand, kept_reading(session, &state, &hand.boat.marks, condition.other())?)
}

/// The latest session of the boat in hand.
pub fn latest_session(diary: &Diary) -> Option<&SessionRecord> {
    let of_boat = diary.sessions.iter().filter(|session| session.boat == diary.draft.boat);
    of_boat.max_by(|a, b| a.started_at.cmp(&b.started_at))
}
