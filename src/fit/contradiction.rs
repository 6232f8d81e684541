//! What does not fit.

use super::joint::JointFit;

/// A figure that contradicts the others, or the boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// The figure that fits worst, by its place in the reading.
    pub worst: usize,
    /// How far it is off, in the spread that is left to it.
    pub off: f64,
}

/// A normalised residual beyond which a figure contradicts: one in 370 is, by chance. Source: Baarda 1968, A testing
/// procedure for use in geodetic networks (from memory).
pub(super) const CONTRADICTS: f64 = 3.0;

impl JointFit {
    /// What contradicts in one sighting, if something does.
    pub fn contradiction(&self, which: usize) -> Option<Contradiction> {
        let figures = self.sightings.get(which)?.normalised.iter().map(|off| off.abs());
        let (worst, off) = figures.enumerate().max_by(|a, b| a.1.total_cmp(&b.1))?;
        (off > CONTRADICTS).then_some(Contradiction { worst, off })
    }
}
