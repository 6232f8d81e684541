//! Why a boat's record does not make a boat, in words.

use super::speech::{figure, speech};
use super::{entry, mesh, quick, t};
use trimwright::diary::BoatRecordError;

/// Why a record makes no boat.
pub(crate) fn record(problem: &BoatRecordError) -> String {
    match problem {
        BoatRecordError::Quick(problem) => quick::quick(problem, speech()),
        BoatRecordError::Mesh { part, problem } => format!("{part}: {}", mesh::mesh(problem)),
        BoatRecordError::Part { part, problem } => format!("{part}: {}", entry::entry(problem)),
        BoatRecordError::Aim { low, high } => {
            t!("made.aim", low = figure(*low), high = figure(*high))
        }
    }
}
