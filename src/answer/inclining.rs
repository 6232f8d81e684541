//! Inclining: readings afloat of one boat with a known weight here and there, against the line that was foretold.

use super::kept::{KeptSession, KeptSighting, KeptWhat};
use super::ready_boat::ReadyBoat;
use crate::fit::{Estimate, KnownErrors, gm_upright};
use crate::float::{Basin, FloatModel, Outcome, Tolerance, heave, settle_from};
use crate::frame::{Position, up_from_angles};
use crate::reading::{Aboard, Condition, Reading, Seen};
use nalgebra::Vector3;

/// A reading of an inclining.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InclinePoint {
    /// Moment of what lay aboard about the centre plane, to starboard, kg·m.
    pub moment: f64,
    /// The list that was read, radians, positive to starboard.
    pub list: f64,
    /// How far that is from what is foretold of this very state, in its spread.
    pub off: f64,
}

/// Readings with a known weight here and there, and what is foretold of them.
#[derive(Debug, Clone, PartialEq)]
pub struct Inclining {
    /// The readings, by their moments.
    pub points: Vec<InclinePoint>,
    /// The list that is foretold at moments from the least to the greatest: kg·m to starboard, radians.
    pub line: Vec<[f64; 2]>,
    /// GM across, upright, without the weight, metres.
    pub gm: Estimate,
}

/// Points of the line.
const STEPS: u8 = 12;
/// Moments that differ by less are the same, kg·m: a gram moved by a millimetre.
const SAME_MOMENT: f64 = 1e-6;
/// Waters whose densities differ by less are one, kg/m³.
const SAME_WATER: f64 = 0.5;
/// Fills that differ by less are one.
const SAME_FILL: f64 = 0.005;

impl Inclining {
    /// The reading that is off by more than chance leaves, if one is: three of its spreads, one in 370.
    pub fn stray(&self) -> Option<&InclinePoint> {
        let far = self.points.iter().filter(|point| point.off.abs() > 3.0);
        far.max_by(|a, b| a.off.abs().total_cmp(&b.off.abs()))
    }
}

/// The readings afloat in the state of the latest of them, with their lists, if what lay aboard differs among them;
/// `known` is what all that was seen told of the boat. None where there are not two such, or it cannot be.
pub fn inclining(hand: &ReadyBoat, kept: &[KeptSession], known: &KnownErrors) -> Option<Inclining> {
    let afloat = |seen: &KeptSighting| match &seen.what {
        KeptWhat::Reading(reading, fill) if reading.condition == Condition::Afloat => {
            Some((reading.clone(), *fill, list_of(reading)?))
        }
        _ => None,
    };
    let all: Vec<_> = kept.iter().flat_map(|s| s.sightings.iter().filter_map(afloat)).collect();
    let (last, fill, _) = all.last()?;
    let (density, fill) = (last.water_density, *fill);
    let is_same = |other: &Reading, of: f64| {
        (other.water_density - density).abs() < SAME_WATER && (of - fill).abs() < SAME_FILL
    };
    let model = hand.model.flooded(fill, density).ok()?;
    let found = model.with_errors(&known.errors.into()).ok()?;
    let basin = Basin::deep(density);
    let points = all.iter().filter(|(reading, fill, _)| is_same(reading, *fill));
    let points = points.filter_map(|(reading, _, [list, spread])| {
        let laden = laden(&found, &reading.aboard)?;
        let foretold = heel(&laden, basin, *list)?;
        let off = (list - foretold) / spread;
        Some(InclinePoint { moment: moment(&reading.aboard), list: *list, off })
    });
    let mut points: Vec<InclinePoint> = points.collect();
    points.sort_by(|a, b| a.moment.total_cmp(&b.moment));
    let (least, most) = (points.first()?, points.last()?);
    if most.moment - least.moment < SAME_MOMENT {
        return None;
    }
    let weight = all.iter().map(|(reading, ..)| &reading.aboard);
    let weight = weight.max_by(|a, b| moment(a).abs().total_cmp(&moment(b).abs()))?;
    let mass: f64 = weight.iter().map(|a| a.mass).sum();
    let place = weight.iter().map(|a| a.at.vector() * a.mass).sum::<Vector3<f64>>() / mass;
    let between = |k: u8| {
        let share = f64::from(k) / f64::from(STEPS);
        let to = least.moment + share * (most.moment - least.moment);
        let near = least.list + share * (most.list - least.list);
        let boat = found.with_weight(mass, Position::new(place.x, -to / mass, place.z)).ok()?;
        Some([to, heel(&boat, basin, near)?])
    };
    let line: Vec<[f64; 2]> = (0..=STEPS).filter_map(between).collect();
    let gm = gm_upright(&model, known, basin, None).ok()?;
    (line.len() > 1).then_some(Inclining { points, line, gm })
}

/// The list of a reading and its spread.
fn list_of(reading: &Reading) -> Option<[f64; 2]> {
    reading.observations.iter().find_map(|o| match o.seen {
        Seen::List(angle) => Some([angle, o.spread]),
        _ => None,
    })
}

/// To starboard, where y is negative.
fn moment(aboard: &[Aboard]) -> f64 {
    -aboard.iter().map(|a| a.mass * a.at.y()).sum::<f64>()
}

fn laden(boat: &FloatModel, aboard: &[Aboard]) -> Option<FloatModel> {
    aboard.iter().try_fold(boat.clone(), |boat, a| a.on(&boat).ok())
}

/// The list to which a boat comes from one near by.
fn heel(boat: &FloatModel, basin: Basin, near: f64) -> Option<f64> {
    let start = heave(boat, basin.density, up_from_angles(near, 0.0));
    match settle_from(boat, basin, start, &Tolerance::FINE).ok()? {
        Outcome::Floats(afloat) => Some(afloat.pose.heel()),
        Outcome::Neutral(_) | Outcome::Sinks(_) => None,
    }
}
