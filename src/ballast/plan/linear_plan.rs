//! The plan as a linear programme: what must be put where, what binds, and what must give where nothing serves.

use super::bound::Binding;
use super::built::Built;
use super::demanded::Demanded;
use super::relax::Relaxation;
use super::task::{Loading, PlanError, PlanTask};
use super::weighing::Weighing;

/// A plan as the linear programme has it.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearPlan {
    /// What is put where.
    pub loading: Loading,
    /// What binds, and by what price.
    pub binding: Vec<Binding>,
}

/// What the linear programme comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum LinearAnswer {
    /// All demands are met.
    Met(LinearPlan),
    /// They cannot be met at once.
    CannotBeMet,
}

/// The least mass that meets all demands of a task, as a linear programme: what lies across the water's surface counts
/// as its first gram does, and a free tank's liquid has the height that it has when it is as full as it may be.
///
/// # Errors
/// [`PlanError`] for a task that cannot be calculated.
pub fn linear_plan(task: &PlanTask) -> Result<LinearAnswer, PlanError> {
    task.check()?;
    let built = Built::of(task, &task.states, None, &Weighing::EXACTLY_MASS)?;
    Ok(match built.best()? {
        Some((loading, found)) => {
            LinearAnswer::Met(LinearPlan { loading, binding: built.binding(&found) })
        }
        None => LinearAnswer::CannotBeMet,
    })
}

/// The least by which the demands of a task must give, at these prices per kg or kg·m of each demand of each state
/// (by number).
///
/// # Errors
/// [`PlanError`] for a task that cannot be calculated.
pub fn relaxation(
    task: &PlanTask,
    price: &dyn Fn(usize, Demanded) -> f64,
) -> Result<Relaxation, PlanError> {
    task.check()?;
    Built::of(task, &task.states, None, &Weighing::EXACTLY_MASS)?.relaxed(price)
}
