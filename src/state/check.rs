//! Whether what a form holds can be made and can be where it was put: which field is wrong, in the
//! words and units of the screen.

use super::form::FormProblem;
use super::line::Ground;
use super::made::MakeError;
use crate::words::{self, t};
use trimwright::boat::{Direction, EntryError, Misplaced, check_mark, check_part, check_tank};
use trimwright::diary::{MarkRecord, PartRecord, TankRecord};
use trimwright::frame::Position;
use trimwright::geometry::{Fineness, Mesh, SolidError};
use trimwright::unit::Units;

/// Makes the part and looks whether it can be where it was put; names the field that is wrong.
pub(super) fn check_made(
    part: &PartRecord,
    line: Option<usize>,
    ground: &Ground<'_>,
) -> Result<(), FormProblem> {
    let made = ground.parts.make(part).map_err(|problem| {
        let problem = match problem {
            MakeError::Mesh(problem) => return ("shape", words::mesh::mesh(&problem)),
            MakeError::Entry(problem) => problem,
        };
        let key = match &problem {
            EntryError::Mass(_) | EntryError::NoMass => "mass",
            EntryError::Wall(_) => "wall",
            EntryError::CoatArea { .. } => "coat-area",
            EntryError::CoatThickness(_) => "coat-thickness",
            EntryError::Density(_) => "density",
            EntryError::Solid(SolidError::DomesTooLong { .. }) => "dome",
            EntryError::Solid(SolidError::BadTable { .. }) => "table",
            _ => "shape",
        };
        (key, in_words(&problem, ground.units))
    })?;
    let bounds = ground.parts.bounds_without(line);
    check_part(&made.part, bounds).map_err(|problem| misplaced(problem, ground.units))
}

/// An error of the core, in the units of the screen.
fn in_words(problem: &EntryError, units: Units) -> String {
    match problem {
        EntryError::CoatArea { given, whole } => {
            let [given, whole] = [*given, *whole].map(|area| units.area(area));
            t!("entry.coat_area_field", given = given, whole = whole)
        }
        other => words::entry::entry(other),
    }
}

/// Which field says that something is in the wrong place, and in what words.
fn misplaced(problem: Misplaced, units: Units) -> FormProblem {
    let key = match problem {
        Misplaced::Away { direction, .. } | Misplaced::SticksOut { direction, .. } => {
            match direction {
                Direction::Forward | Direction::Aft => "x",
                Direction::Port | Direction::Starboard => "y",
                Direction::Above | Direction::Below => "z",
            }
        }
        Misplaced::LargerThanItsPart { .. } => "shape",
    };
    (key, words::within::misplaced(&problem, units))
}

pub(super) fn check_cavity(tank: &TankRecord, ground: &Ground<'_>) -> Result<(), FormProblem> {
    let shape = |problem: String| ("shape", problem);
    let read = tank.tank().map_err(|e| shape(words::mesh::mesh(&e)))?;
    let cavity = read.cavity.mesh(Fineness::WORK).map_err(|e| shape(words::solid::solid(&e)))?;
    let aboard = ground.parts.iter().filter(|(_, made)| made.part.status.is_aboard());
    let parts: Vec<&Mesh> = aboard.filter_map(|(_, made)| made.mesh.as_deref()).collect();
    check_tank(&read, &cavity, parts.iter().copied())
        .map_err(|problem| misplaced(problem, ground.units))?;
    read.compartments(&cavity).map(drop).map_err(|problem| {
        use trimwright::boat::{BulkheadDirection, TankError as E};
        let key = match &problem {
            E::Range { .. } => "most",
            E::PistonShape => "shape",
            E::PistonMass(_) => "piston-mass",
            E::NoStop => "pump",
            E::BulkheadOutside { way: BulkheadDirection::Transverse, .. } => "transverse",
            E::OpeningOutside { opening, .. } | E::OpeningNowhere { opening }
                if *opening != "vent" =>
            {
                "flood-z"
            }
            E::OpeningOutside { .. } | E::OpeningNowhere { .. } | E::VentTooLow { .. } => "vent-z",
            _ => "lengthwise",
        };
        (key, words::tank::tank(&problem))
    })
}

pub(super) fn check_on_hull(mark: &MarkRecord, ground: &Ground<'_>) -> Result<(), FormProblem> {
    let [x, y, z] = mark.at_m;
    let Some(hull) = ground.parts.bounds_without(None) else { return Ok(()) };
    check_mark(Position::new(x, y, z), hull).map_err(|problem| misplaced(problem, ground.units))
}
