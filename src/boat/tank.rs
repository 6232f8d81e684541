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
pub enum Way {
    /// Fore and aft.
    Lengthwise,
    /// Athwartships.
    Transverse,
}

/// A bulkhead.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bulkhead {
    /// How it stands.
    pub way: Way,
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
    /// An empty tank of fresh water.
    pub fn new(name: impl Into<String>, cavity: Solid) -> Self {
        Self {
            name: name.into(),
            cavity,
            fill: 0.0,
            liquid_density: 998.2,
            mass: 0.0,
            centre: Position::ORIGIN,
            housing: Housing::InTheWet,
            bulkheads: Vec::new(),
            vent: None,
            flood: None,
            range: None,
        }
    }

    pub(super) fn mirrored(&self) -> Self {
        Self {
            cavity: mirrored_solid(&self.cavity),
            centre: mirrored_place(self.centre),
            ..self.clone()
        }
    }
}
/// stub
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
#[expect(missing_docs, reason = "stub")]
pub enum TankError {
    #[error("bulkhead")]
    BulkheadOutside { way: Way, at: f64, low: f64, high: f64 },
    #[error("many")]
    TooManyBulkheads(usize),
    #[error("range")]
    Range { low: f64, high: f64 },
    #[error("opening")]
    OpeningOutside { opening: &'static str, by: f64 },
    #[error("opening")]
    OpeningNowhere { opening: &'static str },
    #[error("vent")]
    VentTooLow { vent: f64, flood: f64 },
}
/// stub
///
/// # Errors
/// stub
pub fn check_fittings(tank: &Tank, _cavity: &crate::geometry::Mesh) -> Result<(), TankError> {
    if tank.fill < -1.0 { Err(TankError::TooManyBulkheads(1)) } else { Ok(()) }
}
