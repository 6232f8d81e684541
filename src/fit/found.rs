//! What a boat's readings tell of it, as seen from one of them.

use super::contradiction::Contradiction;
use super::estimate::{Estimate, Unknown};
use super::help::Help;
use super::known::{Covariance, KnownErrors};
use super::lean::Lean;
use crate::float::FloatModel;
use crate::frame::Pose;
use nalgebra::{SMatrix, Vector2};

/// What a boat's readings tell of it, as seen from one of them.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The boat as it was found, its tanks as they were for the reading, without what lay aboard.
    pub found: FloatModel,
    /// How it lay with what lay aboard.
    pub pose: Pose,
    /// Mass beyond the model's, kg.
    pub mass_error: Estimate,
    /// Centre of gravity without liquids from the model's, along x, y and z, metres.
    pub offset: [Estimate; 3],
    /// Share by which it displaces more than the model.
    pub displaces: Estimate,
    /// Covariance of its errors, in the order of [`crate::float::BoatErrors`], SI.
    pub covariance: Covariance,
    /// The same for a boat whose height of the centre of gravity, and whose displacement, were known: what the
    /// figures' own spreads leave open.
    pub of_reading: Covariance,
    /// What no reading tells: known only from the description, with a wide ±.
    pub untold: Vec<Unknown>,
    /// What does not fit, if something does not.
    pub contradiction: Option<Contradiction>,
    /// What to read next.
    pub help: Option<Help>,
    /// What kind of lean it is.
    pub lean: Lean,
    /// How probable it is that its initial stability is negative, 0 to 1.
    pub lolls: f64,
    /// Seen afloat it lay far over: no weight goes to one side, wherever it is read now.
    pub lay_over: bool,
}

impl Fit {
    pub(super) fn new(found: FloatModel, pose: Pose, known: &KnownErrors) -> Self {
        let error = |k: usize| known.error(k);
        Self {
            found,
            pose,
            mass_error: error(0),
            offset: [error(1), error(2), error(3)],
            displaces: error(4),
            covariance: known.covariance,
            of_reading: given_shape(&known.covariance),
            untold: Vec::new(),
            contradiction: None,
            help: None,
            lean: Lean::Upright,
            lolls: 0.0,
            lay_over: false,
        }
    }

    /// The errors, as known.
    pub fn known(&self) -> KnownErrors {
        let [x, y, z] = self.offset.map(|offset| offset.value);
        let errors = [self.mass_error.value, x, y, z, self.displaces.value];
        KnownErrors { errors: errors.into(), covariance: self.covariance }
    }

    /// The spread of what it is heavy by when it is wholly under, in water of `density` (kg/m³), kg.
    pub fn residual_spread(&self, density: f64) -> f64 {
        self.lack_spread(density * self.found.described_volume(None))
    }

    /// The spread of what it lacks in mass where so much of what the water carries (kg) answers to its shape: what it weighs and what it
    /// displaces go together.
    fn lack_spread(&self, displaced: f64) -> f64 {
        let by = super::known::Errors::from([1.0, 0.0, 0.0, 0.0, -displaced]);
        by.dot(&(self.covariance * by)).max(0.0).sqrt()
    }
}

/// The covariance where height and displacement are known: that of the conditional normal distribution, the
/// Schur complement.
fn given_shape(covariance: &Covariance) -> Covariance {
    let known: SMatrix<f64, 2, 2> = covariance.fixed_view::<2, 2>(3, 3).into_owned();
    let unit = Vector2::new(known[(0, 0)].sqrt(), known[(1, 1)].sqrt());
    let scaled = known.component_div(&(unit * unit.transpose()));
    let Some(inverse) = scaled.try_inverse() else { return *covariance };
    let shared: SMatrix<f64, 5, 2> = covariance.fixed_view::<5, 2>(0, 3).into_owned();
    let shared = shared * SMatrix::from_diagonal(&unit.map(|u| 1.0 / u));
    let mut left = covariance - shared * inverse * shared.transpose();
    for k in 3..5 {
        left.row_mut(k).fill(0.0);
        left.column_mut(k).fill(0.0);
    }
    left
}
