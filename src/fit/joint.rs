//! What all sightings of a boat together tell of it.

use super::chi_squared::chi_squared_99;
use super::estimate::Estimate;
use super::figures::BoatAtRest;
use super::known::{Covariance, Errors, KnownErrors};
use super::problem::Problem;
use super::sighting::Sighting;
use super::start::balanced;
use crate::float::{BoatError, N_ERRORS, UncertainWeight};
use crate::frame::Pose;
use crate::reading::ReadingError;
use levenberg_marquardt::LevenbergMarquardt;
use nalgebra::{DMatrix, DVector};

/// Why readings give no answer.
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
/// Sum of squares per figure from which other starts are tried: far more than chance leaves.
const POOR: f64 = 4.0;
/// Heights of the centre of gravity to start from, in spreads: near a loll the sum of squares can end early.
const HEIGHTS: [f64; 6] = [-1.0, 1.0, -2.0, 2.0, -3.0, 3.0];

/// What sightings told of a boat.
#[derive(Debug, Clone)]
pub struct JointFit {
    /// The errors of the boat, with their covariance: first order, `(JᵀJ + P⁻¹)⁻¹`.
    pub known: KnownErrors,
    /// Sum of squares of what does not fit, over the figures.
    pub chi_squared: f64,
    /// The same with what the errors are from what was known before.
    pub objective: f64,
    /// How each sighting came out, in their order.
    pub sightings: Vec<SightingFit>,
}

/// How a sighting came out.
#[derive(Debug, Clone)]
pub struct SightingFit {
    /// How the boat lay with what lay aboard; none on the bench.
    pub pose: Option<Pose>,
    /// Each figure as it was seen less as it should be, over its spread as far as that is left free: normal with a
    /// spread of one, where nothing is wrong.
    pub normalised: Vec<f64>,
    /// How much of each figure the answer follows, 0 to 1.
    pub leverage: Vec<f64>,
    /// Sum of squares of what does not fit of it.
    pub chi_squared: f64,
    /// How the boat lay, and how that answers to its errors; none on the bench.
    pub(super) at_rest: Option<BoatAtRest>,
}

/// Works back from all sightings of a boat together to how far it is off: `bare` is it as described, without
/// liquids, and `known` what was known of it before.
///
/// Nonlinear least squares (Levenberg–Marquardt) of every figure over its spread, with what was known as prior;
/// covariance at the solution, first order, after JCGM 100:2008 (GUM) section 5. Figures that share what their
/// state leaves open (the tanks' fill, the place of what lay aboard) are made independent first.
///
/// # Errors
/// [`FitError`] when a reading cannot be used, or nothing fits.
pub fn estimate(
    bare: UncertainWeight,
    known: &KnownErrors,
    sightings: &[Sighting],
) -> Result<JointFit, FitError> {
    for sighting in sightings {
        if let Sighting::Wet(wet) = sighting {
            wet.reading.check()?;
        }
    }
    let problem = Problem::of(sightings, known).ok_or(FitError::NoFit)?;
    let problem = solved(&problem, bare).ok_or(FitError::NoFit)?;
    JointFit::of(&problem).ok_or(FitError::NoFit)
}

fn solved<'a>(problem: &Problem<'a>, bare: UncertainWeight) -> Option<Problem<'a>> {
    let figures: usize = problem.sightings.iter().map(Sighting::n_figures).sum();
    let of_height = |height| balanced(problem.sightings, bare, problem.known, height);
    let first = of_height(None);
    let here = problem.known.errors;
    let mut best = descended(problem, first.unwrap_or(here));
    let is_poor = |best: &Option<(Problem<'a>, f64)>| {
        best.as_ref().is_none_or(|(_, sum)| *sum > POOR * figures as f64)
    };
    if is_poor(&best) {
        let unit = problem.unit[3];
        let mut starts: Vec<Errors> =
            HEIGHTS.iter().filter_map(|height| of_height(Some(here[3] + height * unit))).collect();
        starts.push(here);
        for start in starts {
            let other = descended(problem, start);
            let is_better = match (&best, &other) {
                (Some((_, a)), Some((_, b))) => *b < *a - 1e-6 * a,
                (None, Some(_)) => true,
                (_, None) => false,
            };
            if is_better {
                best = other;
            }
        }
    }
    best.map(|(problem, _)| problem)
}

/// The nearest minimum from a start, and its sum of squares.
fn descended<'a>(problem: &Problem<'a>, start: Errors) -> Option<(Problem<'a>, f64)> {
    let mut problem = problem.again();
    problem.try_errors(start);
    let passes = if problem.shares_noise() { 2 } else { 1 };
    for _ in 0..passes {
        if !problem.take_noise() {
            return None;
        }
        let solver = LevenbergMarquardt::new()
            .with_ftol(SOLVER_DIGITS)
            .with_xtol(SOLVER_DIGITS)
            .with_gtol(SOLVER_DIGITS);
        let (found, report) = solver.minimize(problem);
        problem = found;
        let fits = report.objective_function < NOTHING_LEFT;
        if !fits && !report.termination.was_successful() {
            return None;
        }
    }
    let [_, objective] = problem.sums()?;
    Some((problem, objective))
}

impl JointFit {
    fn of(problem: &Problem<'_>) -> Option<Self> {
        let [chi_squared, objective] = problem.sums()?;
        let covariance = problem.covariance_now()?;
        let whitened = problem.whitened()?;
        let states = problem.states.as_ref()?;
        let in_units = DMatrix::from_fn(N_ERRORS, N_ERRORS, |i, j| covariance[(i, j)]);
        let sightings = states.iter().zip(&whitened).zip(&problem.noise);
        let sightings = sightings.map(|((state, (off, slopes)), noise)| {
            let free =
                DMatrix::identity(off.len(), off.len()) - slopes * &in_units * slopes.transpose();
            let (normalised, leverage) = normalised(off, &free, noise)?;
            let at_rest = state.at_rest.clone();
            let pose = at_rest.as_ref().map(|at_rest| at_rest.pose);
            let chi_squared = off.norm_squared();
            Some(SightingFit { pose, normalised, leverage, chi_squared, at_rest })
        });
        let sightings = sightings.collect::<Option<Vec<_>>>()?;
        let covariance = problem.in_si(&covariance);
        let is_finite = covariance.iter().all(|c| c.is_finite());
        let known = KnownErrors { errors: problem.errors, covariance };
        is_finite.then_some(Self { known, chi_squared, objective, sightings })
    }

    /// True where what does not fit, and how far the boat is from what was known of it, is no more than chance
    /// leaves.
    pub fn is_consistent(&self) -> bool {
        let figures = self.sightings.iter().map(|fit| fit.normalised.len()).sum();
        self.objective <= chi_squared_99(figures)
    }

    /// One of the errors.
    pub fn error(&self, which: usize) -> Estimate {
        self.known.error(which)
    }

    /// The figure that fits worst: the sighting, the figure in it, and how far it is off, normalised.
    pub fn worst(&self) -> Option<(usize, usize, f64)> {
        let all = self.sightings.iter().enumerate().flat_map(|(sighting, fit)| {
            fit.normalised.iter().enumerate().map(move |(k, off)| (sighting, k, *off))
        });
        all.max_by(|a, b| a.2.abs().total_cmp(&b.2.abs()))
    }
}

impl KnownErrors {
    /// The covariance of the errors that some more sightings would leave: first order, at the errors as known. None
    /// where the boat cannot be so.
    pub fn after(&self, more: &[Sighting]) -> Option<Covariance> {
        let mut problem = Problem::of(more, self)?;
        problem.try_errors(self.errors);
        if !problem.take_noise() {
            return None;
        }
        Some(problem.in_si(&problem.covariance_now()?))
    }
}

/// Figures as they were seen less as they should be, each over the spread that is left to it, and its leverage.
///
/// With whitened residuals `w = L⁻¹r` and what of them is free, `F = I − J C Jᵀ`, that of figure i is
/// `(L⁻ᵀw)ᵢ / √(L⁻ᵀ F L⁻¹)ᵢᵢ`: Baarda's test of one observation. For independent figures `L` is diagonal, and this is
/// `rᵢ/σᵢ / √(1 − hᵢ)`.
fn normalised(
    off: &DVector<f64>,
    free: &DMatrix<f64>,
    noise: &DMatrix<f64>,
) -> Option<(Vec<f64>, Vec<f64>)> {
    let n = off.len();
    let back = noise.transpose();
    let pull = back.solve_upper_triangular(off)?;
    let inverse = noise.solve_lower_triangular(&DMatrix::identity(n, n))?;
    let variance = inverse.transpose() * free * &inverse;
    let own = inverse.transpose() * &inverse;
    let normalised = (0..n).map(|k| -pull[k] / variance[(k, k)].max(1e-12 * own[(k, k)]).sqrt());
    let leverage = (0..n).map(|k| 1.0 - variance[(k, k)] / own[(k, k)]);
    Some((normalised.collect(), leverage.collect()))
}
