//! A tank: a cavity, how full it is, and with what.

use super::part::{mirrored_place, mirrored_solid};
use crate::frame::{Body, Position};
use crate::geometry::Solid;

/// Whether a tank pushes water away itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Housing {
    /// It stands in the wet on thin walls and displaces its own volume.
    #[default]
    InTheWet,
    /// It lies inside a part whose solid already displaces.
    InsideAPart,
}

/// How a bulkhead stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BulkheadWay {
    /// Fore and aft.
    Lengthwise,
    /// Athwartships.
    Transverse,
}

/// A bulkhead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bulkhead {
    /// How it stands.
    pub way: BulkheadWay,
    /// Where.
    pub at: f64,
}

/// A space that holds liquid with a free surface level in the world at any attitude.
#[derive(Debug, Clone, PartialEq)]
pub struct Tank {
    /// What the builder calls it.
    pub name: String,
    /// The space; its volume is the capacity.
    pub cavity: Solid,
    /// Share of the capacity that is liquid, 0 to 1.
    pub fill: f64,
    /// Density of the liquid, kg/m³.
    pub liquid_density: f64,
    /// Mass of the empty tank, kilograms.
    pub mass: f64,
    /// Centre of mass of the empty tank.
    pub centre: Position<Body>,
    /// Whether it displaces water itself.
    pub housing: Housing,
    /// Bulkheads.
    pub bulkheads: Vec<Bulkhead>,
    /// Vent.
    pub vent: Option<Position<Body>>,
    /// Flood opening.
    pub flood: Option<Position<Body>>,
    /// Range.
    pub range: Option<[f64; 2]>,
}

impl Tank {
    pub(super) fn mirrored(&self) -> Self {
        Self {
            cavity: mirrored_solid(&self.cavity),
            centre: mirrored_place(self.centre),
            ..self.clone()
        }
    }
}
