//! The kinds of tank that builders use, and what follows from each for the water in it.

use crate::frame::{Body, Position};
use crate::geometry::{Axis, Solid};
use nalgebra::Vector3;

/// How a tank takes in water and holds it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum TankKind {
    /// Open to the water below and blown with air: air over water, with a surface that stays level.
    #[default]
    Open,
    /// A piston drives the water out: the water fills from the inlet end to the piston and has no
    /// free surface.
    Piston(Piston),
    /// A bag that is squeezed or pumped: its water acts at the middle of its space.
    Bag,
    /// A closed box that water is pumped into: as an open tank, but its air cannot leave and is
    /// compressed until something stops the water.
    Sealed(FillLimit),
}

/// One end of a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum TankEnd {
    /// The after end.
    #[default]
    Aft,
    /// The forward end.
    Fore,
}

/// The piston of a tank: a thin disc square to the boat's axis, on the water's face.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Piston {
    /// The inlet end, where the piston lies when the tank is empty.
    pub inlet: TankEnd,
    /// Mass of the piston and all that moves with it, kilograms.
    pub mass: f64,
}

/// What limits the fill of a closed tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FillLimit {
    /// The pump's maximum gauge pressure, pascals.
    Pump(f64),
    /// The pressure of the water outside at this depth, metres.
    Depth(f64),
}

/// The absolute pressure in a blown tank, pascals: one bar. Common practice, no source: the weather
/// and the height above the sea change it by more than the difference from a standard atmosphere.
const BLOWN: f64 = 100_000.0;
/// Standard acceleration of gravity, m/s². Source: 3rd CGPM (1901), exact by definition.
const GRAVITY: f64 = 9.806_65;

impl TankKind {
    /// True where the water's surface is free to run to the low side.
    pub fn has_free_surface(&self) -> bool {
        matches!(self, Self::Open | Self::Sealed(_))
    }

    /// Mass of the piston, kilograms; zero without one.
    pub fn piston_mass(&self) -> f64 {
        if let Self::Piston(piston) = self { piston.mass } else { 0.0 }
    }
}

impl FillLimit {
    /// Gauge pressure, pascals, in water of this density (kg/m³).
    pub fn pressure(self, density: f64) -> f64 {
        match self {
            Self::Pump(pressure) => pressure,
            Self::Depth(depth) => density * GRAVITY * depth,
        }
    }

    /// The greatest fill (0 to 1) of a tank that is blown to the fill `least` at 1 bar absolute and
    /// then closed: by Boyle's law, `p V` stays the same at the same temperature, so that the air is
    /// left `V₂ = V₁ p₁ / p₂`. `density` is that of the water, kg/m³.
    pub fn greatest_fill(self, least: f64, density: f64) -> f64 {
        1.0 - (1.0 - least) * BLOWN / (BLOWN + self.pressure(density))
    }
}

/// Where a piston runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stroke {
    /// The middle of the inlet end.
    pub(crate) from: Position<Body>,
    /// From there to the other end, metres.
    pub(crate) by: Vector3<f64>,
}

impl Stroke {
    /// In a box, or a cylinder fore and aft; none in any other shape.
    pub(super) fn of(inlet: TankEnd, cavity: &Solid) -> Option<Self> {
        let (length, centre) = match cavity {
            Solid::Box { size: [length, ..], centre }
            | Solid::Cylinder { axis: Axis::X, length, centre, .. } => (*length, *centre),
            _ => return None,
        };
        let forward = match inlet {
            TankEnd::Aft => length,
            TankEnd::Fore => -length,
        };
        let by = Vector3::new(forward, 0.0, 0.0);
        Some(Self { from: Position::from_vector(centre.vector() - by / 2.0), by })
    }
}
