//! What is wrong with a tank's kind, bulkheads, openings or range, in words.

use super::speech::figure;
use super::speech::speech;
use super::t;
use crate::words::word;
use trimwright::boat::{BulkheadDirection, TankError};

/// What is wrong with a tank's kind, bulkheads, openings or range.
pub(crate) fn tank(problem: &TankError) -> String {
    match problem {
        TankError::BulkheadOutside { way, at, low, high } => {
            let key = match way {
                BulkheadDirection::Lengthwise => word!("cavity.lengthwise_outside"),
                BulkheadDirection::Transverse => word!("cavity.transverse_outside"),
            };
            t!(key, at = figure(*at), low = thousandths(*low), high = thousandths(*high))
        }
        TankError::TooManyBulkheads(count) => t!("cavity.too_many_bulkheads", count = count),
        TankError::Range { low, high } => {
            t!("cavity.range", low = figure(*low), high = figure(*high))
        }
        TankError::OpeningOutside { opening, by } => {
            let key = if is_vent(opening) {
                word!("cavity.vent_outside")
            } else {
                word!("cavity.flood_outside")
            };
            t!(key, by = format!("{:.0}", by * 1e3))
        }
        TankError::OpeningNowhere { opening } => {
            t!(if is_vent(opening) {
                word!("cavity.vent_nowhere")
            } else {
                word!("cavity.flood_nowhere")
            })
        }
        TankError::VentTooLow { vent, flood } => {
            t!("cavity.vent_too_low", vent = thousandths(*vent), flood = thousandths(*flood))
        }
        TankError::PistonShape => t!("cavity.piston_shape"),
        TankError::PistonMass(mass) => t!("cavity.piston_mass", mass = figure(*mass)),
        TankError::BulkheadInTheWay => t!("cavity.bulkhead_in_the_way"),
        TankError::NoStop => t!("cavity.no_stop"),
    }
}

/// The core has two names of openings.
fn is_vent(opening: &str) -> bool {
    opening == "vent"
}

fn thousandths(value: f64) -> String {
    speech().decimal.with_mark(&format!("{value:.3}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        let outside = |way| TankError::BulkheadOutside { way, at: 0.05, low: -0.0195, high: 0.02 };
        says_as_the_core(
            tank,
            [
                outside(BulkheadDirection::Lengthwise),
                outside(BulkheadDirection::Transverse),
                TankError::TooManyBulkheads(13),
                TankError::Range { low: 0.6, high: 0.4 },
                TankError::OpeningOutside { opening: "vent", by: 0.012 },
                TankError::OpeningOutside { opening: "flood opening", by: 0.012 },
                TankError::OpeningNowhere { opening: "vent" },
                TankError::OpeningNowhere { opening: "flood opening" },
                TankError::VentTooLow { vent: 0.02, flood: 0.08 },
                TankError::PistonShape,
                TankError::PistonMass(-0.5),
                TankError::BulkheadInTheWay,
                TankError::NoStop,
            ],
        );
    }
}
