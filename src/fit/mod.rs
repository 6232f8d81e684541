//! From readings back to how far the boat is off: mass and centre of gravity, each with its ±.

mod back_solve;
mod before;
mod chi_squared;
mod described;
mod estimate;
mod help;
mod inclining;
mod known;
mod line;
mod on_the_way;
mod problem;
mod way_search;

pub use back_solve::{
    Contradiction, Fit, FitError, Lean, ModelSpread, back_solve, back_solve_from,
};
pub use chi_squared::chi_squared_95;
pub use estimate::{Estimate, Unknown};
pub use help::Help;
pub use inclining::{InclineError, Inclining, WeightMove, inclining};
pub use known::Known;
pub use line::{Line, LineError, fit_line};
pub use on_the_way::{ANGLE_BY_EYE, FILL_BY_TIME, LeanSeen, WayFit, WayFitError, fit_on_the_way};
