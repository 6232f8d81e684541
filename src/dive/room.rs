//! How far things aboard can be moved, judged by the boxes around them.

use crate::boat::{Boat, Housing};
use crate::float::FloatModel;
use crate::geometry::{Bounds, Fineness};
use crate::unit::MILLIMETRE;
use nalgebra::Vector3;

/// What is kept free between a thing and what holds it, metres. Common practice, no source.
const CLEARANCE: f64 = 2.0 * MILLIMETRE;
/// What a mere weight, of which no size is known, keeps free: half the height of a battery.
/// Common practice, no source.
const HALF_A_WEIGHT: f64 = 15.0 * MILLIMETRE;
/// A part that displaces a larger share of the boat is its structure and stays where it is.
/// Common practice, no source.
const STRUCTURE: f64 = 0.25;

/// A part that fills less of its box is a wall, or a frame, through which water passes.
const SOLID: f64 = 0.3;
/// Off the centre plane by more, as a share of the beam, a part has a twin or a reason.
const MIDDLE: f64 = 0.05;

/// The boxes of a boat.
#[derive(Debug, Clone)]
pub(super) struct Room {
    whole: Bounds,
    parts: Vec<Option<Occupant>>,
    tanks: Vec<Option<Occupant>>,
    /// The boxes of what can hold other things.
    holders: Vec<Bounds>,
    /// The top of the largest part, metres: what stands higher is mast or sail.
    deck: f64,
}

/// Something with a place.
#[derive(Debug, Clone, Copy)]
struct Occupant {
    bounds: Bounds,
    mass: f64,
    /// What it displaces, m³.
    volume: f64,
    is_point: bool,
    moves: bool,
}

impl Room {
    pub(super) fn of(boat: &Boat, model: &FloatModel) -> Self {
        let whole = model.bounds();
        let nesting = model.nesting();
        let mut holders = Vec::new();
        let boxes = model.solids().iter().map(|m| m.bounds());
        let largest = boxes.max_by(|a, b| size_of(*a).total_cmp(&size_of(*b)));
        let deck = largest.map_or(whole.high.z, |b| b.high.z);
        let parts = boat
            .parts
            .iter()
            .enumerate()
            .map(|(k, part)| {
                if !part.status.is_aboard() {
                    return None;
                }
                let at = part.centre.vector();
                let point = Bounds { low: at, high: at };
                let mesh = nesting.shape(k);
                let bounds = mesh.map_or(point, |m| m.bounds());
                let fills = mesh.map_or(0.0, |m| m.volume());
                // What stands in a thin wall stands in the wet, and can be put elsewhere.
                if fills > SOLID * size_of(bounds) {
                    holders.push(bounds);
                }
                let is_small = fills < STRUCTURE * model.total_volume();
                let volume = nesting.displaced_by_part(k).map_or(0.0, |m| m.volume());
                let moves = is_small && !holds_another(bounds, boat, part.centre.vector());
                Some(Occupant { bounds, mass: part.mass, volume, is_point: mesh.is_none(), moves })
            })
            .collect();
        let tanks = boat
            .tanks
            .iter()
            .map(|tank| {
                let mesh = tank.cavity.mesh(Fineness::WORK).ok()?;
                let volume = if tank.housing == Housing::InTheWet { mesh.volume() } else { 0.0 };
                let bounds = mesh.bounds();
                Some(Occupant {
                    bounds,
                    mass: tank.empty_mass(),
                    volume,
                    is_point: false,
                    moves: true,
                })
            })
            .collect();
        Self { whole, parts, tanks, holders, deck }
    }

    fn part(&self, part: usize) -> Option<&Occupant> {
        self.parts.get(part)?.as_ref()
    }

    /// Mass of a part less what it displaces, kg, in water of this density (kg/m³).
    pub(super) fn weight_in_water(&self, part: usize, density: f64) -> Option<f64> {
        self.part(part).map(|p| p.mass - density * p.volume)
    }

    /// How far a part can go down, metres; none for the boat's structure.
    pub(super) fn under_part(&self, part: usize) -> Option<f64> {
        let thing = self.part(part).filter(|p| p.moves)?;
        let spare = if thing.is_point { HALF_A_WEIGHT } else { CLEARANCE };
        Some((thing.bounds.low.z - self.around(thing.bounds).low.z - spare).max(0.0))
    }

    /// How far a part can go up, metres; none for the boat's structure.
    pub(super) fn over_part(&self, part: usize) -> Option<f64> {
        let thing = self.part(part).filter(|p| p.moves)?;
        let spare = if thing.is_point { HALF_A_WEIGHT } else { CLEARANCE };
        let top = self.around(thing.bounds).high.z.min(self.deck);
        Some((top - thing.bounds.high.z - spare).max(0.0))
    }

    /// True for a part on the centre plane.
    pub(super) fn is_in_the_middle(&self, part: usize) -> bool {
        let middle = self.part(part).map_or(f64::INFINITY, |p| p.bounds.centre().y.abs());
        middle <= MIDDLE * self.whole.size().y
    }

    /// How far a tank can go down, metres.
    pub(super) fn under_tank(&self, tank: usize) -> f64 {
        let Some(Some(thing)) = self.tanks.get(tank) else { return 0.0 };
        (thing.bounds.low.z - self.around(thing.bounds).low.z - CLEARANCE).max(0.0)
    }

    /// From where to where a tank reaches across, metres.
    pub(super) fn breadth_of_tank(&self, tank: usize) -> Option<(f64, f64)> {
        let thing = self.tanks.get(tank)?.as_ref()?;
        Some((thing.bounds.low.y, thing.bounds.high.y))
    }

    /// True when the boat is as broad as that at y (metres).
    pub(super) fn has_breadth_for(&self, y: f64) -> bool {
        (self.whole.low.y..=self.whole.high.y).contains(&y)
    }

    /// The smallest box that holds a thing: that of the part it is in, or of the whole boat.
    fn around(&self, thing: Bounds) -> Bounds {
        let holds = |holder: &&Bounds| {
            **holder != thing && holder.holds(&thing.low) && holder.holds(&thing.high)
        };
        let smallest = self.holders.iter().filter(holds);
        smallest.min_by(|a, b| size_of(**a).total_cmp(&size_of(**b))).copied().unwrap_or(self.whole)
    }
}

/// True when another thing aboard has its centre inside a box: then it is a housing.
fn holds_another(bounds: Bounds, boat: &Boat, own: Vector3<f64>) -> bool {
    let inside = |at: Vector3<f64>| {
        at != own && (0..3).all(|k| bounds.low[k] < at[k] && at[k] < bounds.high[k])
    };
    boat.parts_aboard().any(|part| inside(part.centre.vector()))
}

fn size_of(bounds: Bounds) -> f64 {
    bounds.size().product()
}
