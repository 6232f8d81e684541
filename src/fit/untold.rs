//! What a reading does not tell, and how well it is known then.

use super::estimate::Unknown;
use super::problem::Errors;
use crate::boat::Mark;
use crate::float::FloatModel;
use crate::reading::{Reading, Seen};

/// What the figures say nothing of: trim without two marks apart or a trim angle, list likewise,
/// mass without the water at any mark.
pub(super) fn untold(model: &FloatModel, reading: &Reading) -> Vec<Unknown> {
    let size = model.bounds().size();
    let span = |coordinate: fn(&Mark) -> f64| {
        let places = reading.observations.iter().filter_map(|o| match &o.seen {
            Seen::WaterAtMark { mark, .. } => Some(coordinate(mark)),
            _ => None,
        });
        let (low, high) =
            places.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
        high - low
    };
    let seen = |wanted: fn(&Seen) -> bool| reading.observations.iter().any(|o| wanted(&o.seen));
    let told = |unknown: &Unknown| match unknown {
        Unknown::Mass => seen(|s| matches!(s, Seen::WaterAtMark { .. } | Seen::Residual(_))),
        Unknown::Along => {
            seen(|s| matches!(s, Seen::Trim(_))) || span(|m| m.at.x()) > 0.05 * size.x
        }
        Unknown::Across => {
            seen(|s| matches!(s, Seen::List(_))) || span(|m| m.at.y()) > 0.1 * size.y
        }
    };
    Unknown::ALL.into_iter().filter(|u| !told(u)).collect()
}

/// True for an error that is held at the model's value.
pub(super) fn is_held(which: usize, untold: &[Unknown]) -> bool {
    Unknown::ALL.get(which).is_some_and(|u| untold.contains(u))
}

/// What is held is known only as well as such boats are built: mass to a twentieth, balance to a
/// fiftieth of the length and a twentieth of the beam. Common practice, no source.
pub(super) fn prior_of_the_untold(model: &FloatModel, wide: Errors, untold: &[Unknown]) -> Errors {
    let size = model.bounds().size();
    let held = [0.05 * model.mass(), 0.02 * size.x, 0.05 * size.y, wide[3]];
    std::array::from_fn(|k| if is_held(k, untold) { held[k] } else { wide[k] })
}
