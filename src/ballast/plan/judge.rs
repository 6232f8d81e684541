//! How far a boat with a plan's pieces on it, as real solids, is from what is demanded of it.

use super::demanded::Demanded;
use super::state::{Lies, PlanState};
use super::task::{Loading, PlanError, PlanTask};
use crate::float::{Basin, NEUTRAL, Tolerance, upright_stiffness};
use crate::unit::{DEGREE, MILLIMETRE};

/// To what plan and exact model agree: the water at a mark, metres.
const MARK: f64 = 0.1 * MILLIMETRE;
/// The same for an angle, radians.
const ANGLE: f64 = 0.05 * DEGREE;
/// The same for GM and BG, metres.
const STIFFNESS: f64 = 0.02 * MILLIMETRE;

/// What a demand lacks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lack {
    /// Of which state, by number.
    pub(super) state: usize,
    /// Which demand.
    pub(super) what: Demanded,
    /// What is demanded less what is reached, kg or kg·m; nothing within its limits.
    pub(super) amount: f64,
    /// The same as a share of what 0.1 mm at the marks, 0.05° or 0.02 mm of GM or BG come to.
    pub(super) of_tolerance: f64,
}

/// How far a sum lies outside its limits; the sign is that of what is missing.
pub(super) fn outside(value: f64, [low, high]: [f64; 2]) -> f64 {
    if value < low {
        low - value
    } else if value > high {
        high - value
    } else {
        0.0
    }
}

/// What each demand is held to, kg or kg·m, in the order of [`Demanded::ALL`], where a boat in a state has this mass
/// (kg), waterplane (kg per metre of height) and stiffness (kg·m) across and along.
pub(super) fn tolerances(mass: f64, waterplane: f64, stiffness: [f64; 2]) -> [f64; 7] {
    let least = STIFFNESS * mass;
    let turning = stiffness.map(|s| (s * ANGLE).max(least * ANGLE));
    [(waterplane * MARK).max(NEUTRAL), turning[0], turning[1], least, least, least, least]
}

/// What each demand of a task lacks with a loading put into the exact model.
///
/// # Errors
/// [`PlanError`] when a piece cannot be made.
pub(super) fn lacks(
    task: &PlanTask,
    states: &[PlanState],
    loading: &Loading,
) -> Result<Vec<Lack>, PlanError> {
    let mut all = Vec::new();
    for (k, state) in states.iter().enumerate() {
        let laden = loading.done_to(&state.boat, task)?;
        let fills = loading.fills.get(k).map_or(&[][..], Vec::as_slice);
        let boat = state.filled_of(&laden, fills)?;
        let effect = state.of_boat(&boat);
        let pose = state.pose();
        let waterplane = match state.lies {
            Lies::Under => 0.0,
            Lies::Afloat(_) | Lies::OnTheWay(_) => boat.wet(pose).waterplane.area * state.density,
        };
        let over = -pose.up().dot(&effect.moment);
        let held = tolerances(effect.mass, waterplane, effect.surfaces.map(|s| s + over));
        for (what, tolerance) in Demanded::ALL.into_iter().zip(held) {
            let Some(limits) = what.limits(state) else { continue };
            let amount = outside(what.of(state, &effect), limits);
            all.push(Lack { state: k, what, amount, of_tolerance: amount.abs() / tolerance });
        }
    }
    Ok(all)
}

/// The states with those on the way put into the pose that the laden boat has there, upright; one that does not float
/// there has no demand.
///
/// # Errors
/// [`PlanError`] when a piece cannot be made, or a boat finds no balance.
pub(super) fn on_the_way(task: &PlanTask, loading: &Loading) -> Result<Vec<PlanState>, PlanError> {
    let mut states = task.states.clone();
    for state in &mut states {
        let Lies::OnTheWay(_) = state.lies else { continue };
        let laden = loading.done_to(&state.boat, task)?;
        if laden.residual_mass(state.density) >= -NEUTRAL {
            state.gm = None;
            continue;
        }
        let basin = Basin::deep(state.density);
        let (_, pose) = upright_stiffness(&laden, basin, None, &Tolerance::FINE)?;
        state.lies = Lies::OnTheWay(pose);
    }
    Ok(states)
}
