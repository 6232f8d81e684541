//! Initial stability: metacentric heights of a balanced pose.

use super::balance::{Balance, Support};
use super::model::FloatModel;
use crate::frame::Pose;
use nalgebra::Matrix2;

/// Metacentric heights at constant displacement, liquids staying level, metres.
///
/// `GM = (ρ I − Σ ρt i) / m + KB − KG`: the textbook sum, read off the exact Hessian, about the
/// world's horizontal axes through the pose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stiffness {
    /// Across: against heel.
    pub across: f64,
    /// Along: against trim.
    pub along: f64,
    /// The least over all horizontal axes; the boat is stable when it is positive.
    pub least: f64,
    /// What slack tanks take from `across`.
    pub free_surface_across: f64,
    /// What slack tanks take from `along`.
    pub free_surface_along: f64,
}

impl Stiffness {
    pub(super) fn of(balance: &Balance, pose: Pose) -> Self {
        let turns = pose.axes().turns();
        let turning = balance.turning(pose);
        let on = |i: usize, j: usize| turns[i].dot(&(turning * turns[j])) / balance.mass;
        let loss = |i: usize| turns[i].dot(&(balance.free_surface * turns[i])) / balance.mass;
        let tensor = Matrix2::new(on(0, 0), on(0, 1), on(1, 0), on(1, 1));
        Self {
            across: tensor[(0, 0)],
            along: tensor[(1, 1)],
            least: tensor.symmetric_eigenvalues().min(),
            free_surface_across: loss(0),
            free_surface_along: loss(1),
        }
    }
}

/// How stiff a boat is that is held wholly under in a pose, whether it is balanced there or not.
pub fn stiffness_under(model: &FloatModel, pose: Pose) -> Stiffness {
    // The density of the water cancels: what holds the boat takes up the difference.
    Stiffness::of(&Balance::at(model, 1.0, pose, Support::Held), pose)
}
