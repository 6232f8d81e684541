//! Why a boat cannot be calculated.

use crate::boat::TankError;
use crate::geometry::SolidError;

/// What is wrong with one part or tank.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PartProblem {
    /// A mass is negative or not a number.
    #[error("its mass is {0} kg: it must be zero or more")]
    Mass(f64),
    /// The centre of mass is not a number.
    #[error("the place of its centre of mass is not a number")]
    Place,
    /// The fill is outside 0 to 1.
    #[error("its fill is {0}: it must be from 0 (empty) to 1 (full)")]
    Fill(f64),
    /// The liquid's density is not positive.
    #[error("its liquid has a density of {0} kg/m3: it must be more than zero")]
    LiquidDensity(f64),
    /// The solid is not one.
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
    #[error("the boat weighs {0} kg: give a part that weighs something")]
    NoMass(f64),
    /// Nothing aboard displaces water.
    #[error("nothing aboard displaces water: give at least one part a shape")]
    NoVolume,
    /// A moment of weight that cannot be.
    #[error(
        "a moment of weight that is not a number: check the lever and the weight it is made of"
    )]
    Moment,
    /// There is no tank of that number.
    #[error("there is no tank number {0}")]
    NoTank(usize),
    /// A time that is not one.
    #[error("a tank cannot take {0} s: give more than zero")]
    Seconds(f64),
    /// A water density that is not one.
    #[error("a water density of {0} kg/m3: it must be more than zero")]
    WaterDensity(f64),
    /// The calculation did not find how it lies, in so many tries.
    #[error(
        "how it lies was not found in {0} tries: check its sizes and weights, or read it once more"
    )]
    Unsettled(u32),
}
