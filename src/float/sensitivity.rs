//! How a balanced pose answers to small errors of mass and centre of gravity: exact first
//! derivatives from the Hessian of the energy (implicit function theorem).

use super::balance::{Balance, Support};
use super::equilibrium::Basin;
use super::model::FloatModel;
use crate::frame::Pose;
use nalgebra::Vector3;

/// Number of unknown errors: mass, and the centre of gravity along x, y and z.
pub const N_ERRORS: usize = 4;

/// Derivatives of a balanced pose by each error, in the order mass (per kg), x, y, z (per metre).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sensitivity {
    /// Change of the height of the body's origin, metres per unit.
    pub rise: [f64; N_ERRORS],
    /// Change of "up" in body axes, per unit.
    pub up: [Vector3<f64>; N_ERRORS],
}

/// The part of what floats whose mass and centre of gravity may be in error: the boat itself,
/// without what lies aboard for a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UncertainWeight {
    /// Its mass, kg.
    pub mass: f64,
    /// Its centre of gravity, where an error of mass sits.
    pub centre: Vector3<f64>,
}

/// The sensitivity of a pose that the boat is balanced in, afloat or held wholly `under`, where
/// mass changes nothing. None when the boat is indifferent in some direction.
pub fn sensitivity(
    model: &FloatModel,
    basin: Basin,
    pose: Pose,
    under: bool,
    uncertain: UncertainWeight,
) -> Option<Sensitivity> {
    let support = if under { Support::Held } else { Support::Afloat };
    let balance = Balance::at(model, basin.density, pose, support);
    let turns = pose.axes().turns();
    let mut stiffness = balance.hessian(pose);
    if support == Support::Held {
        // The height is held, and no water is cut that could pull at it.
        stiffness[(0, 0)] = 1.0;
    }
    let inverse = stiffness.try_inverse()?;
    let push = |by_height: f64, by_up: Vector3<f64>| {
        let lift = if support == Support::Afloat { by_height } else { 0.0 };
        -(inverse * Vector3::new(lift, by_up.dot(&turns[0]), by_up.dot(&turns[1])))
    };
    // Held under, a change of mass is taken up where it acts and turns nothing.
    let by_mass = if support == Support::Afloat { uncertain.centre } else { Vector3::zeros() };
    let answers = [
        push(1.0, by_mass),
        push(0.0, Vector3::x() * uncertain.mass),
        push(0.0, Vector3::y() * uncertain.mass),
        push(0.0, Vector3::z() * uncertain.mass),
    ];
    let answer = Sensitivity {
        rise: answers.map(|a| a[0]),
        up: answers.map(|a| turns[0] * a[1] + turns[1] * a[2]),
    };
    answer.is_finite().then_some(answer)
}

impl Sensitivity {
    fn is_finite(&self) -> bool {
        self.rise.iter().all(|r| r.is_finite())
            && self.up.iter().all(|u| u.iter().all(|c| c.is_finite()))
    }
}
