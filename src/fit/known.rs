//! What earlier readings of a boat left known of its errors: the next fit begins with it.

use super::back_solve::Fit;
use super::problem::Errors;
use crate::float::FloatModel;
use crate::reading::Condition;
use crate::unit::{GRAM, MILLIMETRE};
use nalgebra::{Matrix3, Matrix4, Vector3, Vector4};

/// Errors of a boat's mass and of its moment about the origin, with their covariance. They are the same at every
/// fill of its tanks, and after a weight was put on.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Mass, kg, and moment along x, y and z, kg·m, beyond the model's.
    errors: Vector4<f64>,
    covariance: Matrix4<f64>,
}

/// How well a weight is put where it is told to go, metres: common practice, no source.
const PLACED: f64 = 2.0 * MILLIMETRE;
/// How well it is weighed, kg: common practice, no source.
const WEIGHED: f64 = 1.0 * GRAM;
/// Share by which a hull may displace more or less than it is described to, one standard deviation: afloat it
/// passes for mass, and under water for another mass. Common practice, no source.
const DISPLACES: f64 = 0.01;

impl Known {
    /// What a fit of `model` left known.
    pub fn of(fit: &Fit, model: &FloatModel) -> Self {
        let [x, y, z] = fit.offset.map(|offset| offset.value);
        let (mass_error, offset) = (fit.mass_error.value, Vector3::new(x, y, z));
        let centre = centre(model);
        let mass = model.mass() + mass_error;
        let moment = centre * mass_error + offset * mass;
        let by_error = slopes(centre + offset, mass);
        Self {
            errors: joined(mass_error, moment),
            covariance: by_error * fit.covariance * by_error.transpose(),
        }
    }

    /// The same as errors of mass and centre of gravity of a model, with their covariance. To the first order,
    /// JCGM 100:2008 (GUM) section 5.1.2.
    pub(super) fn of_model(&self, model: &FloatModel) -> (Errors, Matrix4<f64>) {
        let centre = centre(model);
        let [mass_error, x, y, z] = self.errors.into();
        let moment = Vector3::new(x, y, z);
        let mass = model.mass() + mass_error;
        let offset = (moment - centre * mass_error) / mass;
        let by_moment = slopes(-(centre + offset) / mass, 1.0 / mass);
        let errors = joined(mass_error, offset);
        (errors.into(), by_moment * self.covariance * by_moment.transpose())
    }

    /// The same after weights of so much (kg) were put or taken: they lie nearly where they should.
    #[must_use]
    pub fn after_weights(mut self, masses: impl IntoIterator<Item = f64>) -> Self {
        for mass in masses {
            self.covariance[(0, 0)] += WEIGHED * WEIGHED;
            for k in 1..3 {
                self.covariance[(k, k)] += (mass * PLACED).powi(2);
            }
        }
        self
    }

    /// The same for a reading in `now` where the last one was made in `last`: what a hull displaces otherwise
    /// than described shows as another mass there.
    #[must_use]
    pub fn carried(mut self, model: &FloatModel, last: Condition, now: Condition) -> Self {
        if last != now {
            let displaced = joined(1.0, centre(model)) * (DISPLACES * model.mass());
            self.covariance += displaced * displaced.transpose();
        }
        self
    }
}

fn centre(model: &FloatModel) -> Vector3<f64> {
    model.centre_of_gravity(Vector3::z_axis()).vector()
}

fn joined(mass: f64, other: Vector3<f64>) -> Vector4<f64> {
    Vector4::new(mass, other.x, other.y, other.z)
}

/// Derivatives of a mass and three other errors by that mass and three more: the mass is the same, the others
/// change by `by_mass` with it and by `share` each with its own.
fn slopes(by_mass: Vector3<f64>, share: f64) -> Matrix4<f64> {
    let mut slopes = Matrix4::identity();
    slopes.fixed_view_mut::<3, 1>(1, 0).copy_from(&by_mass);
    slopes.fixed_view_mut::<3, 3>(1, 1).copy_from(&(Matrix3::identity() * share));
    slopes
}
