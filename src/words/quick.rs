//! Why six numbers make no boat, in words.

use super::speech::figure;
use super::{mesh, t};
use trimwright::boat::QuickBoatError;
use trimwright::unit::Units;

/// Why six numbers make no boat, in the units in which they were typed.
pub(crate) fn quick(problem: &QuickBoatError, units: Units) -> String {
    match problem {
        QuickBoatError::NotPositive { .. } => t!("form.more_than_zero"),
        QuickBoatError::WaterlineTooHigh { .. } => t!("quick.waterline_too_high"),
        QuickBoatError::Fullness(share) => t!("quick.bad_fullness", share = figure(*share)),
        QuickBoatError::TooHeavy { most } => t!("quick.too_heavy", mass = units.whole_mass(*most)),
        QuickBoatError::TooLight { least } => {
            t!("quick.too_light", mass = units.whole_mass(*least))
        }
        QuickBoatError::Tank(_) => t!("quick.bad_tank"),
        QuickBoatError::TankTooLarge { most } => {
            t!("quick.tank_too_large", most = units.liquid(*most))
        }
        QuickBoatError::MarkAstray { .. } => t!("quick.mark_astray"),
        QuickBoatError::Mesh(problem) => mesh::mesh(problem),
    }
}
