//! The plan itself: by what it is chosen, in pieces that can be cut, and how the boat lies with them.

use super::agree::{Agreed, Agreement, agreed, let_out};
use super::bound::Binding;
use super::built::Built;
use super::demanded::Demanded;
use super::judge::outside;
use super::relax::Relaxation;
use super::round::rounded;
use super::state::{Lies, PlanState};
use super::task::{Loading, Objective, PlanError, PlanTask};
use super::weighing::Weighing;
use crate::ballast::aim::{AT_THE_MARK, LEVEL};
use crate::float::{
    Basin, FloatModel, Outcome, Stiffness, Tolerance, hang, release, upright_stiffness,
};
use crate::frame::Pose;
use crate::unit::{GRAM, MILLIMETRE};

/// A demand that a boat does not meet within what can be read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// Which demand.
    pub what: Demanded,
    /// By how much: of the weight afloat the water at the worse end, metres, and under water kg; of the moments the
    /// angle, radians; of GM, BG and stiffness the shortfall, metres.
    pub by: f64,
}

/// How the boat lies in a state with the plan's pieces on it, as real solids.
#[derive(Debug, Clone, PartialEq)]
pub struct StateAfter {
    /// The share of each of its free fills.
    pub fills: Vec<f64>,
    /// How it lies, let go upright; on the way it is held upright.
    pub pose: Pose,
    /// GM, or BG less what slack tanks take, across and along.
    pub stiffness: Stiffness,
    /// The centre of buoyancy over that of gravity under water, metres.
    pub bg: Option<f64>,
    /// Mass beyond what the water carries wholly under, kg.
    pub residual: f64,
    /// Demands that it misses.
    pub misses: Vec<Miss>,
}

/// A plan in pieces that can be cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// What goes where.
    pub loading: Loading,
    /// What binds it, by what price: of the exact masses, before they are rounded.
    pub binding: Vec<Binding>,
    /// How the boat lies then, by state.
    pub after: Vec<StateAfter>,
    /// What must give where not all demands can be met at once: then it is the nearest plan.
    pub relaxation: Option<Relaxation>,
}

impl Plan {
    /// True when the boat meets every demand with it, within what can be read, and none had to give.
    pub fn is_right(&self) -> bool {
        self.relaxation.is_none() && self.after.iter().all(|state| state.misses.is_empty())
    }
}

/// Trials to let the demands out far enough.
const TRIALS: u32 = 12;
/// How much further than it says a demand is let out that gave before: what is left of it shrinks step by step.
const FURTHER: f64 = 1.5;
/// By how much GM, BG and stiffness may fall short, metres: no reading tells less.
const SHORT: f64 = 0.1 * MILLIMETRE;
/// How heavy or light a boat may be under water, kg: half of what is cut.
const HEAVY: f64 = 0.5 * GRAM;
/// Of what is used again, so much of its mass is saved: a shift counts as half of what adding does.
const SHIFTED: f64 = 1.5;
/// How much more mass the most stability may take than the least mass.
const FOR_STABILITY: f64 = 1.5;
/// What height counts against mass where stability is wanted, per metre: far more than mass.
const HEIGHT_COUNTS: f64 = 100.0;
/// A weight of the size of this costs as much as two pieces where few are wanted, kg.
const A_PIECE: f64 = 5.0 * GRAM;

/// The best plan for a task by an objective. Where the demands cannot all be met, the plan that is nearest if they give,
/// with what gives.
///
/// # Errors
/// [`PlanError`] for a task that cannot be calculated.
pub fn plan(task: &PlanTask, objective: Objective) -> Result<Plan, PlanError> {
    task.check()?;
    let mut wider = task.clone();
    let mut gave: Option<Relaxation> = None;
    for _ in 0..TRIALS {
        match by(&wider, objective)? {
            Agreement::Plan(found) => return finished(task, &found, gave),
            // What gives changes how the boat lies, and with that what must give: it may be a little more.
            Agreement::CannotBeMet(relaxation) => {
                let further = if gave.is_none() { 1.0 } else { FURTHER };
                let relaxation = relaxation.times(further);
                wider = let_out(&wider, &relaxation);
                gave = Some(match gave {
                    Some(gave) => gave.and(relaxation),
                    None => relaxation,
                });
            }
        }
    }
    Err(PlanError::Unsolved)
}

fn by(task: &PlanTask, objective: Objective) -> Result<Agreement, PlanError> {
    match objective {
        Objective::LeastMass => agreed(task, &Weighing::MASS),
        Objective::LeastChange => agreed(task, &Weighing { reuse: SHIFTED, ..Weighing::MASS }),
        Objective::FewestPieces => match agreed(&with_few(task)?, &Weighing::MASS)? {
            // So few may serve the linear form and not the boat itself.
            Agreement::CannotBeMet(_) => agreed(task, &Weighing::MASS),
            few @ Agreement::Plan(_) => Ok(few),
        },
        Objective::MostStability => match agreed(task, &Weighing::MASS)? {
            Agreement::Plan(least) => {
                let most = Some(FOR_STABILITY * least.loading.changed_mass() + GRAM);
                let stiff = Weighing { height: HEIGHT_COUNTS, most, ..Weighing::MASS };
                match agreed(task, &stiff)? {
                    Agreement::Plan(stiff) => Ok(Agreement::Plan(stiff)),
                    Agreement::CannotBeMet(_) => Ok(Agreement::Plan(least)),
                }
            }
            none @ Agreement::CannotBeMet(_) => Ok(none),
        },
    }
}

/// The task with only those pieces that few of them need: small ones are made dear first, then each is tried without.
fn with_few(task: &PlanTask) -> Result<PlanTask, PlanError> {
    let least = |task: &PlanTask, weighing: &Weighing| {
        let built = Built::of(task, &task.states, None, weighing)?;
        Ok::<_, PlanError>(built.best()?.map(|(loading, _)| loading))
    };
    let Some(mut found) = least(task, &Weighing::MASS)? else { return Ok(task.clone()) };
    for _ in 0..2 {
        let mut add = Vec::new();
        for (slot, place) in task.slots.iter().enumerate() {
            for &item in &place.takes {
                let own = found.pieces.iter().find(|p| p.slot == slot && p.item == item);
                let mass = own.map_or(0.0, |piece| piece.mass);
                add.push(((slot, item), A_PIECE / (mass + A_PIECE)));
            }
        }
        match least(task, &Weighing { add, ..Weighing::MASS })? {
            Some(next) => found = next,
            None => break,
        }
    }
    let mut few = only(task, &found);
    // The lightest first: each that can be left out is.
    for _ in 0..found.pieces.len() {
        let mut by_mass = found.pieces.clone();
        by_mass.sort_by(|a, b| a.mass.total_cmp(&b.mass));
        let mut left = None;
        for piece in by_mass {
            let mut without = few.clone();
            without.slots[piece.slot].takes.retain(|item| *item != piece.item);
            if let Some(next) = least(&without, &Weighing::MASS)? {
                left = Some((without, next));
                break;
            }
        }
        let Some((task, next)) = left else { break };
        (few, found) = (only(&task, &next), next);
    }
    Ok(few)
}

/// The task with only those stock items in each slot that lie there.
fn only(task: &PlanTask, loading: &Loading) -> PlanTask {
    let mut few = task.clone();
    for (slot, place) in few.slots.iter_mut().enumerate() {
        place.takes.retain(|item| {
            loading.pieces.iter().any(|piece| piece.slot == slot && piece.item == *item)
        });
    }
    few
}

fn finished(
    task: &PlanTask,
    found: &Agreed,
    relaxation: Option<Relaxation>,
) -> Result<Plan, PlanError> {
    let mut wanted = task.clone();
    wanted.states.clone_from(&found.states);
    let loading = rounded(&wanted, found)?;
    let after = lies(task, &loading)?;
    Ok(Plan { loading, binding: found.binding.clone(), after, relaxation })
}

/// How a boat lies in each state of a task with a loading, and what it misses.
///
/// # Errors
/// [`PlanError`] when a piece cannot be made, or the boat finds no balance.
pub fn lies(task: &PlanTask, loading: &Loading) -> Result<Vec<StateAfter>, PlanError> {
    let of = |(k, state): (usize, &PlanState)| {
        let fills = loading.fills.get(k).cloned().unwrap_or_default();
        let laden = loading.done_to(&state.boat, task)?;
        let boat = state.filled_of(&laden, &fills)?;
        after(state, &boat, fills)
    };
    task.states.iter().enumerate().map(of).collect()
}

fn after(state: &PlanState, boat: &FloatModel, fills: Vec<f64>) -> Result<StateAfter, PlanError> {
    let (basin, fine) = (Basin::deep(state.density), &Tolerance::FINE);
    let residual = boat.residual_mass(state.density);
    let mut misses = Vec::new();
    let mut miss = |what: Demanded, by: f64| {
        // Written so that what is no number is missed too.
        let is_met = by <= 0.0;
        if !is_met {
            misses.push(Miss { what, by });
        }
    };
    let leans = |moment: f64, angle: f64| {
        if moment.is_finite() { angle.abs() - LEVEL } else { 0.0 }
    };
    let short = |least: Option<f64>, got: f64| least.map_or(0.0, |least| least - SHORT - got);
    let (pose, stiffness, bg) = match state.lies {
        Lies::Under => {
            let hangs = hang(boat, basin, fine)?;
            miss(Demanded::Weight, outside(residual, state.weight).abs() - HEAVY);
            miss(Demanded::ListMoment, leans(state.list_moment, hangs.pose.heel()));
            miss(Demanded::TrimMoment, leans(state.trim_moment, hangs.pose.trim()));
            miss(Demanded::Bg, short(state.bg, hangs.bg));
            miss(Demanded::Across, short(state.stiffness, hangs.stiffness.across));
            miss(Demanded::Along, short(state.stiffness, hangs.stiffness.along));
            (hangs.pose, hangs.stiffness, Some(hangs.bg))
        }
        Lies::Afloat(wanted) => {
            let lies = release(boat, basin, fine)?;
            let pose = lies.pose();
            // What sinks is at no mark.
            let at_ends = match lies {
                Outcome::Floats(_) => off_at_the_ends(boat, wanted, pose),
                Outcome::Neutral(_) | Outcome::Sinks(_) => f64::INFINITY,
            };
            miss(Demanded::Weight, at_ends - AT_THE_MARK);
            miss(Demanded::ListMoment, leans(state.list_moment, pose.heel()));
            miss(Demanded::TrimMoment, leans(state.trim_moment, pose.trim() - wanted.trim()));
            miss(Demanded::Gm, short(state.gm, lies.stiffness().across));
            (pose, lies.stiffness(), None)
        }
        Lies::OnTheWay(_) => {
            let (stiffness, pose) = upright_stiffness(boat, basin, None, fine)?;
            let floats = residual < 0.0;
            miss(Demanded::Gm, short(state.gm.filter(|_| floats), stiffness.across));
            (pose, stiffness, None)
        }
    };
    Ok(StateAfter { fills, pose, stiffness, bg, residual, misses })
}

/// How far the water lies from where it should at the boat's ends, metres: the worse of the two.
fn off_at_the_ends(boat: &FloatModel, wanted: Pose, got: Pose) -> f64 {
    let bounds = boat.bounds();
    let off = |x: f64| (got.water_height_at(x, 0.0) - wanted.water_height_at(x, 0.0)).abs();
    off(bounds.low.x).max(off(bounds.high.x))
}
