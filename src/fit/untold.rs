//! What no reading tells.

use super::estimate::Unknown;
use super::sighting::{DrySighting, Sighting, WetSighting};
use crate::boat::Mark;
use crate::geometry::Bounds;
use crate::reading::Seen;

impl Sighting {
    /// What its figures tell of a boat with these bounds: mass by the water at any mark, what it is heavy under
    /// water, or the scales; trim by two marks apart, an angle or the balance point; list likewise.
    pub fn tells(&self, bounds: Bounds) -> Vec<Unknown> {
        let tells = |unknown: &Unknown| match self {
            Self::Wet(wet) => wet.tells(*unknown, bounds),
            Self::Dry(dry) => dry.tells(*unknown),
        };
        Unknown::ALL.into_iter().filter(tells).collect()
    }
}

impl WetSighting {
    fn tells(&self, unknown: Unknown, bounds: Bounds) -> bool {
        let (size, seen) = (bounds.size(), &self.reading.observations);
        let span = |coordinate: fn(&Mark) -> f64| {
            let places = seen.iter().filter_map(|o| match &o.seen {
                Seen::WaterAtMark { mark, .. } => Some(coordinate(mark)),
                _ => None,
            });
            let ends = (f64::INFINITY, f64::NEG_INFINITY);
            let (low, high) = places.fold(ends, |(l, h), v| (l.min(v), h.max(v)));
            high - low
        };
        let any = |wanted: fn(&Seen) -> bool| seen.iter().any(|o| wanted(&o.seen));
        match unknown {
            Unknown::Mass => any(|s| matches!(s, Seen::WaterAtMark { .. } | Seen::Residual(_))),
            Unknown::Along => {
                any(|s| matches!(s, Seen::Trim(_))) || span(|m| m.at.x()) > 0.05 * size.x
            }
            Unknown::Across => {
                any(|s| matches!(s, Seen::List(_))) || span(|m| m.at.y()) > 0.1 * size.y
            }
        }
    }
}

impl DrySighting {
    fn tells(&self, unknown: Unknown) -> bool {
        match unknown {
            Unknown::Mass => self.mass.is_some(),
            Unknown::Along => self.balance.is_some(),
            Unknown::Across => false,
        }
    }
}
