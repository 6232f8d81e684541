//! Whether what a form holds can be made and can be where it was put: which field is wrong, in the
//! words and units of the screen.

use super::form::FormProblem;
use super::line::Ground;
use super::made::MakeError;
use trimwright::boat::{EntryError, Misplaced, check_mark, check_part, check_tank};
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
            MakeError::Mesh(problem) => return ("shape", problem.to_string()),
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

/// Errors of the core, in the units of the screen.
fn in_words(problem: &EntryError, units: Units) -> String {
    match problem {
        EntryError::CoatArea { given, whole } => {
            let [given, whole] = [*given, *whole].map(|area| units.area(area));
            format!("{given} is more than the part's surface of {whole}")
        }
        other => other.to_string(),
    }
}

/// Which field says that something is in the wrong place, and in what words.
fn misplaced(problem: Misplaced, units: Units) -> FormProblem {
    use trimwright::boat::Direction as D;
    let key = |direction: D| match direction {
        D::Forward | D::Aft => "x",
        D::Port | D::Starboard => "y",
        D::Above | D::Below => "z",
    };
    let beyond = |direction: D| match direction {
        D::Forward => "ahead of",
        D::Aft => "behind",
        D::Port => "to port of",
        D::Starboard => "to starboard of",
        D::Above => "above",
        D::Below => "below",
    };
    match problem {
        Misplaced::Away { direction, by } => {
            (key(direction), format!("that is {} {} the boat", units.length(by), beyond(direction)))
        }
        Misplaced::SticksOut { direction, by } => {
            let words =
                format!("it sticks out {} {} every part", units.length(by), beyond(direction));
            (key(direction), words)
        }
        Misplaced::LargerThanItsPart { tank, part } => {
            let [tank, part] = [tank, part].map(|volume| units.liquid(volume));
            ("shape", format!("it holds {tank}, the largest part has only {part}"))
        }
        other => ("shape", other.to_string()),
    }
}

pub(super) fn check_cavity(tank: &TankRecord, ground: &Ground<'_>) -> Result<(), FormProblem> {
    let shape = |problem: String| ("shape", problem);
    let read = tank.tank().map_err(|e| shape(e.to_string()))?;
    let cavity = read.cavity.mesh(Fineness::WORK).map_err(|e| shape(e.to_string()))?;
    let aboard = ground.parts.iter().filter(|(_, made)| made.part.status.is_aboard());
    let parts: Vec<&Mesh> = aboard.filter_map(|(_, made)| made.mesh.as_deref()).collect();
    check_tank(&read, &cavity, parts.iter().copied())
        .map_err(|problem| misplaced(problem, ground.units))?;
    read.compartments(&cavity).map(drop).map_err(|problem| {
        use trimwright::boat::{TankError as E, Way};
        let key = match &problem {
            E::Range { .. } => "most",
            E::BulkheadOutside { way: Way::Transverse, .. } => "transverse",
            E::OpeningOutside { opening, .. } | E::OpeningNowhere { opening }
                if *opening != "vent" =>
            {
                "flood-z"
            }
            E::OpeningOutside { .. } | E::OpeningNowhere { .. } | E::VentTooLow { .. } => "vent-z",
            _ => "lengthwise",
        };
        (key, problem.to_string())
    })
}

pub(super) fn check_on_hull(mark: &MarkRecord, ground: &Ground<'_>) -> Result<(), FormProblem> {
    let [x, y, z] = mark.at_m;
    let Some(hull) = ground.parts.bounds_without(None) else { return Ok(()) };
    check_mark(Position::new(x, y, z), hull).map_err(|problem| misplaced(problem, ground.units))
}
