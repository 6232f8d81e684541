//! A reading as it would have been without what lay aboard for it.

use super::forecast::Forecast;
use crate::fit::Fit;
use crate::reading::{Observation, Reading, Seen};

/// The same reading without what lay aboard: from each figure is taken what that does to the boat
/// as it was found (`fit`), which lies by itself as `now` says. The spreads stay those of the reading.
///
/// So two readings can be compared although the phone was on deck for one of them only.
#[must_use]
pub fn by_itself(reading: &Reading, fit: &Fit, now: &Forecast) -> Reading {
    let density = reading.water_density;
    let aboard: f64 = reading.aboard.iter().map(|a| a.weighs_under(density)).sum();
    let alone = |observation: &Observation| {
        let seen = &observation.seen;
        let laden = seen.in_pose(fit.pose, now.residual + aboard);
        let by = seen.in_pose(now.pose, now.residual) - laden;
        let seen = match seen {
            Seen::WaterAtMark { mark, above } => {
                Seen::WaterAtMark { mark: mark.clone(), above: above + by }
            }
            Seen::List(list) => Seen::List(list + by),
            Seen::Trim(trim) => Seen::Trim(trim + by),
            Seen::Residual(mass) => Seen::Residual(mass + by),
        };
        Observation { seen, spread: observation.spread }
    };
    if reading.aboard.is_empty() {
        return reading.clone();
    }
    Reading {
        aboard: Vec::new(),
        observations: reading.observations.iter().map(alone).collect(),
        aside: reading.aside.iter().map(alone).collect(),
        ..reading.clone()
    }
}
