//! A plan: which ballast goes where so that a boat is right in all its states at once.

mod agree;
mod bound;
mod built;
mod chance;
mod columns;
mod demanded;
mod for_aim;
mod judge;
mod linear;
mod linear_plan;
mod of_aim;
mod planned;
mod prices;
mod propose;
mod relax;
mod round;
mod slot;
mod state;
mod stock;
mod task;
mod weighing;

pub use bound::{Binding, Bound};
pub use chance::chance;
pub use demanded::Demanded;
pub use for_aim::{AimPlan, plan_for_aim};
pub use linear_plan::{LinearAnswer, LinearPlan, linear_plan, relaxation};
pub use of_aim::{Aimed, as_aimed, states_of};
pub use planned::{Miss, Plan, StateAfter, lies, plan};
pub use propose::proposed_slots;
pub use relax::{Given, Relaxation};
pub use slot::{Reach, Slot, SlotLimit};
pub use state::{FreeFill, Lies, PlanState};
pub use stock::{Form, Section, StockItem};
pub use task::{Loading, Objective, Placed, PlanError, PlanTask, Removable};
