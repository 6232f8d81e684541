//! From "how far the boat is off" to "what to do": data, not text.

mod advice;
mod aim;
mod both;
mod both_conditions;
mod by_itself;
mod described;
mod forecast;
mod need;
mod outlook;
pub mod plan;
mod prediction;
mod target;
mod weight;

pub(crate) use advice::LIES_OVER;
pub use advice::{Advice, Remedy, Step, Verdict, advise};
pub use aim::{Aim, DivingFill, LEVEL, Least, UnderAim};
pub use both::{ConditionFits, Demand, ForBoth, for_both};
pub use both_conditions::BothConditions;
pub use by_itself::by_itself;
pub use described::{Ballasting, MovablePart, Shortfall, Stores, ballast_for};
pub use forecast::{Forecast, MarkForecast, forecast};
pub use need::Need;
pub(crate) use outlook::NO_GM;
pub use outlook::{InitialStability, Outlook, TankNeed, UnderOutlook, half_full_gm, outlook};
pub use prediction::{MarkPrediction, Prediction, predict};
pub use target::Target;
pub use weight::Weight;
pub(crate) use weight::floats;
