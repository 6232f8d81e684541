//! What is known of a boat's errors: of its parts before it was read, and of its readings after that.

use super::estimate::Estimate;
use crate::float::N_ERRORS;
use nalgebra::{SMatrix, SVector};

/// Errors in the order of [`crate::float::BoatErrors`], SI.
pub type Errors = SVector<f64, N_ERRORS>;
/// Their covariance, SI.
pub type Covariance = SMatrix<f64, N_ERRORS, N_ERRORS>;

/// What is known of a boat's errors: the most likely ones, with their covariance.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownErrors {
    /// The most likely errors.
    pub errors: Errors,
    /// Their covariance.
    pub covariance: Covariance,
}

impl KnownErrors {
    /// A boat that is as described, with independent spreads.
    pub fn independent(spreads: [f64; N_ERRORS]) -> Self {
        let variances = Errors::from(spreads.map(|s| s * s));
        Self { errors: Errors::zeros(), covariance: Covariance::from_diagonal(&variances) }
    }

    /// The spread of each error.
    pub fn spreads(&self) -> Errors {
        self.covariance.diagonal().map(|variance| variance.max(0.0).sqrt())
    }

    /// One of the errors with its spread.
    pub fn error(&self, which: usize) -> Estimate {
        Estimate::new(self.errors[which], self.spreads()[which])
    }

    /// The same with more left open, as by what may have happened since.
    #[must_use]
    pub fn widened(&self, by: &Covariance) -> Self {
        Self { errors: self.errors, covariance: self.covariance + by }
    }

    /// The inverse of the covariance in units of the spreads. None for one that is no covariance.
    pub(super) fn information(&self) -> Option<Covariance> {
        let spreads = self.spreads();
        if !spreads.iter().all(|s| *s > 0.0 && s.is_finite()) {
            return None;
        }
        let correlation = self.covariance.component_div(&(spreads * spreads.transpose()));
        Some(correlation.cholesky()?.inverse())
    }
}
