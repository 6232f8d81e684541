//! Which kind of lean a boat has: weight off centre, or too little stability.

use super::model_spread::ModelSpread;
use crate::float::{Basin, BoatError, FloatModel, Tolerance, upright_stiffness};
use crate::frame::Pose;
use crate::reading::{ANGLE_SPREAD, Condition, Reading};
use crate::unit::DEGREE;

/// Whether a boat that leans has weight off centre or is top-heavy: the cures are opposite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lean {
    /// It stands upright within what can be read.
    Upright,
    /// Steady heel from weight off centre.
    List,
    /// Steady heel from weight off centre as modelled; but the boat is so far over, and the model's
    /// stiffness so little above what it may be off, that it may be a loll.
    ListOrLoll,
    /// Steady heel from negative initial stability.
    Loll,
}

/// Heel below which a boat stands upright, radians: what a phone can just tell.
const UPRIGHT: f64 = 2.0 * ANGLE_SPREAD;
/// A heel that weight off centre seldom causes by itself, radians: common practice, no source.
const FAR_OVER: f64 = 5.0 * DEGREE;

impl Lean {
    /// Of a boat at rest at a heel (radians) whose GM across, with the heel held at zero, is `gm`
    /// (metres): where that is negative it lolls, any other lean is a list.
    pub fn of(heel: f64, gm: f64, spread: ModelSpread) -> Self {
        let unsure = gm < 2.0 * spread.centre_height && heel.abs() > FAR_OVER;
        if heel.abs() <= UPRIGHT {
            Self::Upright
        } else if gm < 0.0 {
            Self::Loll
        } else if unsure {
            Self::ListOrLoll
        } else {
            Self::List
        }
    }
}

/// Which kind of lean the boat as it was found has; under water it hangs, and is never top-heavy.
pub(super) fn lean(
    found: &FloatModel,
    reading: &Reading,
    pose: Pose,
    spread: ModelSpread,
) -> Result<Lean, BoatError> {
    let basin = Basin::deep(reading.water_density);
    if pose.heel().abs() <= UPRIGHT {
        return Ok(Lean::Upright);
    }
    if reading.condition == Condition::Under {
        return Ok(Lean::List);
    }
    let (upright, _) = upright_stiffness(found, basin, Some(pose), &Tolerance::FINE)?;
    Ok(Lean::of(pose.heel(), upright.across, spread))
}
