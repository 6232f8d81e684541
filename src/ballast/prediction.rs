//! How the boat will lie once the advice is followed, each figure with its spread.

use super::advice::{Advice, Verdict};
use super::forecast::Forecast;
use crate::boat::Mark;
use crate::fit::{Covariance, Errors, Estimate, Fit, Unknown};
use crate::float::{Basin, BoatError, FloatModel, N_ERRORS, sensitivity};
use crate::reading::{Condition, Seen};
use nalgebra::{DMatrix, DVector};

/// How the boat will lie once the advice is followed. What the reading does not tell is left out.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Prediction {
    /// Heel, radians; positive with the starboard side down.
    pub list: Option<Estimate>,
    /// Trim, radians; positive bow down.
    pub trim: Option<Estimate>,
    /// Mass beyond what the water carries, kg, for a boat under water; positive is heavy.
    pub residual: Option<Estimate>,
    /// The water at the marks, for a boat afloat.
    pub marks: Vec<MarkPrediction>,
    /// Nothing is to be done: this is how it lies as it is.
    pub as_it_is: bool,
}

/// The water foretold at one mark.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkPrediction {
    /// The mark's name.
    pub name: String,
    /// Metres of water above it; negative below.
    pub above: Estimate,
}

/// Foretells how the boat will lie after an advice on a fit, `condition` being that of the reading.
///
/// The values are those of `advice.after`, which is of the rounded steps. What remains unknown of
/// the boat after acting on what was found is the error of what was found, so the variance of a
/// figure is `sᵀ C s`: C the covariance of the fit, s the slopes of the figure at the pose foretold.
/// Source: JCGM 100:2008 (GUM), section 5.2.2, the law of propagation for correlated quantities.
///
/// None when there is nothing to be followed (the boat is top-heavy, or what should be shifted is
/// too light), when the boat will not lie in that condition, or when it will be indifferent.
///
/// # Errors
/// [`BoatError`] when a step takes off more than there is.
pub fn predict(
    fit: &Fit,
    advice: &Advice,
    basin: Basin,
    condition: Condition,
    marks: &[Mark],
) -> Result<Option<Prediction>, BoatError> {
    let can_be_followed = matches!(advice.verdict, Verdict::LeaveIt | Verdict::Do);
    let under = condition == Condition::Under;
    let lies_so = advice.after.outcome.afloat().is_some() != under;
    if !can_be_followed || !lies_so {
        return Ok(None);
    }
    let done = advice.done_to(&fit.found)?;
    let foretold = foretell(fit, &done, &advice.after, basin, condition, marks);
    Ok(foretold.map(|told| Prediction { as_it_is: advice.steps.is_empty(), ..told }))
}

/// Foretells how a boat will lie that is that of a fit with known weights put on or taken off; `after` is
/// how `done`, with its tanks as they are then, lies.
pub(super) fn foretell(
    fit: &Fit,
    done: &FloatModel,
    after: &Forecast,
    basin: Basin,
    condition: Condition,
    marks: &[Mark],
) -> Option<Prediction> {
    let under = condition == Condition::Under;
    let figures = PredictionInputs::of(fit, done, basin, under, after)?;
    Some(Prediction {
        list: figures.of_seen(&Seen::List(0.0)),
        trim: figures.of_seen(&Seen::Trim(0.0)),
        residual: figures.of_seen(&Seen::Residual(0.0)).filter(|_| under),
        marks: if under { Vec::new() } else { figures.at_marks(marks) },
        as_it_is: false,
    })
}

/// What is needed to give any figure of the boat as it will lie.
struct PredictionInputs<'a> {
    fit: &'a Fit,
    after: &'a Forecast,
    sensitivity: crate::float::Sensitivity,
}

impl<'a> PredictionInputs<'a> {
    fn of(
        fit: &'a Fit,
        done: &FloatModel,
        basin: Basin,
        under: bool,
        after: &'a Forecast,
    ) -> Option<Self> {
        // The weights of the steps are known: in error is the boat as it was found.
        let sensitivity = sensitivity(done, basin, after.pose, under, fit.found.bare())?;
        Some(Self { fit, after, sensitivity })
    }

    /// A figure with its spread, if the reading tells it; what `seen` says itself is not asked.
    fn of_seen(&self, seen: &Seen) -> Option<Estimate> {
        let slopes = Errors::from(seen.slopes(self.after.pose, &self.sensitivity));
        let variance = slopes.dot(&(self.fit.covariance * slopes));
        let value = seen.in_pose(self.after.pose, self.after.residual);
        let spread = variance.max(0.0).sqrt();
        let told = is_told(&self.fit.covariance, slopes, variance, &self.fit.untold);
        (told && spread.is_finite() && value.is_finite()).then(|| Estimate::new(value, spread))
    }

    fn at_marks(&self, marks: &[Mark]) -> Vec<MarkPrediction> {
        let of = |mark: &Mark| {
            let above = self.of_seen(&Seen::WaterAtMark { mark: mark.clone(), above: 0.0 })?;
            Some(MarkPrediction { name: mark.name.clone(), above })
        };
        marks.iter().filter_map(of).collect()
    }
}

/// The most that a figure may depend on what the reading does not tell, as a share of the rest of its variance.
const LEAST_TOLD: f64 = 0.5;

/// True when a figure of these slopes hardly depends on what the reading does not tell: less than half as much as on
/// all the rest. That the errors of the two might cancel does not count: what is not told may be so
/// large that first order no longer holds.
fn is_told(covariance: &Covariance, slopes: Errors, variance: f64, untold: &[Unknown]) -> bool {
    let is_untold = |&k: &usize| Unknown::ALL.get(k).is_some_and(|u| untold.contains(u));
    let which: Vec<usize> = (0..N_ERRORS).filter(is_untold).collect();
    let mut by_untold = Errors::zeros();
    for &k in &which {
        by_untold[k] = slopes[k];
    }
    let of_untold = by_untold.dot(&(covariance * by_untold));
    let known = variance_if_known(covariance, slopes, variance, &which);
    known.is_some_and(|known| of_untold <= LEAST_TOLD * known)
}

/// The variance that would be left if the errors `which` were known: that of the conditional normal
/// distribution. None if it cannot be calculated.
///
/// Source: closed form, the Schur complement of the covariance.
fn variance_if_known(
    covariance: &Covariance,
    slopes: Errors,
    variance: f64,
    which: &[usize],
) -> Option<f64> {
    if which.is_empty() {
        return Some(variance);
    }
    let n = which.len();
    let shared = covariance * slopes;
    let of_figure = DVector::from_iterator(n, which.iter().map(|&k| shared[k]));
    // In units of each error's own spread: a mass and a length do not meet in one matrix otherwise.
    let unit = DVector::from_iterator(n, which.iter().map(|&k| covariance[(k, k)].sqrt()));
    let correlation =
        DMatrix::from_fn(n, n, |i, j| covariance[(which[i], which[j])] / (unit[i] * unit[j]));
    let scaled = of_figure.component_div(&unit);
    let taken = scaled.dot(&correlation.cholesky()?.solve(&scaled));
    taken.is_finite().then_some(variance - taken)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_known_takes_its_share_of_the_variance() {
        // Two errors with correlation r: knowing the second leaves 1 − r² of the first's variance.
        let r = 0.8;
        let mut covariance = Covariance::identity();
        covariance[(0, 0)] = 4.0;
        covariance[(1, 1)] = 9e-6;
        let shared = r * 2.0 * 3e-3;
        covariance[(0, 1)] = shared;
        covariance[(1, 0)] = shared;
        let slopes = Errors::new(1.0, 0.0, 0.0, 0.0, 0.0);
        let left = variance_if_known(&covariance, slopes, 4.0, &[1]).expect("a good matrix");
        assert!((left - 4.0 * (1.0 - r * r)).abs() < 1e-12, "left {left}");
        assert!(is_told(&covariance, slopes, 4.0, &[Unknown::Along]), "it does not depend on it");
        assert!(!is_told(&covariance, slopes, 4.0, &[Unknown::Mass]), "it is the mass itself");
        assert!(is_told(&covariance, slopes, 4.0, &[]), "all was read");
    }
}
