//! From one reading, and what was known before it, to the boat as it is.

use super::contradiction::{Contradiction, culprit};
use super::found::Fit;
use super::joint::{FitError, JointFit, estimate};
use super::known::KnownErrors;
use super::lolls::lean;
use super::next::help;
use super::sighting::Sighting;
use crate::boat::Mark;
use crate::float::FloatModel;
use crate::reading::Reading;

/// Works back from a reading to how far the boat is off: `model` is the boat as described with its tanks as they
/// were, `known` what was known of its errors before. `marks` are those that could be read besides.
///
/// # Errors
/// As [`estimate`].
pub fn back_solve(
    model: &FloatModel,
    reading: &Reading,
    marks: &[Mark],
    known: &KnownErrors,
) -> Result<Fit, FitError> {
    let sighting = Sighting::wet(model.clone(), reading.clone());
    let sightings = [sighting];
    let joint = estimate(model.bare(), known, &sightings)?;
    fit_of(&joint, &sightings, known, marks)
}

/// What sightings told, as seen from the last of them, which was in the water.
///
/// # Errors
/// [`FitError`] when the boat found cannot be calculated, or the last one was not in the water.
pub fn fit_of(
    joint: &JointFit,
    sightings: &[Sighting],
    known: &KnownErrors,
    marks: &[Mark],
) -> Result<Fit, FitError> {
    let Some((Sighting::Wet(wet), before)) = sightings.split_last() else {
        return Err(FitError::NoFit);
    };
    let last = before.len();
    let at_rest = joint.sightings.get(last).and_then(|fit| fit.at_rest.as_ref());
    let at_rest = at_rest.ok_or(FitError::NoFit)?;
    let pose = at_rest.pose;
    let found = wet.model.with_errors(&joint.known.errors.into())?;
    let mut fit = Fit::new(found, pose, &joint.known);
    let bounds = wet.model.bounds();
    let told: Vec<_> = sightings.iter().flat_map(|s| s.tells(bounds)).collect();
    fit.untold.extend(super::Unknown::ALL.iter().filter(|u| !told.contains(u)));
    fit.contradiction = joint.contradiction(last).map(|found| {
        let blamed = culprit(wet.model.bare(), known, sightings, joint);
        let own = blamed.filter(|(which, _)| *which == last);
        own.map_or_else(|| found.clone(), |(_, worst)| Contradiction { worst, ..found.clone() })
    });
    fit.help = help(&wet.reading, (&joint.known, at_rest), known, marks);
    (fit.lean, fit.lolls) = lean(wet, &fit, sightings, known)?;
    Ok(fit)
}
