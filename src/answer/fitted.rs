//! What a reading tells of the boat in hand, with the ± of what lay in its tanks.

use super::changed::Change;
use super::ready_boat::ReadyBoat;
use crate::fit::{
    FillRead, Fit, FitError, Foretold, KnownErrors, Sighting, WetSighting, estimate, fit_of,
};
use crate::float::BoatError;
use crate::reading::{FILL_SPREAD, Reading};

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Refusal {
    /// The reading does not fit the boat.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// The boat cannot be calculated.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// The boat has no marks to be brought to.
    #[error("the boat has no marks: give it one at least, on its design waterline")]
    NoMarks,
}

impl ReadyBoat {
    /// A reading of this boat with its tanks so full, 0 (blown) to 1 (full): blown and full are known, what is
    /// between is not exact.
    ///
    /// # Errors
    /// [`BoatError`] for a fill or a density that cannot be.
    pub(super) fn sighting(&self, reading: Reading, fill: f64) -> Result<Sighting, BoatError> {
        let model = self.model.flooded(fill, reading.water_density)?;
        let reading = reading.as_noted();
        let is_between = fill > 0.0 && fill < 1.0;
        let fill = is_between.then_some(FillRead { share: fill, spread: FILL_SPREAD });
        Ok(Sighting::Wet(Box::new(WetSighting { model, reading, fill })))
    }
}

/// What a reading told, and whether it goes with what was known before it.
pub(super) struct Fitted {
    pub(super) fit: Fit,
    /// It does not go with what was known: the reading counts by itself.
    pub(super) differs: bool,
    /// Then, what may have changed since the boat was read there before, or what was misread.
    pub(super) changed: Option<Change>,
}

/// What a reading told, where something is `known` from earlier ones. It can only tell of a change if the boat was
/// read in that condition before.
pub(super) fn fitted(
    hand: &ReadyBoat,
    reading: Reading,
    fill: f64,
    (known, was_read): (Option<&KnownErrors>, bool),
) -> Result<Fitted, Refusal> {
    let sightings = [hand.sighting(reading, fill)?];
    let from = |known: &KnownErrors| {
        let joint = estimate(hand.model.bare(), known, &sightings)?;
        let fit = fit_of(&joint, &sightings, known, &hand.boat.marks)?;
        Ok::<_, Refusal>((fit, joint.is_consistent()))
    };
    let mut changed = None;
    if let (Some(known), [Sighting::Wet(wet)]) = (known, &sightings) {
        let test = was_read.then(|| Foretold { known, wet }.test()).flatten();
        // A reading that alarms is of another boat: to fit it to this one would be a long search for nothing.
        let fitted = (!test.is_some_and(|test| test.alarms())).then(|| from(known));
        match fitted {
            // What is left over in all is how far the reading is from what was foretold of it.
            Some(Ok((fit, true))) => {
                return Ok(Fitted { fit, changed: None, differs: false });
            }
            Some(Err(Refusal::Fit(FitError::Reading(why)))) => {
                return Err(FitError::from(why).into());
            }
            _ => changed = was_read.then(|| Change::of(wet, known)),
        }
    }
    let (fit, _) = from(&hand.known)?;
    Ok(Fitted { fit, changed, differs: known.is_some() })
}
