//! What to read next, of everything that can be read of a boat: what leaves least of the advice's ±.

use super::advised::Advised;
use super::ready_boat::ReadyBoat;
use crate::fit::{Covariance, DrySighting, Errors, Estimate, Sighting};
use crate::frame::Position;
use crate::reading::{
    ANGLE_SPREAD, Aboard, BALANCE_SPREAD, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD,
    Reading, SCALES_SHARE, SCALES_SPREAD, Seen,
};

/// What can be read besides.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NextReading {
    /// Afloat: the water at the marks, and the list.
    Afloat,
    /// Under, with full tanks: how heavy it is, list and trim.
    Under,
    /// The list afloat with a known weight to one side.
    WeightAcross,
    /// What it weighs on the scales.
    Scales,
    /// Where it balances over an edge.
    Balance,
}

impl NextReading {
    /// What it is called where the answer is printed.
    pub fn name(self) -> &'static str {
        match self {
            Self::Afloat => "afloat",
            Self::Under => "under",
            Self::WeightAcross => "weight across",
            Self::Scales => "scales",
            Self::Balance => "balance point",
        }
    }

    const ALL: [Self; 5] =
        [Self::Scales, Self::Balance, Self::Under, Self::Afloat, Self::WeightAcross];
}

/// What to read next, and how much of the ± it would leave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadNext {
    /// What.
    pub what: NextReading,
    /// What would be left of the variance of the advice, in the mean of mass, balance along and across: 0 to 1.
    pub left: f64,
}

/// The weight that is put to one side, as a share of the boat's. Common practice, no source.
const TRY_SHARE: f64 = 0.01;

/// The reading that would leave least of the advice's ±, to the first order at the boat as found. None for a boat
/// whose answers no further reading narrows.
pub fn read_next(hand: &ReadyBoat, advised: &Advised) -> Option<ReadNext> {
    let Advised { fit, reading, .. } = advised;
    let known = fit.known();
    let density = reading.water_density;
    let afloat = reading.condition == Condition::Afloat;
    let carried = density * fit.found.described_volume(afloat.then_some(fit.pose));
    let figures = [
        Errors::from([1.0, 0.0, 0.0, 0.0, -carried]),
        Errors::from([0.0, 1.0, 0.0, 0.0, 0.0]),
        Errors::from([0.0, 0.0, 1.0, 0.0, 0.0]),
    ];
    let variances = |c: &Covariance| figures.map(|by| by.dot(&(c * by)));
    let now = variances(&fit.covariance);
    let tried =
        NextReading::ALL.into_iter().filter(|what| !what.is_of(reading)).filter_map(|what| {
            let more = [what.sighting(hand, density)?];
            let after = variances(&known.after(&more)?);
            let shares = after.iter().zip(now).map(|(after, now)| after / now);
            let left = shares.sum::<f64>() / figures.len() as f64;
            left.is_finite().then_some(ReadNext { what, left })
        });
    tried.min_by(|a, b| a.left.total_cmp(&b.left))
}

impl NextReading {
    /// True for what the reading at hand is itself.
    fn is_of(self, reading: &Reading) -> bool {
        match self {
            Self::Afloat => reading.condition == Condition::Afloat,
            Self::Under => reading.condition == Condition::Under,
            Self::WeightAcross | Self::Scales | Self::Balance => false,
        }
    }

    /// What would be seen; the figures do not matter, their slopes do.
    fn sighting(self, hand: &ReadyBoat, density: f64) -> Option<Sighting> {
        let boat = hand.model.bare();
        let dry = |mass: Option<Estimate>, balance: Option<Estimate>| {
            Some(Sighting::Dry(DrySighting { boat, aboard: Vec::new(), mass, balance }))
        };
        let wet = |condition: Condition, aboard: Vec<Aboard>, seen: Vec<Seen>| {
            let observation = |seen: Seen| Observation { spread: spread(&seen), seen };
            let observations = seen.into_iter().map(observation).collect();
            let reading = Reading {
                condition,
                water_density: density,
                aboard,
                observations,
                ..Reading::default()
            };
            let fill = if condition == Condition::Under { 1.0 } else { 0.0 };
            hand.sighting(reading, fill).ok()
        };
        match self {
            Self::Scales => dry(
                Some(Estimate::new(boat.mass, SCALES_SPREAD.max(SCALES_SHARE * boat.mass))),
                None,
            ),
            Self::Balance => dry(None, Some(Estimate::new(boat.centre.x, BALANCE_SPREAD))),
            Self::Under => wet(
                Condition::Under,
                Vec::new(),
                vec![Seen::Residual(0.0), Seen::List(0.0), Seen::Trim(0.0)],
            ),
            Self::Afloat => {
                let marks = hand.boat.marks.iter().cloned();
                let marks = marks.map(|mark| Seen::WaterAtMark { mark, above: 0.0 });
                wet(Condition::Afloat, Vec::new(), marks.chain([Seen::List(0.0)]).collect())
            }
            Self::WeightAcross => {
                let high = hand.boat.places.iter().map(|place| place.z).fold(0.0, f64::max);
                let at = Position::new(0.0, hand.model.bounds().high.y / 2.0, high);
                let mass = TRY_SHARE * boat.mass;
                let weight = Aboard { name: String::new(), mass, at, off: 0.0, solid: None };
                wet(Condition::Afloat, vec![weight], vec![Seen::List(0.0)])
            }
        }
    }
}

fn spread(seen: &Seen) -> f64 {
    match seen {
        Seen::WaterAtMark { .. } => MARK_SPREAD,
        Seen::List(_) | Seen::Trim(_) => ANGLE_SPREAD,
        Seen::Residual(_) => RESIDUAL_SPREAD,
    }
}
