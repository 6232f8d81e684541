//! What was foretold of a reading, also of a boat that has changed since, set against what was seen.

use super::figures::{BoatAtRest, Changing};
use super::known::KnownErrors;
use super::sighting::WetSighting;
use crate::float::{FloatModel, N_ERRORS, Push, push_between};
use crate::frame::Pose;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn, Vector3};

/// A reading, and what was known of the boat before it.
#[derive(Debug, Clone, Copy)]
pub struct Foretold<'a> {
    /// What was known.
    pub known: &'a KnownErrors,
    /// The reading.
    pub wet: &'a WetSighting,
}

/// A way in which the boat may have changed: by amounts, whose effect on its weights is smooth.
pub struct ChangeWay<'a> {
    /// The boat with such amounts; none where that cannot be.
    pub boat: &'a dyn Fn(&FloatModel, &[f64]) -> Option<FloatModel>,
    /// Amounts to start from.
    pub start: Vec<f64>,
    /// A small step of each, for the slopes.
    pub steps: Vec<f64>,
    /// The least and the most of each.
    pub within: Vec<[f64; 2]>,
    /// What was likely of each before: a spread about zero. Infinite where nothing was known.
    pub spreads: Vec<f64>,
    /// How far above or below its place the first amount, if it is a mass, may lie, metres.
    pub height_spread: f64,
}

impl std::fmt::Debug for ChangeWay<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("ChangeWay").field("start", &self.start).finish_non_exhaustive()
    }
}

/// The amounts that go best with a reading.
#[derive(Debug, Clone)]
pub struct ChangeFit {
    /// The amounts.
    pub amounts: DVector<f64>,
    /// Their covariance.
    pub covariance: DMatrix<f64>,
    /// The sum of squares that is left.
    pub chi_squared: f64,
    /// The logarithm of how likely the figures are with them, but for a constant.
    pub log_likelihood: f64,
    /// How the boat lies then.
    pub pose: Pose,
}

/// The figures as they were seen less as they were foretold, with the covariance of that.
pub(super) struct Difference {
    pub(super) off: DVector<f64>,
    pub(super) at_rest: BoatAtRest,
    pub(super) root: Cholesky<f64, Dyn>,
}

/// Steps of a fit, and how often one is halved.
const MOST_STEPS: usize = 20;
const HALVINGS: usize = 8;
/// A step so small, in spreads, ends it.
const LAST_STEP: f64 = 1e-4;

impl Foretold<'_> {
    /// How the reading differs from what was foretold of the boat, changed so. `loose` is what besides is open about
    /// it: one standard deviation; `before` is a boat nearly the same.
    ///
    /// The covariance is `J C Jᵀ + R`: what the errors as known leave open, and the reading's own noise with what is
    /// not exact about its state. Where the same state was read before, `C` is what that left open.
    pub(super) fn difference(
        &self,
        changed: Changing<'_>,
        loose: Option<Push>,
        before: Option<&BoatAtRest>,
    ) -> Option<Difference> {
        let figures = self.wet.figures_of(&self.known.errors, before, changed)?;
        let at_rest = figures.at_rest?;
        let covariance = DMatrix::from_fn(N_ERRORS, N_ERRORS, |i, j| self.known.covariance[(i, j)]);
        let slopes = &figures.slopes;
        let mut all = slopes * covariance * slopes.transpose() + self.wet.noise(&at_rest);
        if let Some(push) = loose {
            let by = self.wet.moves(&at_rest, &push);
            all += &by * by.transpose();
        }
        Some(Difference { off: -figures.off, root: all.cholesky()?, at_rest })
    }

    fn of_way(
        &self,
        way: &ChangeWay<'_>,
        amounts: &[f64],
        before: Option<&BoatAtRest>,
    ) -> Option<Difference> {
        let lever = way.height_spread * amounts.first().copied().unwrap_or(0.0);
        let loose = (lever != 0.0).then(|| Push { mass: 0.0, moment: Vector3::z() * lever });
        self.difference(&|boat| (way.boat)(&boat, amounts), loose, before)
    }

    /// How the figures change by each of the amounts: a column each.
    fn slopes(
        &self,
        way: &ChangeWay<'_>,
        amounts: &[f64],
        here: &Difference,
    ) -> Option<DMatrix<f64>> {
        let boat = self.wet.model.with_errors(&self.known.errors.into()).ok()?;
        let mut slopes = DMatrix::zeros(here.off.len(), amounts.len());
        for (k, (step, [least, most])) in way.steps.iter().zip(&way.within).enumerate() {
            let ends = [-0.5, 0.5].map(|half| {
                let mut to = amounts.to_vec();
                if let Some(amount) = to.get_mut(k) {
                    *amount = (*amount + half * step).clamp(*least, *most);
                }
                to
            });
            let [less, more] = ends.map(|to| Some(((way.boat)(&boat, &to)?, *to.get(k)?)));
            let ((less, from), (more, to)) = (less?, more?);
            let Push { mass, moment } = push_between([&less, &more], here.at_rest.pose);
            let push = Push { mass: mass / (to - from), moment: moment / (to - from) };
            slopes.set_column(k, &self.wet.moves(&here.at_rest, &push));
        }
        slopes.iter().all(|s| s.is_finite()).then_some(slopes)
    }

    /// The amounts of a way that go best with the reading: weighted least squares by Gauss and Newton, each step
    /// with the covariance where it starts, and halved until it leaves less. None where the boat cannot be so.
    pub fn fit(&self, way: &ChangeWay<'_>) -> Option<ChangeFit> {
        let mut amounts = way.start.clone();
        let mut here = self.of_way(way, &amounts, None)?;
        let prior = DVector::from_iterator(
            amounts.len(),
            way.spreads.iter().map(|s| if s.is_finite() { 1.0 / (s * s) } else { 0.0 }),
        );
        let left_of = |there: &Difference, amounts: &[f64], root: &Cholesky<f64, Dyn>| {
            let known: f64 = amounts.iter().zip(prior.iter()).map(|(a, p)| a * a * p).sum();
            there.off.dot(&root.solve(&there.off)) + known
        };
        let mut covariance = DMatrix::zeros(0, 0);
        for _ in 0..MOST_STEPS {
            if amounts.is_empty() {
                break;
            }
            let slopes = self.slopes(way, &amounts, &here)?;
            let weighted = here.root.solve(&slopes);
            let information = slopes.transpose() * &weighted + DMatrix::from_diagonal(&prior);
            let own = DVector::from_column_slice(&amounts).component_mul(&prior);
            // In units of what each amount alone would leave open: amounts differ by orders.
            let unit = information.diagonal().map(|i| 1.0 / i.max(f64::MIN_POSITIVE).sqrt());
            let scaled = information.component_mul(&(&unit * unit.transpose()));
            let scaled = scaled.cholesky()?;
            let gradient = weighted.transpose() * &here.off - own;
            let by = scaled.solve(&gradient.component_mul(&unit));
            covariance = scaled.inverse().component_mul(&(&unit * unit.transpose()));
            let now = left_of(&here, &amounts, &here.root);
            let tried = (0..HALVINGS).find_map(|k| {
                let share = 0.5_f64.powi(i32::try_from(k).unwrap_or(0));
                let to: Vec<f64> = amounts
                    .iter()
                    .zip(by.iter().zip(unit.iter()))
                    .zip(&way.within)
                    .map(|((a, (by, unit)), [least, most])| {
                        (a + share * by * unit).clamp(*least, *most)
                    })
                    .collect();
                let there = self.of_way(way, &to, Some(&here.at_rest))?;
                (left_of(&there, &to, &here.root) <= now).then_some((to, there))
            });
            let Some((to, there)) = tried else { break };
            let went = to.iter().zip(&amounts).zip(unit.iter());
            let went = went.map(|((to, a), unit)| ((to - a) / unit).abs()).fold(0.0, f64::max);
            (amounts, here) = (to, there);
            if went < LAST_STEP {
                break;
            }
        }
        let chi_squared = here.off.dot(&here.root.solve(&here.off));
        let ln_determinant = here.root.ln_determinant();
        Some(ChangeFit {
            amounts: DVector::from_vec(amounts),
            covariance,
            chi_squared,
            log_likelihood: -0.5 * (chi_squared + ln_determinant),
            pose: here.at_rest.pose,
        })
    }
}
