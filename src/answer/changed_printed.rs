//! What changed, as it is printed: figures in SI and degrees.

use super::changed::{Change, Suspect, SuspectKind};
use crate::fit::Estimate;
use crate::reading::{Reading, Seen};
use crate::unit::DEGREE;
use serde::Serialize;

/// A value and one standard deviation.
type ValueAndSpread = [f64; 2];

/// What changed since the boat was read before, and what may have happened, the likeliest first.
#[derive(Debug, Serialize)]
pub(super) struct ChangedPrinted {
    mass_kg: Option<ValueAndSpread>,
    x_m: Option<ValueAndSpread>,
    y_m: Option<ValueAndSpread>,
    candidates: Vec<CandidatePrinted>,
}

#[derive(Debug, Serialize)]
struct CandidatePrinted {
    what: &'static str,
    name: Option<String>,
    amount_kg: Option<ValueAndSpread>,
    read_too_much: Option<ValueAndSpread>,
    chi_squared: f64,
    probability: f64,
}

impl ChangedPrinted {
    pub(super) fn of(change: &Change, suspects: &[Suspect], reading: &Reading) -> Self {
        let pair = |estimate: &Estimate| [estimate.value, estimate.spread];
        let found = change.found.as_ref();
        let place = |k: usize| found?.at.as_ref()?.get(k).map(pair);
        let candidates = suspects.iter().map(|s| CandidatePrinted::of(s, reading));
        Self {
            mass_kg: found.map(|found| pair(&found.mass)),
            x_m: place(0),
            y_m: place(1),
            candidates: candidates.collect(),
        }
    }
}

impl CandidatePrinted {
    fn of(suspect: &Suspect, reading: &Reading) -> Self {
        let Suspect { what, amount, chi_squared, probability } = suspect;
        let seen = match what {
            SuspectKind::Misread(figure) => reading.observations.get(*figure).map(|o| &o.seen),
            _ => None,
        };
        let (word, name) = match what {
            SuspectKind::WaterInside(name) => ("water_inside", Some(name.clone())),
            SuspectKind::TankHoldsLess(name) => ("tank_holds_less", Some(name.clone())),
            SuspectKind::TankHoldsMore(name) => ("tank_holds_more", Some(name.clone())),
            SuspectKind::AirInside(name) => ("air_inside", Some(name.clone())),
            SuspectKind::DrainsBadly(name) => ("drains_badly", Some(name.clone())),
            SuspectKind::LeftAshore(name) => ("left_ashore", Some(name.clone())),
            SuspectKind::PutOn => ("put_on", None),
            SuspectKind::Gone => ("gone", None),
            SuspectKind::Moved => ("moved", None),
            SuspectKind::Misread(_) => ("misread", seen.map(figure_name)),
        };
        let unit = if seen.is_some_and(Seen::is_angle) { DEGREE } else { 1.0 };
        let is_mass = !matches!(what, SuspectKind::Misread(_) | SuspectKind::Moved);
        let in_unit = |unit: f64| [amount.value / unit, amount.spread / unit];
        Self {
            what: word,
            name,
            amount_kg: is_mass.then(|| in_unit(1.0)),
            read_too_much: seen.map(|_| in_unit(unit)),
            chi_squared: *chi_squared,
            probability: *probability,
        }
    }
}

/// A figure by name.
pub(super) fn figure_name(seen: &Seen) -> String {
    match seen {
        Seen::WaterAtMark { mark, .. } => format!("mark {}", mark.name),
        Seen::List(_) => "list".to_owned(),
        Seen::Trim(_) => "trim".to_owned(),
        Seen::Residual(_) => "residual".to_owned(),
    }
}
