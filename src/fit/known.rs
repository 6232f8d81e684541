//! What earlier readings of a boat left known of its errors: the next fit begins with it.

use super::found::Fit;
use super::problem::Errors;
use crate::float::FloatModel;
use crate::reading::Condition;
use crate::unit::{GRAM, MILLIMETRE};
use nalgebra::{Matrix3, Matrix4, Vector3, Vector4};

/// Errors of a boat's mass and of its moment about the origin, with their covariance. They are the same at every
/// fill of its tanks, and after a weight was put on.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownErrors {
    /// Mass, kg, and moment along x, y and z, kg·m, beyond the model's.
    errors: Vector4<f64>,
    covariance: Matrix4<f64>,
}

/// How accurately a weight is placed, metres: common practice, no source.
const PLACED: f64 = 2.0 * MILLIMETRE;
/// How accurately it is weighed, kg: common practice, no source.
const WEIGHED: f64 = 1.0 * GRAM;
/// Share by which a hull may displace more or less than described, one standard deviation: afloat
/// it looks like an error of mass, under water like a different one. Common practice, no source.
const DISPLACES: f64 = 0.01;

impl KnownErrors {
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

    /// The same after these weights (kg) were added or removed, nearly where they should be.
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

    /// The same for a reading in `now` where the last one was made in `last`: a hull's error of
    /// displacement shows as a different mass there.
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Boat, Housing, Part, Tank};
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    const WATER: f64 = 1000.0;

    /// A block of 19.4 kg with a litre of tank at its fore end.
    fn boat(share: f64) -> FloatModel {
        let block =
            |size: [f64; 3], x: f64| Solid::Box { size, centre: Position::new(x, 0.0, 0.0) };
        let hull =
            Part::solid("hull", 19.4, Position::new(0.0, 0.0, -0.01), block([1.0, 0.2, 0.1], 0.0));
        let housing = Housing::InsideAPart;
        let tank = Tank { housing, ..Tank::new("tank", block([0.1, 0.1, 0.1], 0.3)) };
        let boat = Boat { parts: vec![hull], tanks: vec![tank], ..Boat::default() };
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        model.flooded(share, WATER).expect("a share")
    }

    #[test]
    fn errors_are_the_same_boat_at_every_fill() {
        // A forgotten kilogram at a place: closed form, its moment is mass times place whatever the tanks hold.
        let (forgotten, at) = (1.0, Vector3::new(0.2, -0.03, 0.04));
        let known = KnownErrors {
            errors: joined(forgotten, at * forgotten),
            covariance: Matrix4::identity(),
        };
        for share in [0.0, 0.4, 1.0] {
            let model = boat(share);
            let ([mass, x, y, z], _) = known.of_model(&model);
            let found = model.with_error(mass, Vector3::new(x, y, z)).expect("a boat");
            let with = model.with_weight(forgotten, Position::from_vector(at)).expect("a boat");
            let off = centre(&found) - centre(&with);
            assert!(
                off.norm() < 1e-12 && (found.mass() - with.mass()).abs() < 1e-12,
                "{share}: {off}"
            );
        }
    }

    #[test]
    fn a_spread_comes_back_from_the_terms_of_a_model() {
        // First order both ways: one matrix is the inverse of the other.
        let model = boat(0.7);
        let spread = Matrix4::new(
            4e-4, 1e-5, 0.0, 2e-6, //
            1e-5, 9e-6, 1e-7, 0.0, //
            0.0, 1e-7, 1e-6, 3e-7, //
            2e-6, 0.0, 3e-7, 4e-6,
        );
        let known =
            KnownErrors { errors: Vector4::new(0.3, 0.02, -0.01, 0.03), covariance: spread };
        let ([mass_error, x, y, z], covariance) = known.of_model(&model);
        let by_error = slopes(centre(&model) + Vector3::new(x, y, z), model.mass() + mass_error);
        let again = by_error * covariance * by_error.transpose();
        assert!((again - spread).amax() < 1e-15, "{again}");
    }

    #[test]
    fn what_was_put_on_and_another_condition_leave_more_open_and_change_nothing() {
        let known = KnownErrors { errors: Vector4::zeros(), covariance: Matrix4::zeros() };
        let put = known.clone().after_weights([0.5]);
        assert_eq!(put.errors, known.errors);
        // Half a kilogram, two millimetres off.
        assert!((put.covariance[(1, 1)].sqrt() - 1e-3).abs() < 1e-12, "{}", put.covariance);
        assert!(put.covariance[(3, 3)].abs() < 1e-15, "it lies on what it was put on");
        let model = boat(0.0);
        let same = known.clone().carried(&model, Condition::Under, Condition::Under);
        assert_eq!(same, known);
        let other = known.clone().carried(&model, Condition::Under, Condition::Afloat);
        assert!((other.covariance[(0, 0)].sqrt() - 0.194).abs() < 1e-12, "a hundredth of 19.4 kg");
    }
}
