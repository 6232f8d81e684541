//! The hollow parts of a boat: where water can get in, and where air can stay.

use crate::boat::{Boat, Displacer, Housing, Inside, PartEntry, Space, Wall};
use crate::diary::BoatRecord;
use crate::float::FloatModel;
use crate::geometry::{Bounds, Fineness, offset};
use nalgebra::Vector3;
use std::sync::{Arc, OnceLock};

/// A space within a part.
#[derive(Debug, Clone, PartialEq)]
pub struct Hollow {
    /// The part, and what encloses the space, and what share of it water can take.
    pub space: Space,
    /// Whether it is dry, if all is well.
    pub is_dry: bool,
}

/// The hollow parts of a boat, found when they are asked for: what lies within a wall is slow to make.
#[derive(Debug, Clone, Default)]
pub struct Hollows {
    /// The parts with a wall, or with other things inside.
    entries: Vec<(PartEntry, f64)>,
    found: Arc<OnceLock<Vec<Hollow>>>,
}

/// Of a space that is full of things a little is left.
const LEAST_LEFT: f64 = 0.02;

impl Hollows {
    /// Of a boat that was entered part by part.
    pub(super) fn of(record: &BoatRecord, boat: &Boat, model: &FloatModel) -> Self {
        if record.quick.is_some() {
            return Self::default();
        }
        let parts = record.parts.iter().enumerate();
        let entries = parts.filter_map(|(k, part)| {
            let entry = part.entry().ok().filter(|entry| entry.status.is_aboard())?;
            let holds = Held::of(boat, model, k);
            // What has things inside and no wall is hollow all the same.
            let is_hollow = match entry.wall {
                Some(_) => true,
                None => holds.any && model.nesting().displaced_by_part(k).is_some(),
            };
            is_hollow.then_some((entry, holds.volume))
        });
        Self { entries: entries.collect(), found: Arc::default() }
    }

    /// All of them whose inside can be calculated.
    pub fn all(&self, model: &FloatModel) -> &[Hollow] {
        let hollow = |(entry, taken): &(PartEntry, f64)| match entry.wall {
            Some(Wall { inside: Inside::Flooded, .. }) => {
                let space = Space::inside(entry, model.solids().iter(), 0.0)?;
                Some(Hollow { space, is_dry: false })
            }
            wall => {
                let outer = entry.solid.as_ref()?.mesh(Fineness::WORK).ok()?;
                let cavity = match wall {
                    Some(wall) => Arc::new(offset(&outer, -wall.thickness).ok()?),
                    None => outer,
                };
                let permeability = (1.0 - taken / cavity.volume()).clamp(LEAST_LEFT, 1.0);
                let space = Space { name: entry.name.clone(), cavity, permeability, drain: 0.0 };
                Some(Hollow { space, is_dry: true })
            }
        };
        self.found.get_or_init(|| self.entries.iter().filter_map(hollow).collect())
    }
}

/// What lies inside a part.
struct Held {
    /// Anything.
    any: bool,
    /// What room it takes, as far as that is known, m³.
    volume: f64,
}

impl Held {
    fn of(boat: &Boat, model: &FloatModel, part: usize) -> Self {
        let nesting = model.nesting();
        let mut held = Self { any: false, volume: 0.0 };
        let Some(outer) = nesting.shape(part) else { return held };
        let room = outer.bounds();
        let inside = |at: Vector3<f64>| {
            let Bounds { low, high } = room;
            (0..3).all(|axis| low[axis] < at[axis] && at[axis] < high[axis])
        };
        for (k, other) in boat.parts.iter().enumerate() {
            if k == part || !other.status.is_aboard() {
                continue;
            }
            match nesting.shape(k) {
                Some(shape) if nesting.within(k) == Some(Displacer::Part(part)) => {
                    held.any = true;
                    held.volume += shape.volume();
                }
                None if inside(other.centre.vector()) => held.any = true,
                _ => {}
            }
        }
        let tanks =
            boat.tanks.iter().enumerate().filter(|(_, t)| t.housing == Housing::InsideAPart);
        for (k, _) in tanks.filter(|(_, tank)| inside(tank.centre.vector())) {
            held.any = true;
            held.volume += model.capacity(k);
        }
        held
    }
}
