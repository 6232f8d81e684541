//! What a reading tells of the boat in hand, with the ± of what lay in its tanks.

use super::ready_boat::ReadyBoat;
use crate::fit::{Fit, FitError, KnownErrors, back_solve_from};
use crate::float::BoatError;
use crate::reading::{FILL_SPREAD, Reading, Seen};

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

/// The reading with the ± of a tank that was partly full in that of the weight under water: so much water
/// more or less was aboard.
fn with_fill_spread(
    hand: &ReadyBoat,
    mut reading: Reading,
    fill: f64,
) -> Result<Reading, BoatError> {
    if fill <= 0.0 || fill >= 1.0 {
        return Ok(reading);
    }
    let mass = |share: f64| Ok(hand.model.flooded(share, reading.water_density)?.mass());
    let of_water = FILL_SPREAD * (mass(1.0)? - mass(0.0)?);
    for observation in &mut reading.observations {
        if let Seen::Residual(_) = observation.seen {
            observation.spread = observation.spread.hypot(of_water);
        }
    }
    Ok(reading)
}

/// What a reading told, with the ± of the fill in it, where something is `known` from earlier ones.
pub(super) fn fitted(
    hand: &ReadyBoat,
    reading: Reading,
    fill: f64,
    known: Option<&KnownErrors>,
) -> Result<(Reading, Fit), Refusal> {
    let reading = with_fill_spread(hand, reading, fill)?;
    let model = hand.model.flooded(fill, reading.water_density)?;
    let spread = hand.spread_in(reading.condition);
    let from = |known| back_solve_from(&model, &reading, &hand.boat.marks, spread, known);
    let fit = from(known)?;
    // What does not go with what was read before is a slip, or the boat has changed: it counts by itself.
    let fit = if known.is_some() && fit.contradiction.is_some() { from(None)? } else { fit };
    Ok((reading, fit))
}
