//! Rising and sinking without turning.

use super::model::FloatModel;
use crate::frame::Pose;
use crate::geometry::solve_level;
use nalgebra::{Unit, Vector3};

/// The pose with a given "up" at which the boat displaces its own mass.
pub fn heave(model: &FloatModel, density: f64, up: Unit<Vector3<f64>>) -> Pose {
    let (low, high) = model.bounds.reach(&up);
    let volume = model.mass() / density;
    let level = solve_level((-high, -low), volume, model.total_volume(), |height| {
        model.wet(Pose::new(height, up))
    });
    Pose::new(level.height, up)
}
