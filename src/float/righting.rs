//! Righting levers at a held heel, with the trim free.

use super::balance::Support;
use super::equilibrium::{Basin, floats};
use super::heave::heave;
use super::model::FloatModel;
use super::problem::BoatError;
use super::settle::{DescentResult, Freedom, Tolerance, settle};
use super::stability::Stiffness;
use crate::frame::{Pose, up_from_angles};

/// One point of the righting-lever curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RightingLever {
    /// The heel at which the boat is held, radians.
    pub heel: f64,
    /// GZ, metres: positive when it turns the boat back towards upright.
    pub lever: f64,
    /// The trim that the boat takes up, radians.
    pub trim: f64,
}

/// The righting lever with the boat held at `heel` (radians), displacement constant, trim free;
/// a boat that does not float is held wholly under.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive.
pub fn righting_lever(
    model: &FloatModel,
    basin: Basin,
    heel: f64,
    tolerance: &Tolerance,
) -> Result<RightingLever, BoatError> {
    let support = support_of(model, basin)?;
    Ok(lever_of(&held_at(model, basin, heel, support, tolerance)?, heel))
}

/// The righting lever with the boat held wholly under, whatever it weighs.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive.
pub fn righting_lever_under(
    model: &FloatModel,
    basin: Basin,
    heel: f64,
    tolerance: &Tolerance,
) -> Result<RightingLever, BoatError> {
    basin.check()?;
    Ok(lever_of(&held_at(model, basin, heel, Support::Held, tolerance)?, heel))
}

/// The metacentric heights with the heel held at zero and the trim free, and that trim: the GM
/// usually quoted for the upright boat, whether or not it stays upright. A pose `near` by, with
/// about its trim and height, makes it faster.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive.
pub fn upright_stiffness(
    model: &FloatModel,
    basin: Basin,
    near: Option<Pose>,
    tolerance: &Tolerance,
) -> Result<(Stiffness, Pose), BoatError> {
    let held = held_upright(model, basin, near, tolerance)?;
    Ok((held.stiffness, held.pose))
}

/// A boat with its heel held at zero and its trim free.
#[derive(Debug, Clone, Copy)]
pub(super) struct Upright {
    pub(super) stiffness: Stiffness,
    pub(super) pose: Pose,
    /// How far the centre of gravity lies to port of that of buoyancy, metres.
    pub(super) offset: f64,
}

/// See [`upright_stiffness`].
pub(super) fn held_upright(
    model: &FloatModel,
    basin: Basin,
    near: Option<Pose>,
    tolerance: &Tolerance,
) -> Result<Upright, BoatError> {
    let support = support_of(model, basin)?;
    let held = match near {
        Some(pose) => {
            let start = Pose::from_angles(pose.height(), 0.0, pose.trim());
            settle(model, basin.density, start, support, Freedom::TrimOnly, tolerance)
        }
        None => held_at(model, basin, 0.0, support, tolerance),
    };
    let DescentResult { pose, balance, .. } = held?;
    Ok(Upright {
        stiffness: Stiffness::of(&balance, pose),
        pose,
        offset: pose.axes().port.dot(&balance.by_up) / balance.mass,
    })
}

/// A boat that does not float is held wholly under.
fn support_of(model: &FloatModel, basin: Basin) -> Result<Support, BoatError> {
    basin.check()?;
    Ok(if floats(model, basin) { Support::Afloat } else { Support::Held })
}

fn lever_of(settled: &DescentResult, heel: f64) -> RightingLever {
    let DescentResult { pose, balance, .. } = settled;
    let across = pose.axes().port.dot(&balance.by_up) / balance.mass;
    RightingLever { heel, lever: if heel < 0.0 { -across } else { across }, trim: pose.trim() }
}

fn held_at(
    model: &FloatModel,
    basin: Basin,
    heel: f64,
    support: Support,
    tolerance: &Tolerance,
) -> Result<DescentResult, BoatError> {
    let up = up_from_angles(heel, 0.0);
    let start = match support {
        Support::Afloat => heave(model, basin.density, up),
        Support::Held => Pose::new(0.0, up),
    };
    settle(model, basin.density, start, support, Freedom::TrimOnly, tolerance)
}
