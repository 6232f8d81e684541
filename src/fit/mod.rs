//! From readings back to how far the boat is off: mass and centre of gravity, each with its ±.

mod back_solve;
mod before;
mod chi_squared;
mod described;
mod estimate;
mod found;
mod help;
mod inclining;
mod known;
mod lean;
mod lean_seen;
mod line;
mod model_spread;
mod on_the_way;
mod problem;
mod sighting;
mod untold;
mod way_search;

pub use back_solve::{FitError, back_solve, back_solve_from};
pub use chi_squared::chi_squared_95;
pub use estimate::{Estimate, Unknown};
pub use found::{Contradiction, Fit};
pub use help::Help;
pub use inclining::{InclineError, Inclining, WeightMove, inclining};
pub use known::KnownErrors;
pub use lean::Lean;
pub use lean_seen::{ANGLE_BY_EYE, FILL_BY_TIME, LeanSeen};
pub use line::{FittedLine, LineError, fit_line};
pub use model_spread::ModelSpread;
pub use on_the_way::{WayFit, WayFitError, fit_on_the_way, fit_on_the_way_with};
