//! One change of a boat that may cure a lean, as a value: tried on a copy, kept apart from the boat
//! until it is accepted.

use crate::boat::{Boat, Bulkhead, Part, Tank};
use crate::frame::{Body, Position};
use crate::geometry::{Bounds, Fineness, Solid};
use nalgebra::Vector3;

/// One change.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Moves a part, by its number, by so many metres.
    MovePart {
        /// Which.
        part: usize,
        /// Forward, to port and up, metres.
        by: [f64; 3],
    },
    /// Moves a tank with all that is in it.
    MoveTank {
        /// Which.
        tank: usize,
        /// Forward, to port and up, metres.
        by: [f64; 3],
    },
    /// Parts a tank.
    PartTank {
        /// Which.
        tank: usize,
        /// How.
        bulkhead: Bulkhead,
    },
    /// Gives a tank another cavity of the same capacity; what it can be filled and blown to stays.
    ReshapeTank {
        /// Which.
        tank: usize,
        /// The new space.
        cavity: Solid,
    },
    /// Multiplies the flooding time.
    Flood(f64),
    /// Multiplies the blowing time.
    Blow(f64),
    /// Floods, and blows, all tanks at once.
    Together,
    /// Multiplies the draining time of the free-flooding spaces.
    Drain(f64),
    /// Leaves the boat as it is.
    Nothing,
}

/// Why a change cannot be made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ChangeError {
    /// The part is not in the list any more.
    #[error("part number {0} is gone: look for cures again")]
    NoPart(usize),
    /// The tank is not in the list any more.
    #[error("tank number {0} is gone: look for cures again")]
    NoTank(usize),
}

impl Change {
    /// The boat with the change made.
    ///
    /// # Errors
    /// [`ChangeError`] when the part or tank is not there.
    pub fn applied(&self, boat: &Boat) -> Result<Boat, ChangeError> {
        let mut boat = boat.clone();
        match self {
            Self::MovePart { part, by } => {
                let moved = boat.parts.get_mut(*part).ok_or(ChangeError::NoPart(*part))?;
                move_part(moved, (*by).into());
            }
            Self::MoveTank { tank, by } => move_tank(tank_of(&mut boat, *tank)?, (*by).into()),
            Self::PartTank { tank, bulkhead } => {
                tank_of(&mut boat, *tank)?.bulkheads.push(*bulkhead);
            }
            Self::ReshapeTank { tank, cavity } => reshape(tank_of(&mut boat, *tank)?, cavity),
            Self::Flood(_) | Self::Blow(_) | Self::Drain(_) | Self::Together | Self::Nothing => {}
        }
        Ok(boat)
    }
}

fn tank_of(boat: &mut Boat, tank: usize) -> Result<&mut Tank, ChangeError> {
    boat.tanks.get_mut(tank).ok_or(ChangeError::NoTank(tank))
}

fn moved(at: Position<Body>, by: Vector3<f64>) -> Position<Body> {
    Position::from_vector(at.vector() + by)
}

fn move_part(part: &mut Part, by: Vector3<f64>) {
    part.centre = moved(part.centre, by);
    part.solid = part.solid.as_ref().map(|solid| solid.moved(by));
}

fn move_tank(tank: &mut Tank, by: Vector3<f64>) {
    tank.cavity = tank.cavity.moved(by);
    tank.centre = moved(tank.centre, by);
    tank.vent = tank.vent.map(|at| moved(at, by));
    tank.flood = tank.flood.map(|at| moved(at, by));
    for bulkhead in &mut tank.bulkheads {
        bulkhead.at += match bulkhead.way {
            crate::boat::BulkheadDirection::Lengthwise => by.y,
            crate::boat::BulkheadDirection::Transverse => by.x,
        };
    }
}

fn reshape(tank: &mut Tank, cavity: &Solid) {
    let meshes = [&tank.cavity, cavity].map(|solid| solid.mesh(Fineness::WORK));
    if let [Ok(before), Ok(after)] = meshes {
        tank.range = Some(tank.usable_range(&before));
        let bounds = after.bounds();
        tank.vent = tank.vent.map(|at| inside(at, bounds));
        tank.flood = tank.flood.map(|at| inside(at, bounds));
        // A bulkhead that would not pass through the new space has nothing to part.
        tank.bulkheads.retain(|b| {
            let k = usize::from(b.way == crate::boat::BulkheadDirection::Lengthwise);
            bounds.low[k] < b.at && b.at < bounds.high[k]
        });
    }
    tank.cavity = cavity.clone();
}

fn inside(at: Position<Body>, bounds: Bounds) -> Position<Body> {
    Position::from_vector(bounds.nearest(&at.vector()))
}
