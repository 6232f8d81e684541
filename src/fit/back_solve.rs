//! Back-solve: from one reading to the errors of mass and centre of gravity, with their ±.

use super::before::{Before, independent};
use super::chi_squared::chi_squared_95;
use super::estimate::{Estimate, Unknown};
use super::found::{Contradiction, Fit};
use super::help::help;
use super::known::KnownErrors;
use super::lean::lean;
use super::model_spread::ModelSpread;
use super::problem::{BoatAtRest, Errors, Problem};
use super::untold::{is_held, prior_of_the_untold, untold};
use crate::boat::Mark;
use crate::float::{BoatError, FloatModel, N_ERRORS, heave};
use crate::frame::{Pose, up_from_angles};
use crate::reading::{Condition, Reading, ReadingError, Seen};
use levenberg_marquardt::LevenbergMarquardt;
use nalgebra::{Matrix4, Vector3, Vector4};

/// Why a reading gives no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FitError {
    /// The reading cannot be used.
    #[error(transparent)]
    Reading(#[from] ReadingError),
    /// The boat cannot be calculated.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// No errors of this boat make it lie as it was read.
    #[error("these readings do not fit this boat: check the figures and their sides")]
    NoFit,
}

/// Relative change of the sum of squares, or of the unknowns, at which the solver stops: far below
/// a hundredth of any spread, far above the rounding of an equilibrium.
const SOLVER_DIGITS: f64 = 1e-8;
/// Sum of squares below which everything fits, however the solver stopped.
const NOTHING_LEFT: f64 = 1e-12;

/// Spread of a height of the centre of gravity that is taken as known, metres.
const KNOWN_HEIGHT: f64 = 1e-9;

/// Works back from a reading to how far the boat's mass and centre of gravity are off.
///
/// Nonlinear least squares (Levenberg–Marquardt) of every figure over its spread, with the model
/// as prior; covariance `(JᵀJ + P⁻¹)⁻¹` at the solution, first order, after JCGM 100:2008 (GUM)
/// section 5. `marks` are those that could be read besides.
///
/// # Errors
/// [`FitError`] when the reading or the boat cannot be used, or nothing fits.
pub fn back_solve(
    model: &FloatModel,
    reading: &Reading,
    marks: &[Mark],
    spread: ModelSpread,
) -> Result<Fit, FitError> {
    back_solve_from(model, reading, marks, spread, None)
}

/// The same where something is known of the errors already, from earlier readings: that is the prior then.
///
/// # Errors
/// As [`back_solve`].
pub fn back_solve_from(
    model: &FloatModel,
    reading: &Reading,
    marks: &[Mark],
    spread: ModelSpread,
    known: Option<&KnownErrors>,
) -> Result<Fit, FitError> {
    reading.check()?;
    let untold = untold(model, reading);
    let before = Before::of(model, spread, known).ok_or(FitError::NoFit)?;
    let free: Vec<usize> = (0..N_ERRORS).filter(|&k| !is_held(k, &untold)).collect();
    let mut problem = Problem {
        model,
        reading,
        known: before.root(&free).ok_or(FitError::NoFit)?,
        free,
        prior: before.spread,
        expected: before.expected,
        errors: [0.0; N_ERRORS],
        state: None,
        start: observed_pose(model, reading),
    };
    if !untold.contains(&Unknown::Mass) && reading.condition == Condition::Afloat {
        let aboard: f64 = reading.aboard.iter().map(|a| a.mass).sum();
        let carried = reading.water_density * model.wet(problem.start).volume;
        problem.errors[0] = (carried - aboard - model.mass()).max(-0.9 * model.mass());
    }
    problem.settle();
    let (problem, report) = LevenbergMarquardt::new()
        .with_ftol(SOLVER_DIGITS)
        .with_xtol(SOLVER_DIGITS)
        .with_gtol(SOLVER_DIGITS)
        .minimize(problem);
    let fits = report.objective_function < NOTHING_LEFT;
    if !fits && !report.termination.was_successful() {
        return Err(FitError::NoFit);
    }
    finish(&problem, &before, marks, spread, untold)
}

fn finish(
    problem: &Problem<'_>,
    before: &Before,
    marks: &[Mark],
    spread: ModelSpread,
    untold: Vec<Unknown>,
) -> Result<Fit, FitError> {
    let (Some(slopes), Some(misfits)) = (problem.slopes(), problem.misfits()) else {
        return Err(FitError::NoFit);
    };
    let prior = prior_of_the_untold(problem.model, before.wide, &untold);
    let information = before.information(problem.model, &untold);
    let mut covariance = covariance_of(&slopes, information, prior).ok_or(FitError::NoFit)?;
    // The model's roughness limits how well the cure is known, not what can be seen.
    let [mass, along, across, _] = prior;
    let true_model = [mass, along, across, KNOWN_HEIGHT];
    let of_reading =
        covariance_of(&slopes, independent(true_model), true_model).ok_or(FitError::NoFit)?;
    // Earlier knowledge counts as figures: with it, everything read is spare.
    let n_free = if before.read.is_some() { 1 } else { problem.free.len() };
    let contradiction = contradiction(&misfits, n_free);
    let help = help(problem, marks, &covariance, before.wide);
    // Under water the mass is measured as such; at the surface it is told by the model's answer.
    let first = usize::from(problem.reading.condition == Condition::Under);
    for (k, error) in problem.errors.iter().enumerate().take(3).skip(first) {
        covariance[(k, k)] += (spread.response * error).powi(2);
    }
    let aboard = moved_by_what_lay_aboard(problem);
    covariance += aboard;
    let of_reading = of_reading + aboard;
    let Some(BoatAtRest { pose, .. }) = problem.state else { return Err(FitError::NoFit) };
    let [mass_error, x, y, z] = problem.errors;
    let found = problem.model.with_error(mass_error, Vector3::new(x, y, z))?;
    let estimate = |k: usize, value: f64| Estimate::new(value, covariance[(k, k)].sqrt());
    Ok(Fit {
        pose,
        mass_error: estimate(0, mass_error),
        offset: [estimate(1, x), estimate(2, y), estimate(3, z)],
        covariance,
        of_reading,
        untold,
        contradiction,
        help,
        lean: lean(&found, problem.reading, pose, spread)?,
        found,
    })
}

/// Spread of the centre of gravity due to the uncertain place of what was aboard for the reading:
/// moments add up, closed form.
fn moved_by_what_lay_aboard(problem: &Problem<'_>) -> Matrix4<f64> {
    let mass = problem.model.mass() + problem.errors[0];
    let variance: f64 =
        problem.reading.aboard.iter().map(|a| (a.mass * a.off / mass).powi(2)).sum();
    Matrix4::from_diagonal(&Vector4::new(0.0, variance, variance, 0.0))
}

/// `(JᵀJ + P⁻¹)⁻¹` with `P⁻¹` as `before`, inverted in units in which it keeps its digits. None
/// when a slope is not finite.
fn covariance_of(slopes: &[Errors], before: Matrix4<f64>, units: Errors) -> Option<Matrix4<f64>> {
    let unit = Matrix4::from_diagonal(&Vector4::from(units));
    let mut information = unit * before * unit;
    for slope in slopes {
        let row = unit * Vector4::from(*slope);
        information += row * row.transpose();
    }
    let covariance = unit * information.cholesky()?.inverse() * unit;
    covariance.iter().all(|c| c.is_finite()).then_some(covariance)
}

/// The pose that the figures themselves show, to start from.
fn observed_pose(model: &FloatModel, reading: &Reading) -> Pose {
    let mut list = 0.0;
    let mut trim = None;
    let mut water: Vec<Vector3<f64>> = Vec::new();
    for observation in &reading.observations {
        match &observation.seen {
            Seen::List(angle) => list = *angle,
            Seen::Trim(angle) => trim = Some(*angle),
            Seen::WaterAtMark { mark, above } => {
                water.push(mark.at.vector() + Vector3::z() * *above);
            }
            Seen::Residual(_) => {}
        }
    }
    let trim = trim.unwrap_or_else(|| rise_along(&water).atan());
    let up = up_from_angles(list, trim);
    if water.is_empty() {
        return heave(model, reading.water_density, up);
    }
    let height = water.iter().map(|p| -up.dot(p)).sum::<f64>() / water.len() as f64;
    Pose::new(height, up)
}

/// Rise of the water line per metre forward, seen in the body; zero when it cannot be told.
fn rise_along(water: &[Vector3<f64>]) -> f64 {
    let n = water.len() as f64;
    let (x, z) = water.iter().fold((0.0, 0.0), |(x, z), p| (x + p.x / n, z + p.z / n));
    let span: f64 = water.iter().map(|p| (p.x - x).powi(2)).sum();
    if span < 1e-6 {
        return 0.0;
    }
    water.iter().map(|p| (p.x - x) * (p.z - z)).sum::<f64>() / span
}

pub(super) fn contradiction(misfits: &[f64], n_free: usize) -> Option<Contradiction> {
    // The height of the centre of gravity is free too, but has a prior that counts as a figure.
    let spare = (misfits.len() + 1).checked_sub(n_free).filter(|&s| s > 0)?;
    let limit = chi_squared_95(spare)?;
    let chi_squared: f64 = misfits.iter().map(|m| m * m).sum();
    let (worst, off) = misfits
        .iter()
        .map(|m| m.abs())
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .filter(|_| chi_squared > limit)?;
    Some(Contradiction { worst, off, chi_squared, spare })
}
