//! A boat: a list of parts, tanks and marks, and the quick boat that six numbers make.
//!
//! Free-flooding space is not a part: it displaces nothing.

mod demo;
mod entry;
mod hull;
mod nested;
mod part;
mod place;
mod quick;
mod space;
mod tank;
mod tank_kind;
mod within;

pub use demo::demo_boat;
pub use entry::{Coat, Density, EntryError, Inside, MadePart, PartEntry, PartSurfaces, Wall};
pub use hull::can_be_shifted;
pub use nested::{Displacer, Nesting, SharedVolume};
pub use part::{Part, Status};
pub use place::{Medium, Place};
pub use quick::{QuickBoat, QuickBoatError};
pub use space::Space;
pub use tank::{Bulkhead, BulkheadDirection, Housing, Tank, TankError};
pub use tank_kind::{FillLimit, Piston, TankEnd, TankKind};
pub use within::{Direction, Misplaced, check_mark, check_part, check_tank};

use crate::frame::{Body, Position};

/// A named point on the hull where the water should be.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// What the builder calls it.
    pub name: String,
    /// Where it is; its z is the design waterline there.
    pub at: Position<Body>,
}

/// Everything known about one boat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Boat {
    /// What the builder calls it.
    pub name: String,
    /// Hull, gear, foam and weights.
    pub parts: Vec<Part>,
    /// Spaces that hold liquid.
    pub tanks: Vec<Tank>,
    /// Where the water should be.
    pub marks: Vec<Mark>,
    /// Where weight can be put.
    pub places: Vec<Place>,
}

impl Boat {
    /// The parts aboard as the boat floats now.
    pub fn parts_aboard(&self) -> impl Iterator<Item = &Part> {
        self.parts.iter().filter(|part| part.status.is_aboard())
    }

    /// Mass with the tanks empty, kilograms: the parts aboard, and the tanks themselves.
    pub fn dry_mass(&self) -> f64 {
        let parts: f64 = self.parts_aboard().map(|part| part.mass).sum();
        parts + self.tanks.iter().map(Tank::empty_mass).sum::<f64>()
    }

    /// The mirror image across the centre plane.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        Self {
            name: self.name.clone(),
            parts: self.parts.iter().map(Part::mirrored).collect(),
            tanks: self.tanks.iter().map(Tank::mirrored).collect(),
            marks: self
                .marks
                .iter()
                .map(|m| Mark { name: m.name.clone(), at: part::mirrored_place(m.at) })
                .collect(),
            places: self.places.clone(),
        }
    }
}
