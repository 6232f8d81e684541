//! Finds how a boat floats: released upright, from a known pose, or in every stable attitude.

use super::balance::Support;
use super::heave::heave;
use super::model::FloatModel;
use super::outcome::{Afloat, NEUTRAL, Outcome, Submerged};
use super::problem::BoatError;
use super::settle::{DescentResult, Freedom, Tolerance, settle};
use crate::frame::{Pose, up_from_angles};
use nalgebra::{Unit, Vector3};

/// The water a boat is put into, deep enough for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Basin {
    /// Density of the water, kg/m³.
    pub density: f64,
}

impl Basin {
    /// Water of a density (kg/m³), deep enough.
    pub fn deep(density: f64) -> Self {
        Self { density }
    }

    pub(super) fn check(self) -> Result<(), BoatError> {
        let ok = self.density > 0.0 && self.density.is_finite();
        if ok { Ok(()) } else { Err(BoatError::WaterDensity(self.density)) }
    }
}

/// Lets the boat go upright and level: the attitude it comes to.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive, [`BoatError::Unsettled`] when no equilibrium was found.
pub fn release(
    model: &FloatModel,
    basin: Basin,
    tolerance: &Tolerance,
) -> Result<Outcome, BoatError> {
    basin.check()?;
    if floats(model, basin) {
        let start = heave(model, basin.density, Vector3::z_axis());
        return settled_afloat(model, basin, &start, tolerance);
    }
    hang(model, basin, tolerance).map(sorted)
}

/// The attitude the boat comes to from a pose near by: for small changes this is quick, and it
/// follows the branch that the boat is on.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive, [`BoatError::Unsettled`] when no equilibrium was found.
pub fn settle_from(
    model: &FloatModel,
    basin: Basin,
    start: Pose,
    tolerance: &Tolerance,
) -> Result<Outcome, BoatError> {
    basin.check()?;
    if floats(model, basin) {
        return settled_afloat(model, basin, &start, tolerance);
    }
    let held = settle(model, basin.density, start, Support::Held, Freedom::Free, tolerance)?;
    Ok(sorted(Submerged::of(model, basin.density, &held)))
}

/// How the boat hangs when it is held wholly under at a fixed depth.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive, [`BoatError::Unsettled`] when no equilibrium was found.
pub fn hang(
    model: &FloatModel,
    basin: Basin,
    tolerance: &Tolerance,
) -> Result<Submerged, BoatError> {
    basin.check()?;
    let start = Pose::upright(0.0);
    let held = settle(model, basin.density, start, Support::Held, Freedom::Free, tolerance)?;
    Ok(Submerged::of(model, basin.density, &held))
}

/// Every stable attitude at the surface that a fixed set of starts leads to, least tilt first.
/// Empty when the boat does not float.
///
/// Attitudes within half a degree of one another count once, so a body that is neutral over a
/// whole ring of attitudes is listed by some of them.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive, [`BoatError::Unsettled`] when no equilibrium was found.
pub fn stable_attitudes(
    model: &FloatModel,
    basin: Basin,
    tolerance: &Tolerance,
) -> Result<Vec<Afloat>, BoatError> {
    basin.check()?;
    let mut found: Vec<Afloat> = Vec::new();
    if !floats(model, basin) {
        return Ok(found);
    }
    // Level at every 15° of heel, and steep by the bow and by the stern.
    for up in starts(24, &[-80.0, -55.0, -30.0, 30.0, 55.0, 80.0], 8) {
        let start = heave(model, basin.density, up);
        // A start that comes to no rest leads nowhere.
        let Ok(settled) = settled_firmly(model, basin, start, tolerance) else { continue };
        let afloat = Afloat::of(model, &settled);
        let known = found.iter().any(|f| f.pose.up().angle(&afloat.pose.up()) < SAME_ATTITUDE);
        if !known && afloat.stiffness.least > -1e-9 * model.scale() {
            found.push(afloat);
        }
    }
    let tilt = |a: &Afloat| a.pose.up().angle(&Vector3::z_axis());
    found.sort_by(|a, b| tilt(a).total_cmp(&tilt(b)));
    Ok(found)
}

/// Settles, and where the boat is then indifferent to a small turn, nudges it: a saddle of higher
/// order lets go, a ring of neutral attitudes keeps it.
pub(super) fn settled_firmly(
    model: &FloatModel,
    basin: Basin,
    start: Pose,
    tolerance: &Tolerance,
) -> Result<DescentResult, BoatError> {
    let run =
        |pose: Pose| settle(model, basin.density, pose, Support::Afloat, Freedom::Free, tolerance);
    let settled = run(start)?;
    let least = Afloat::of(model, &settled).stiffness.least;
    if least.abs() > INDIFFERENT * model.scale() {
        return Ok(settled);
    }
    [(NUDGE, 0.0), (0.0, NUDGE)].into_iter().try_fold(settled, |best, (heel, trim)| {
        let next = run(best.pose.moved(0.0, heel, trim))?;
        Ok(if next.balance.energy < best.balance.energy { next } else { best })
    })
}

/// Stiffness below this share of the boat's scale counts as zero.
const INDIFFERENT: f64 = 1e-6;
/// The turn that tries whether an indifferent boat lets go, radians.
const NUDGE: f64 = 0.05;

/// Attitudes closer than this are one, radians.
const SAME_ATTITUDE: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// Starting attitudes: level at evenly spaced heels, and at some trims (degrees) at evenly spaced
/// heels.
pub(super) fn starts(
    n_level: u32,
    trims: &[f64],
    n_steep: u32,
) -> impl Iterator<Item = Unit<Vector3<f64>>> {
    let around = |n: u32, trim: f64| {
        (0..n).map(move |k| {
            let heel = 360.0 * f64::from(k) / f64::from(n);
            up_from_angles(heel.to_radians(), trim.to_radians())
        })
    };
    around(n_level, 0.0).chain(trims.iter().flat_map(move |trim| around(n_steep, *trim)))
}

/// True when the boat weighs less than all of it displaces.
pub(super) fn floats(model: &FloatModel, basin: Basin) -> bool {
    model.residual_mass(basin.density) < -NEUTRAL
}

fn settled_afloat(
    model: &FloatModel,
    basin: Basin,
    start: &Pose,
    tolerance: &Tolerance,
) -> Result<Outcome, BoatError> {
    let settled = settle(model, basin.density, *start, Support::Afloat, Freedom::Free, tolerance)?;
    Ok(Outcome::Floats(Afloat::of(model, &settled)))
}

fn sorted(under: Submerged) -> Outcome {
    if under.residual > NEUTRAL { Outcome::Sinks(under) } else { Outcome::Neutral(under) }
}
