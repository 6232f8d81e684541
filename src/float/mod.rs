//! How a boat floats: its attitude as a minimum of potential energy, its stability, and what
//! changes while a tank fills.

mod attitudes;
mod balance;
mod boat_errors;
mod changed;
mod composition;
mod draining;
mod equilibrium;
mod flooding;
mod heave;
mod leak;
mod liquid;
mod model;
mod outcome;
mod problem;
mod righting;
mod sensitivity;
mod settle;
mod stability;
mod sweep;
mod transition;

pub use attitudes::{AttitudeKind, MOST_NAMED, OtherAttitude, OtherAttitudes, other_attitudes};
pub use boat_errors::{BoatErrors, N_ERRORS, UncertainWeight};
pub use composition::{Composition, LiquidEffect, composition};
pub use equilibrium::{Basin, hang, release, settle_from, stable_attitudes};
pub use flooding::{Flooding, Heading, Order};
pub use heave::heave;
pub use liquid::Container;
pub use model::FloatModel;
pub use outcome::{Afloat, NEUTRAL, Outcome, Submerged};
pub use problem::{BoatError, PartProblem};
pub use righting::{RightingLever, righting_lever, righting_lever_under, upright_stiffness};
pub use sensitivity::{
    Imbalance, PoseChange, Push, Sensitivity, at_rest, imbalance, push_between, push_of_fill,
    sensitivity,
};
pub use settle::{Report, StopReason, Tolerance};
pub use stability::{Stiffness, stiffness_under};
pub use sweep::{Event, Happening, Sweep, SweepRow};
pub use transition::{Passage, Steps, sweep};
