//! A plan for a boat and its aim.

use super::of_aim::{Aimed, as_aimed, states_of, way_at};
use super::planned::{Plan, lies, plan};
use super::slot::Slot;
use super::state::PlanState;
use super::stock::StockItem;
use super::task::{Loading, Objective, PlanError, PlanTask, Removable};
use crate::float::{Basin, NEUTRAL, Tolerance, upright_stiffness};

/// A plan for an aim, with what was asked for.
#[derive(Debug, Clone)]
pub struct AimPlan {
    /// What the aim demands, and what there was to meet it with.
    pub task: PlanTask,
    /// The plan; how the boat lies after it is judged by the aim itself.
    pub plan: Plan,
}

/// The best plan by an objective for a boat as it was found. It keeps a little room for rounding, and for what is not
/// known of the boat's mass, if the aim leaves that. None without a mark.
///
/// # Errors
/// [`PlanError`] for what cannot be calculated.
pub fn plan_for_aim(
    aimed: &Aimed<'_>,
    slots: &[Slot],
    stock: &[StockItem],
    removable: &[Removable],
    objective: Objective,
) -> Result<Option<AimPlan>, PlanError> {
    let Some(mut states) = states_of(aimed)? else { return Ok(None) };
    if let Some(right) = as_it_is(aimed, &states, slots, stock, removable)? {
        return Ok(Some(right));
    }
    let mut looked_at: Vec<f64> = Vec::new();
    for _ in 0..WAYS {
        let made = planned(aimed, &states, slots, stock, removable, objective)?;
        let weakest = weakest(aimed, &made)?;
        // Where GM must give, the boat stays weak at a fill that was looked at.
        let Some(share) = weakest.filter(|share| !looked_at.contains(share)) else {
            return Ok(Some(made));
        };
        looked_at.push(share);
        states.push(way_at(aimed, share)?);
    }
    let mut made = planned(aimed, &states, slots, stock, removable, objective)?;
    if let Some(share) = weakest(aimed, &made)?.filter(|share| !looked_at.contains(share)) {
        // Planned for no more, but told.
        made.task.states.extend(as_aimed(aimed, vec![way_at(aimed, share)?]));
        made.plan.loading.fills.push(Vec::new());
        made.plan.after = lies(&made.task, &made.plan.loading)?;
    }
    Ok(Some(made))
}

/// The plan that does nothing, for a boat that is right: nothing is done for the sake of room that it does not need.
fn as_it_is(
    aimed: &Aimed<'_>,
    states: &[PlanState],
    slots: &[Slot],
    stock: &[StockItem],
    removable: &[Removable],
) -> Result<Option<AimPlan>, PlanError> {
    let task = task_of(aimed, states, slots, stock, removable);
    let mut fills = Vec::new();
    for state in &task.states {
        let at = |share: f64| {
            let boat = state.filled(&vec![share; state.free.len()])?;
            Ok::<_, PlanError>(boat.residual_mass(state.density))
        };
        let [blown, full] = [at(0.0)?, at(1.0)?];
        let neutral = |range: [f64; 2]| {
            let share = -blown / (full - blown);
            if share.is_nan() { range[0] } else { share.max(range[0]).min(range[1]) }
        };
        fills.push(state.free.iter().map(|free| neutral(free.range)).collect());
    }
    let removed = vec![0.0; removable.len()];
    let loading = Loading { pieces: Vec::new(), removed, fills };
    let after = lies(&task, &loading)?;
    let is_right = after.iter().all(|state| state.misses.is_empty());
    let plan = Plan { loading, binding: Vec::new(), after, relaxation: None };
    let made = AimPlan { task, plan };
    Ok(if is_right && weakest(aimed, &made)?.is_none() { Some(made) } else { None })
}

/// What the aim itself demands in these states, and what there is to meet it with.
fn task_of(
    aimed: &Aimed<'_>,
    states: &[PlanState],
    slots: &[Slot],
    stock: &[StockItem],
    removable: &[Removable],
) -> PlanTask {
    PlanTask {
        states: as_aimed(aimed, states.to_vec()),
        slots: slots.to_vec(),
        stock: stock.to_vec(),
        removable: removable.to_vec(),
    }
}

/// How often a plan is made anew because the boat is weak at a fill that was not looked at.
const WAYS: usize = 4;
/// Fills at which a plan's way is looked at.
const FILLS: u32 = 48;

fn planned(
    aimed: &Aimed<'_>,
    states: &[PlanState],
    slots: &[Slot],
    stock: &[StockItem],
    removable: &[Removable],
    objective: Objective,
) -> Result<AimPlan, PlanError> {
    let judged = task_of(aimed, states, slots, stock, removable);
    let with_room = PlanTask { states: states.to_vec(), ..judged.clone() };
    let mut found = plan(&with_room, objective)?;
    if found.relaxation.is_some() {
        found = plan(&judged, objective)?;
    }
    found.after = lies(&judged, &found.loading)?;
    if found.after.iter().all(|state| state.misses.is_empty()) {
        // What gives is less than can be read.
        found.relaxation = None;
    }
    Ok(AimPlan { task: judged, plan: found })
}

/// The fill at which the boat with a plan on it has the least GM, if that is less than the aim has.
fn weakest(aimed: &Aimed<'_>, made: &AimPlan) -> Result<Option<f64>, PlanError> {
    let laden = made.plan.loading.done_to(aimed.afloat, &made.task)?;
    if laden.n_tanks() == 0 {
        return Ok(None);
    }
    let basin = Basin::deep(aimed.density);
    let (mut least, mut weakest, mut near) = (aimed.aim.least.gm, None, None);
    for k in 1..FILLS {
        let share = f64::from(k) / f64::from(FILLS);
        let boat = laden.flooded(share, aimed.density)?;
        if boat.residual_mass(aimed.density) >= -NEUTRAL {
            break;
        }
        let (stiffness, pose) = upright_stiffness(&boat, basin, near, &Tolerance::FINE)?;
        near = Some(pose);
        if stiffness.across < least {
            (least, weakest) = (stiffness.across, Some(share));
        }
    }
    Ok(weakest)
}
