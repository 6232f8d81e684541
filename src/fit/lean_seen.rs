//! Leans that were seen on the way down or up.

use crate::unit::DEGREE;

/// Spread of an angle judged by eye, radians: common practice, no source.
pub const ANGLE_BY_EYE: f64 = 3.0 * DEGREE;
/// Spread of a fill judged by the time that the valves or the pump were open, as a share of full:
/// common practice, no source.
pub const FILL_BY_TIME: f64 = 0.05;

/// A lean seen while the tanks were partly full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeanSeen {
    /// How full, from 0 (blown) to 1 (full).
    pub fill: f64,
    /// Heel, radians; positive with the starboard side down.
    pub heel: f64,
    /// Spread of the heel, radians; by eye [`ANGLE_BY_EYE`].
    pub heel_spread: f64,
    /// Spread of the fill; by time [`FILL_BY_TIME`], none when it was measured.
    pub fill_spread: f64,
}

impl LeanSeen {
    /// A lean judged by eye, at a fill judged by time.
    pub fn by_eye(fill: f64, heel: f64) -> Self {
        Self { fill, heel, heel_spread: ANGLE_BY_EYE, fill_spread: FILL_BY_TIME }
    }
}
