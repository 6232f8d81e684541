//! Why a boat cannot be calculated.

use crate::boat::TankError;
use crate::geometry::SolidError;

/// What is wrong with one part or tank.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PartProblem {
    /// A mass is negative or not a number.
    #[error("its mass of {0} kg must be zero or more")]
    Mass(f64),
    /// The centre of mass is not a number.
    #[error("its centre of mass is not a number")]
    Place,
    /// The fill is outside 0 to 1.
    #[error("its fill of {0} must be from 0 (empty) to 1 (full)")]
    Fill(f64),
    /// The liquid's density is not positive.
    #[error("its liquid's density of {0} kg/m3 must be more than zero")]
    LiquidDensity(f64),
    /// The solid is not valid.
    #[error(transparent)]
    Solid(#[from] SolidError),
    /// The tank's bulkheads, openings or range are wrong.
    #[error(transparent)]
    Tank(#[from] TankError),
}

/// Why a boat cannot be calculated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum BoatError {
    /// One part or tank is wrong.
    #[error("{name}: {problem}")]
    Part {
        /// The part's name.
        name: String,
        /// What is wrong with it.
        problem: PartProblem,
    },
    /// Nothing aboard weighs anything, or more was taken off than was there.
    #[error("the boat weighs {0} kg: give a part some mass")]
    NoMass(f64),
    /// Nothing aboard displaces water.
    #[error("nothing aboard displaces water: give at least one part a shape")]
    NoVolume,
    /// A weight moment is not finite.
    #[error("a weight's moment is not a number: check its lever and mass")]
    Moment,
    /// There is no tank of that number.
    #[error("there is no tank number {0}")]
    NoTank(usize),
    /// A time is not positive.
    #[error("a tank time of {0} s must be more than zero")]
    Seconds(f64),
    /// A water density is not positive.
    #[error("a water density of {0} kg/m3 must be more than zero")]
    WaterDensity(f64),
    /// No equilibrium was found in this many tries.
    #[error("no equilibrium found in {0} tries: check sizes and weights, or read again")]
    Unsettled(u32),
}
