//! List or loll on the way.

use crate::fit::{Lean, ModelSpread};
use crate::float::SweepRow;

/// Which of the two it is in one row of the way. Where the stiffness upright is negative it is a
/// loll, whatever lies off centre besides; see [`SweepRow::loll`] for its angle.
pub fn lean_of(row: &SweepRow, spread: ModelSpread) -> Lean {
    Lean::of(row.pose().heel(), row.upright.across, spread)
}
