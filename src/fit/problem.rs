//! The least-squares problem of the estimate, as the solver wants it.

use super::figures::StateFigures;
use super::known::{Covariance, Errors, KnownErrors};
use super::sighting::Sighting;
use crate::float::N_ERRORS;
use levenberg_marquardt::LeastSquaresProblem;
use nalgebra::{DMatrix, DVector, Dyn, Owned};

/// Zero error, as the solver counts: it scales its first step by the size of the unknowns, and
/// would be stuck at (nearly) zero.
const ORIGIN: f64 = 1.0;

/// Finds the errors that make the boat lie in every state as it was seen.
///
/// Residuals: the figures of each sighting, made independent with a spread of one; then the errors against what
/// was known of them. The Jacobian is exact.
pub(super) struct Problem<'a> {
    pub(super) sightings: &'a [Sighting],
    pub(super) known: &'a KnownErrors,
    /// Spread of each error before it was read: the solver's unit.
    pub(super) unit: Errors,
    /// The inverse of the known covariance, and a square root of that, in these units.
    pub(super) information: Covariance,
    pub(super) root: Covariance,
    /// The lower Cholesky factor of the covariance of each sighting's figures.
    pub(super) noise: Vec<DMatrix<f64>>,
    pub(super) errors: Errors,
    pub(super) states: Option<Vec<StateFigures>>,
}

impl<'a> Problem<'a> {
    /// None where what is known is no covariance.
    pub(super) fn of(sightings: &'a [Sighting], known: &'a KnownErrors) -> Option<Self> {
        let information = known.information()?;
        let root = information.cholesky()?.l().transpose();
        Some(Self {
            sightings,
            known,
            unit: known.spreads(),
            information,
            root,
            noise: Vec::new(),
            errors: known.errors,
            states: None,
        })
    }

    /// The same problem, to be begun anew.
    pub(super) fn again(&self) -> Self {
        Self { noise: Vec::new(), states: None, ..*self }
    }

    /// True where the spreads of figures depend on the boat.
    pub(super) fn shares_noise(&self) -> bool {
        self.sightings.iter().any(Sighting::shares_noise)
    }

    /// Puts the boat with some errors into every state.
    pub(super) fn try_errors(&mut self, errors: Errors) {
        let before = self.states.take();
        self.errors = errors;
        let states = self.sightings.iter().enumerate().map(|(k, sighting)| {
            let before = before.as_ref().and_then(|states| states.get(k));
            sighting.figures(&errors, before)
        });
        self.states = states.collect();
    }

    /// Takes the spreads of the figures as they are for the boat that was tried last. False where they are none.
    pub(super) fn take_noise(&mut self) -> bool {
        let Some(states) = &self.states else { return false };
        let noise = self
            .sightings
            .iter()
            .zip(states)
            .map(|(sighting, figures)| sighting.noise(figures).cholesky().map(|c| c.l()));
        let noise: Option<Vec<_>> = noise.collect();
        let good = noise.is_some();
        self.noise = noise.unwrap_or_default();
        good
    }

    /// What is solved for each sighting: its figures and slopes over their spreads, the latter in units.
    pub(super) fn whitened(&self) -> Option<Vec<(DVector<f64>, DMatrix<f64>)>> {
        let states = self.states.as_ref()?;
        let unit = DMatrix::from_diagonal(&DVector::from_column_slice(self.unit.as_slice()));
        let of = states.iter().zip(&self.noise).map(|(figures, noise)| {
            let off = noise.solve_lower_triangular(&figures.off)?;
            let slopes = noise.solve_lower_triangular(&(&figures.slopes * &unit))?;
            Some((off, slopes))
        });
        of.collect()
    }

    /// How far the errors are from what was known, in units.
    fn off_known(&self) -> Errors {
        (self.errors - self.known.errors).component_div(&self.unit)
    }

    /// The sums of squares of what does not fit, in the figures and in all.
    pub(super) fn sums(&self) -> Option<[f64; 2]> {
        let chi_squared: f64 = self.whitened()?.iter().map(|(off, _)| off.norm_squared()).sum();
        let off_known = self.off_known();
        Some([chi_squared, chi_squared + off_known.dot(&(self.information * off_known))])
    }

    /// The covariance that is left of the errors, in units.
    pub(super) fn covariance_now(&self) -> Option<Covariance> {
        let information = self.whitened()?.iter().fold(self.information, |sum, (_, slopes)| {
            let own = slopes.transpose() * slopes;
            sum + Covariance::from_fn(|i, j| own[(i, j)])
        });
        Some(information.cholesky()?.inverse())
    }

    /// A covariance of errors in units, as one in SI.
    pub(super) fn in_si(&self, covariance: &Covariance) -> Covariance {
        covariance.component_mul(&(self.unit * self.unit.transpose()))
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, params: &DVector<f64>) {
        let tried = Errors::from_fn(|k, _| (params[k] - ORIGIN) * self.unit[k]);
        self.try_errors(tried);
    }

    fn params(&self) -> DVector<f64> {
        let values = self.errors.component_div(&self.unit).add_scalar(ORIGIN);
        DVector::from_column_slice(values.as_slice())
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let whitened = self.whitened()?;
        let figures = whitened.iter().flat_map(|(off, _)| off.iter().copied());
        let known = self.root * self.off_known();
        Some(DVector::from_vec(figures.chain(known.iter().copied()).collect()))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let whitened = self.whitened()?;
        let n: usize = whitened.iter().map(|(off, _)| off.len()).sum();
        let mut jacobian = DMatrix::zeros(n + N_ERRORS, N_ERRORS);
        let mut row = 0;
        for (off, slopes) in &whitened {
            jacobian.rows_mut(row, off.len()).copy_from(slopes);
            row += off.len();
        }
        jacobian.rows_mut(row, N_ERRORS).copy_from(&self.root);
        Some(jacobian)
    }
}
