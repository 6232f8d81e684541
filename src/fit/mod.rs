//! From readings back to how far the boat is off: mass and centre of gravity, each with its ±.

mod change;
mod chi_squared;
mod contradiction;
mod estimate;
mod figures;
mod foretold;
mod found;
mod help;
mod joint;
mod known;
mod lean;
mod ledger;
mod lolls;
mod next;
mod problem;
mod sighting;
mod solve;
mod start;
mod untold;
mod upright;

pub use change::{ChangeTest, MassChange, Slip};
pub use chi_squared::chi_squared_99;
pub use contradiction::{Contradiction, culprit};
pub use estimate::{Estimate, Unknown};
pub use foretold::{ChangeFit, ChangeWay, Foretold};
pub use found::Fit;
pub use help::Help;
pub use joint::{FitError, JointFit, SightingFit, estimate};
pub use known::{Covariance, Errors, KnownErrors};
pub use lean::Lean;
pub use ledger::PartSpread;
pub use sighting::{DrySighting, FillRead, Sighting, WetSighting};
pub use solve::{back_solve, fit_of};
pub use upright::gm_upright;
