//! A plan: which ballast goes where so that a boat is right in all its states at once.

mod columns;
mod demanded;
mod linear;
mod linear_plan;
mod slot;
mod state;
mod stock;
mod task;

pub use demanded::Demanded;
pub use linear_plan::{
    Binding, Bound, Given, LinearAnswer, LinearPlan, Relaxation, linear_plan, relaxation,
};
pub use slot::{Reach, Slot, SlotLimit};
pub use state::{FreeFill, Lies, PlanState};
pub use stock::{Form, Section, StockItem};
pub use task::{Loading, Objective, Placed, PlanError, PlanTask, Removable};
