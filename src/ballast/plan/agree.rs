//! The linear programme and the exact model, one after the other until they agree.

use super::bound::Binding;
use super::built::Built;
use super::demanded::Demanded;
use super::judge::{Lack, lacks, on_the_way};
use super::relax::Relaxation;
use super::state::PlanState;
use super::task::{Loading, PlanError, PlanTask};
use super::weighing::Weighing;

/// A plan on which programme and exact model agree, as well as they come to.
#[derive(Debug, Clone)]
pub(super) struct Agreed {
    pub(super) loading: Loading,
    /// The states, those on the way as the laden boat lies there.
    pub(super) states: Vec<PlanState>,
    pub(super) binding: Vec<Binding>,
    pub(super) lacks: Vec<Lack>,
}

/// What comes of it.
#[derive(Debug, Clone)]
pub(super) enum Agreement {
    Plan(Agreed),
    /// The demands cannot be met at once: what must give.
    CannotBeMet(Relaxation),
}

/// Rounds between the two; two or three do unless a piece pierces the water's surface.
const ROUNDS: usize = 8;

impl Agreed {
    /// The worst that a demand lacks, as a share of what it is held to.
    pub(super) fn worst(&self) -> f64 {
        self.lacks.iter().map(|lack| lack.of_tolerance).fold(0.0, f64::max)
    }
}

/// The best plan, in real solids.
///
/// # Errors
/// [`PlanError`] for a task that cannot be calculated.
pub(super) fn agreed(task: &PlanTask, weighing: &Weighing) -> Result<Agreement, PlanError> {
    let mut states = on_the_way(task, &Loading::default())?;
    let mut near: Option<Loading> = None;
    let mut best: Option<Agreed> = None;
    for round in 0..ROUNDS {
        let built = Built::of(task, &states, near.as_ref(), weighing)?;
        let Some((loading, found)) = built.best()? else {
            // What served once, and lacks next to nothing, serves.
            return Ok(match best.take().filter(|best| best.worst() <= 1.0) {
                Some(best) => Agreement::Plan(best),
                None => Agreement::CannotBeMet(built.relaxed(&usual_price)?),
            });
        };
        let laden = on_the_way(task, &loading)?;
        let lacks = lacks(task, &laden, &loading)?;
        let mut next = Agreed { loading: loading.clone(), states: laden, binding: vec![], lacks };
        let agrees = next.worst() <= 1.0;
        let is_last = (agrees && round > 0) || round + 1 == ROUNDS;
        if is_last {
            next.binding = built.binding(&found);
        }
        states.clone_from(&next.states);
        if best.as_ref().is_none_or(|best| agrees || next.worst() < best.worst()) {
            best = Some(next);
        }
        if is_last {
            break;
        }
        near = Some(loading);
    }
    best.map(Agreement::Plan).ok_or(PlanError::Unsolved)
}

/// What a demand's giving costs by default, per kg or kg·m: a decimetre of lever makes a moment of a mass; what the
/// boat must be under water gives last. Common practice, no source.
pub(super) fn usual_price(_: usize, what: Demanded) -> f64 {
    match what {
        Demanded::Weight => 1.0,
        _ => 10.0,
    }
}

/// The same task with its demands let out by what must give, and a little more.
pub(super) fn let_out(task: &PlanTask, relaxation: &Relaxation) -> PlanTask {
    let mut wider = task.clone();
    for given in &relaxation.gives {
        let Some(state) = wider.states.get_mut(given.state) else { continue };
        let mass = state.boat.mass();
        let amount = given.amount.abs() * FURTHER + LITTLE;
        let less = |least: &mut Option<f64>| *least = least.map(|least| least - amount / mass);
        match given.what {
            Demanded::Weight if given.amount < 0.0 => state.weight[1] += amount,
            Demanded::Weight => state.weight[0] -= amount,
            Demanded::ListMoment => state.list_moment += amount,
            Demanded::TrimMoment => state.trim_moment += amount,
            Demanded::Gm => less(&mut state.gm),
            Demanded::Bg => less(&mut state.bg),
            Demanded::Across | Demanded::Along => less(&mut state.stiffness),
        }
    }
    wider
}

/// The same as a share of what it gives.
const FURTHER: f64 = 1.01;
/// By how much a demand that gives is let out beyond that, kg or kg·m.
const LITTLE: f64 = 1e-6;
