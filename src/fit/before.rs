//! What is known of a boat's errors before a reading: how well such boats are described, or what earlier
//! readings left.

use super::estimate::Unknown;
use super::known::KnownErrors;
use super::model_spread::ModelSpread;
use super::problem::Errors;
use super::untold::prior_of_the_untold;
use crate::float::{FloatModel, N_ERRORS};
use nalgebra::{DMatrix, Matrix4, Vector4};

/// What is known of the errors before the reading.
pub(super) struct Before {
    pub(super) expected: Errors,
    pub(super) spread: Errors,
    /// From earlier readings: the inverse of the covariance, in units of the spreads. None where nothing was
    /// read before.
    pub(super) read: Option<Matrix4<f64>>,
    /// The spreads with nothing read before.
    pub(super) wide: Errors,
}

impl Before {
    /// None when it is not finite.
    pub(super) fn of(
        model: &FloatModel,
        spread: ModelSpread,
        known: Option<&KnownErrors>,
    ) -> Option<Self> {
        let size = model.bounds().size();
        let wide = [model.mass(), size.x, size.y, spread.centre_height];
        let Some(known) = known else {
            return Some(Self { expected: [0.0; N_ERRORS], spread: wide, read: None, wide });
        };
        let (expected, covariance) = known.of_model(model);
        let spread: Errors = std::array::from_fn(|k| covariance[(k, k)].max(0.0).sqrt());
        let correlation = Matrix4::from_fn(|i, j| covariance[(i, j)] / (spread[i] * spread[j]));
        let read = correlation.cholesky()?.inverse();
        let is_finite = read.iter().all(|r| r.is_finite());
        is_finite.then_some(Self { expected, spread, read: Some(read), wide })
    }

    /// See [`Problem::known`].
    pub(super) fn root(&self, free: &[usize]) -> Option<DMatrix<f64>> {
        let n = free.len();
        let Some(read) = self.read else { return Some(DMatrix::identity(n, n)) };
        let of_free = DMatrix::from_fn(n, n, |i, j| read[(free[i], free[j])]);
        Some(of_free.cholesky()?.l().transpose())
    }

    /// What was known, as the inverse of a covariance in SI units.
    pub(super) fn information(&self, model: &FloatModel, untold: &[Unknown]) -> Matrix4<f64> {
        match self.read {
            Some(read) => Matrix4::from_fn(|i, j| read[(i, j)] / (self.spread[i] * self.spread[j])),
            None => independent(prior_of_the_untold(model, self.wide, untold)),
        }
    }
}

/// The inverse of the covariance of independent errors.
pub(super) fn independent(spread: Errors) -> Matrix4<f64> {
    Matrix4::from_diagonal(&Vector4::from(spread.map(|s| 1.0 / (s * s))))
}
