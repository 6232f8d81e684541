//! What makes a boat right before it is ever wet, in words.

use super::advice_text::{lower_example, on_the_bench};
use super::both_text::under;
use super::text::{lies, liquid, whole_grams};
use crate::state::BoatInHand;
use crate::words::t;
use trimwright::ballast::{Ballasting, Shortfall};

/// What is to be done and how the boat lies then.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct BallastSaid {
    /// What is to be done: what, and where.
    pub(crate) steps: Vec<[String; 2]>,
    /// How it lies then, afloat and under, and whether that is right.
    pub(crate) lies: Vec<(bool, String)>,
    /// Why that is not right yet.
    pub(crate) short: Option<String>,
}

/// What makes the boat in hand right.
pub(crate) fn ballast(found: &Ballasting, hand: &BoatInHand) -> BallastSaid {
    let part = found.shifted.and_then(|k| hand.movable.get(k)).map(|part| part.name.as_str());
    let after = &found.after;
    let afloat = t!("both.afloat", lies = lies(&after.afloat, &[]));
    let short = found.short.map(|short| match short {
        Shortfall::Tank { lacking } => t!("ballast.tank", volume = liquid(lacking)),
        Shortfall::TooHeavy { mass } => t!("ballast.too_heavy", mass = whole_grams(mass)),
        Shortfall::Lower { moment } => t!("ballast.lower", example = lower_example(moment)),
        Shortfall::OutOfReach => t!("ballast.out_of_reach"),
    });
    BallastSaid {
        steps: found.steps.iter().map(|step| on_the_bench(step, part, hand.datum)).collect(),
        lies: vec![(after.is_right_afloat(), afloat), (after.is_right_under(), under(after))],
        short,
    }
}
