//! The way down and up: where a boat is worst on it, why, and what would cure it.

mod cause;
mod change;
mod cure;
mod gm_loss;
mod lean;
mod plan;
mod room;
mod summary;
mod way;

pub use cause::{LeanCause, LeanCauses, LeanOrigin, WeightItem, lean_causes};
pub use change::{Change, ChangeError};
pub use cure::{Cure, CureKind, LeaningBoat, candidates};
pub use gm_loss::{GmLoss, LossCause, Moment, gm_loss};
pub use lean::lean_of;
pub use plan::{Plan, USUAL_BLOW, USUAL_DRAIN, USUAL_FLOOD};
pub use summary::{CureEffect, LEANS, Summary, WayEnd, WayFigure, WorstPoints, rank, swing};
pub use way::Way;
