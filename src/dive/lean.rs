//! List or loll: a boat that leans because weight is off centre, or because it is top-heavy.

use crate::fit::{Lean, ModelSpread};
use crate::float::SweepRow;
use crate::unit::DEGREE;

/// Heel below which a boat stands upright, radians: what a phone can just tell.
const UPRIGHT: f64 = 0.6 * DEGREE;
/// A heel that weight off centre seldom causes by itself, radians: common practice, no source.
const FAR_OVER: f64 = 5.0 * DEGREE;

/// Which of the two it is in one row of the way. Where the stiffness upright is negative it is a
/// loll, whatever lies off centre besides; see [`SweepRow::loll`] for its angle.
pub fn lean_of(row: &SweepRow, spread: ModelSpread) -> Lean {
    let heel = row.pose().heel().abs();
    if heel <= UPRIGHT {
        return Lean::Upright;
    }
    let gm = row.upright.across;
    let unsure = gm < 2.0 * spread.centre_height && heel > FAR_OVER;
    match (row.loll.is_some(), unsure) {
        (true, _) => Lean::Loll,
        (false, true) => Lean::ListOrLoll,
        (false, false) => Lean::List,
    }
}
