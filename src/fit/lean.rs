//! Which kind of lean a boat has: weight off centre, or too little stability.

use crate::reading::ANGLE_SPREAD;
use crate::unit::DEGREE;

/// Whether a boat that leans has weight off centre or is top-heavy: the cures are opposite.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lean {
    /// It stands upright within what can be read.
    Upright,
    /// Steady heel from weight off centre.
    List,
    /// A steady heel that may be either: nothing tells yet.
    ListOrLoll,
    /// Steady heel from negative initial stability.
    Loll,
}

/// Heel below which a boat stands upright, radians: what a phone can just tell.
pub(super) const UPRIGHT: f64 = 2.0 * ANGLE_SPREAD;
/// A heel that weight off centre seldom causes by itself, radians: common practice, no source.
const FAR_OVER: f64 = 5.0 * DEGREE;
/// A probability below which something counts as excluded. Weight to one side of a boat that lolls does harm, and a
/// further reading none: so it is a small one.
const EXCLUDED: f64 = 0.01;

impl Lean {
    /// Of a boat at rest at a heel (radians) whose GM across, with the heel held at zero, is `gm`
    /// (metres): where that is negative it lolls, any other lean is a list. The height of its centre of gravity is
    /// known to `height_spread` (metres).
    pub fn of(heel: f64, gm: f64, height_spread: f64) -> Self {
        let unsure = gm < 2.0 * height_spread && heel.abs() > FAR_OVER;
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

    /// Of a boat that leans, by how probable it is that its initial stability is negative.
    pub(super) fn by_chance(lolls: f64) -> Self {
        if lolls < EXCLUDED {
            Self::List
        } else if lolls > 1.0 - EXCLUDED {
            Self::Loll
        } else {
            Self::ListOrLoll
        }
    }
}
