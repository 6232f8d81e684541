//! What does not fit.

use super::chi_squared::chi_squared_99;
use super::joint::{JointFit, estimate};
use super::known::KnownErrors;
use super::sighting::Sighting;
use crate::float::UncertainWeight;

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
const CONTRADICTS: f64 = 3.0;
/// Figures that are as far off as this share of the worst are equally suspect.
const AS_SUSPECT: f64 = 0.98;

/// Figures of which it is tried whether the others agree without them.
const MOST_SUSPECTS: usize = 4;

/// The figure without which all others agree best, of those that are odd at first sight: the sighting, and its place
/// in that. A wrong figure draws the answer to itself, so that the misfits alone may blame another.
pub fn culprit(
    bare: UncertainWeight,
    known: &KnownErrors,
    sightings: &[Sighting],
    joint: &JointFit,
) -> Option<(usize, usize)> {
    let figures = joint.sightings.iter().enumerate().flat_map(|(which, fit)| {
        fit.normalised.iter().enumerate().map(move |(k, off)| (which, k, off.abs()))
    });
    let mut suspects: Vec<(usize, usize, f64)> = figures.collect();
    suspects.sort_by(|a, b| b.2.total_cmp(&a.2));
    let without = |&(which, k, _): &(usize, usize, f64)| {
        let mut others = sightings.to_vec();
        let one = others.get_mut(which)?;
        *one = one.without(k);
        if one.n_figures() == 0 {
            others.remove(which);
        }
        Some((estimate(bare, known, &others).ok()?.objective, (which, k)))
    };
    let tried = suspects.iter().take(MOST_SUSPECTS).filter_map(without);
    tried.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, culprit)| culprit)
}

impl JointFit {
    /// What contradicts in one sighting, if something does. Where one spare figure alone tells, as with three marks in
    /// line, all of them are equally far off as far as they are free: then it is the one that lies farthest off.
    pub fn contradiction(&self, which: usize) -> Option<Contradiction> {
        let fit = self.sightings.get(which)?;
        let off = |k: usize| fit.normalised.get(k).map_or(0.0, |off| off.abs());
        let far =
            |k: &usize| off(*k) * (1.0 - fit.leverage.get(*k).unwrap_or(&0.0)).max(0.0).sqrt();
        let figures = 0..fit.normalised.len();
        let worst = figures.clone().map(off).fold(0.0, f64::max);
        let misfits = fit.chi_squared > chi_squared_99(fit.normalised.len());
        if worst <= CONTRADICTS && !misfits {
            return None;
        }
        let suspect = figures.filter(|k| off(*k) >= AS_SUSPECT * worst);
        let named = suspect.max_by(|a, b| far(a).total_cmp(&far(b)))?;
        Some(Contradiction { worst: named, off: off(named) })
    }
}
