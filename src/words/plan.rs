//! Why there is no plan, in words.

use super::{model, t};
use trimwright::ballast::plan::PlanError;

/// Why there is none. What the app asks for is sound: what is left is the boat, and the search.
pub(crate) fn problem(why: &PlanError) -> String {
    match why {
        PlanError::Boat(why) => model::boat(why),
        PlanError::NothingToChoose => t!("plan.nowhere"),
        _ => t!("plan.no_end"),
    }
}
