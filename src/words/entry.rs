//! Why the description of a part makes no part, in words.

use super::mesh::offset;
use super::solid::solid;
use super::speech::figure;
use super::t;
use trimwright::boat::EntryError;

/// Why an entry makes no part.
pub(crate) fn entry(problem: &EntryError) -> String {
    match problem {
        EntryError::NoMass => t!("entry.no_mass"),
        EntryError::NoCentre => t!("entry.no_centre"),
        EntryError::Mass(mass) => t!("entry.mass", mass = figure(*mass)),
        EntryError::Centre => t!("entry.centre"),
        EntryError::Density(density) => t!("entry.density", density = figure(*density)),
        EntryError::NoShape => t!("entry.no_shape"),
        EntryError::CoatThickness(thickness) => {
            t!("entry.coat_thickness", thickness = figure(*thickness))
        }
        EntryError::CoatArea { given, whole } => {
            t!("entry.coat_area", given = figure(*given), whole = figure(*whole))
        }
        EntryError::Wall(problem) => offset(problem),
        EntryError::Solid(problem) => solid(problem),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;
    use trimwright::geometry::{OffsetError, SolidError};

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(
            entry,
            [
                EntryError::NoMass,
                EntryError::NoCentre,
                EntryError::Mass(-1.5),
                EntryError::Centre,
                EntryError::Density(0.0),
                EntryError::NoShape,
                EntryError::CoatThickness(-0.001),
                EntryError::CoatArea { given: 1.5, whole: 0.25 },
                EntryError::Wall(OffsetError::TooThick { wall: 0.03 }),
                EntryError::Solid(SolidError::BadPlace),
            ],
        );
    }
}
