//! List or loll on the way.

use crate::fit::Lean;
use crate::float::SweepRow;

/// Which of the two it is in one row of the way. Where the stiffness upright is negative it is a
/// loll, whatever lies off centre besides; see [`SweepRow::loll`] for its angle. The height of the centre of gravity
/// is known to `height_spread` (metres).
pub fn lean_of(row: &SweepRow, height_spread: f64) -> Lean {
    Lean::of(row.pose().heel(), row.upright.across, height_spread)
}
