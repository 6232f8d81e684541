//! The least-squares problem of a back-solve, as the solver wants it.

use crate::float::{
    Basin, FloatModel, N_ERRORS, Outcome, Sensitivity, Tolerance, UncertainWeight, sensitivity,
    settle_from,
};
use crate::frame::Pose;
use crate::reading::{Condition, Reading};
use levenberg_marquardt::LeastSquaresProblem;
use nalgebra::{DMatrix, DVector, Dyn, Owned, Unit, Vector3};

/// Errors of mass (kg) and of the centre of gravity along x, y, z (m).
pub(super) type Errors = [f64; N_ERRORS];

/// Share of the volume that stays above water however heavy the solver tries the boat.
const LEAST_RESERVE: f64 = 1e-4;

/// The boat with some errors, at rest.
#[derive(Debug, Clone)]
pub(super) struct BoatAtRest {
    errors: Errors,
    pub(super) pose: Pose,
    pub(super) residual: f64,
    pub(super) sensitivity: Option<Sensitivity>,
}

impl BoatAtRest {
    /// Where the boat will lie with other errors, to the first order: a start close to the end.
    fn towards(&self, errors: &Errors) -> Pose {
        let Some(sensitivity) = &self.sensitivity else { return self.pose };
        let mut height = self.pose.height();
        let mut up = self.pose.up().into_inner();
        for (k, error) in errors.iter().enumerate() {
            let by = error - self.errors[k];
            height += sensitivity.rise[k] * by;
            up += sensitivity.up[k] * by;
        }
        let turn = (up - self.pose.up().into_inner()).norm();
        // A long step of a stiff problem has no reliable direction.
        if turn < FAR_TURN { Pose::new(height, Unit::new_normalize(up)) } else { self.pose }
    }
}

/// A turn beyond which the first order says little, radians.
const FAR_TURN: f64 = 0.2;

/// Zero error, as the solver counts: it scales its first step by the size of the unknowns, and
/// would be stuck at (nearly) zero.
const ORIGIN: f64 = 1.0;

/// Equilibria of the fit: a thousandth of the smallest spread, and quicker than the finest.
const TOLERANCE: Tolerance = Tolerance { force: 1e-9, lever: 1e-9, ..Tolerance::FINE };

/// Finds the errors that make the model lie as it was read.
///
/// Residuals, in this order: each observation over its spread; the free unknowns against what was known of them
/// before. The Jacobian is exact.
pub(super) struct Problem<'a> {
    pub(super) model: &'a FloatModel,
    pub(super) reading: &'a Reading,
    /// Which of the errors the solver may change.
    pub(super) free: Vec<usize>,
    /// Spread of each error before it was read; also the solver's unit for it.
    pub(super) prior: Errors,
    /// What each error was before it was read.
    pub(super) expected: Errors,
    /// What turns the free errors, less what was expected and in the solver's units, into figures that are
    /// independent and have a spread of one: a square root of what was known.
    pub(super) known: DMatrix<f64>,
    pub(super) errors: Errors,
    pub(super) state: Option<BoatAtRest>,
    pub(super) start: Pose,
}

impl Problem<'_> {
    pub(super) fn basin(&self) -> Basin {
        Basin::deep(self.reading.water_density)
    }

    /// Puts the boat with the present errors, and what lay aboard, into the water.
    pub(super) fn settle(&mut self) {
        let start = self.state.as_ref().map_or(self.start, |s| s.towards(&self.errors));
        self.state = self.settled(start);
    }

    fn settled(&self, start: Pose) -> Option<BoatAtRest> {
        let [mass_error, x, y, z] = self.errors;
        let aboard: f64 = self.reading.aboard.iter().map(|a| a.mass).sum();
        let carried = self.reading.water_density * self.model.total_volume();
        let room = carried * (1.0 - LEAST_RESERVE) - self.model.mass() - aboard;
        let mass_error = match self.reading.condition {
            Condition::Afloat => mass_error.min(room),
            Condition::Under => mass_error,
        };
        let boat = self.model.with_error(mass_error, Vector3::new(x, y, z)).ok()?;
        let uncertain = UncertainWeight {
            mass: boat.mass(),
            centre: boat.centre_of_gravity(Vector3::z_axis()).vector(),
        };
        let mut laden = boat;
        for weight in &self.reading.aboard {
            laden = laden.with_weight(weight.mass, weight.at).ok()?;
        }
        let basin = self.basin();
        let pose = match self.reading.condition {
            Condition::Afloat => match settle_from(&laden, basin, start, &TOLERANCE).ok()? {
                Outcome::Floats(a) => a.pose,
                Outcome::Neutral(_) | Outcome::Sinks(_) => return None,
            },
            Condition::Under => crate::float::hang(&laden, basin, &TOLERANCE).ok()?.pose,
        };
        let residual = laden.residual_mass(basin.density);
        let under = self.reading.condition == Condition::Under;
        let sensitivity = sensitivity(&laden, basin, pose, under, uncertain);
        Some(BoatAtRest { errors: self.errors, pose, residual, sensitivity })
    }

    /// Slopes of every observation by every error, each over the observation's spread.
    pub(super) fn slopes(&self) -> Option<Vec<Errors>> {
        let state = self.state.as_ref()?;
        let sensitivity = state.sensitivity.as_ref()?;
        let row = |o: &crate::reading::Observation| {
            o.seen.slopes(state.pose, sensitivity).map(|s| s / o.spread)
        };
        Some(self.reading.observations.iter().map(row).collect())
    }

    /// How far each observation is from the model, in its own spreads.
    pub(super) fn misfits(&self) -> Option<Vec<f64>> {
        let state = self.state.as_ref()?;
        let misfit = |o: &crate::reading::Observation| {
            (o.seen.in_pose(state.pose, state.residual) - o.seen.value()) / o.spread
        };
        Some(self.reading.observations.iter().map(misfit).collect())
    }
}

impl LeastSquaresProblem<f64, Dyn, Dyn> for Problem<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, Dyn>;
    type ParameterStorage = Owned<f64, Dyn>;

    fn set_params(&mut self, params: &DVector<f64>) {
        for (&which, value) in self.free.iter().zip(params.iter()) {
            self.errors[which] = (value - ORIGIN) * self.prior[which];
        }
        self.settle();
    }

    fn params(&self) -> DVector<f64> {
        let values = self.free.iter().map(|&k| ORIGIN + self.errors[k] / self.prior[k]);
        DVector::from_iterator(self.free.len(), values)
    }

    fn residuals(&self) -> Option<DVector<f64>> {
        let mut all = self.misfits()?;
        let off = self.free.iter().map(|&k| (self.errors[k] - self.expected[k]) / self.prior[k]);
        let off = &self.known * DVector::from_iterator(self.free.len(), off);
        all.extend(off.iter());
        Some(DVector::from_vec(all))
    }

    fn jacobian(&self) -> Option<DMatrix<f64>> {
        let slopes = self.slopes()?;
        let (n_seen, n_free) = (slopes.len(), self.free.len());
        Some(DMatrix::from_fn(n_seen + n_free, n_free, |row, column| {
            let which = self.free[column];
            match slopes.get(row) {
                Some(slope) => slope[which] * self.prior[which],
                None => self.known[(row - n_seen, column)],
            }
        }))
    }
}
