//! Why something cannot be where it was put, in words.

use super::t;
use crate::words::word;
use trimwright::boat::{Direction, Misplaced};
use trimwright::unit::Units;

/// Why something cannot be where it was put.
pub(crate) fn misplaced(problem: &Misplaced, units: Units) -> String {
    match *problem {
        Misplaced::Away { direction, by } => t!(
            match direction {
                Direction::Forward => word!("misplaced.away_forward"),
                Direction::Aft => word!("misplaced.away_aft"),
                Direction::Port => word!("misplaced.away_port"),
                Direction::Starboard => word!("misplaced.away_starboard"),
                Direction::Above => word!("misplaced.away_above"),
                Direction::Below => word!("misplaced.away_below"),
            },
            length = units.length(by)
        ),
        Misplaced::SticksOut { direction, by } => t!(
            match direction {
                Direction::Forward => word!("misplaced.out_forward"),
                Direction::Aft => word!("misplaced.out_aft"),
                Direction::Port => word!("misplaced.out_port"),
                Direction::Starboard => word!("misplaced.out_starboard"),
                Direction::Above => word!("misplaced.out_above"),
                Direction::Below => word!("misplaced.out_below"),
            },
            length = units.length(by)
        ),
        Misplaced::LargerThanItsPart { tank, part } => t!(
            "misplaced.larger_than_its_part",
            tank = units.liquid(tank),
            part = units.liquid(part)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_side_and_the_length_are_named() {
        let ahead = Misplaced::Away { direction: Direction::Forward, by: 2.0 };
        let said = misplaced(&ahead, Units::METRIC);
        assert_eq!(said, "that is 2000\u{202f}mm ahead of the boat", "away");
        let out = Misplaced::SticksOut { direction: Direction::Starboard, by: 0.003 };
        let said = misplaced(&out, Units::METRIC);
        assert_eq!(said, "it sticks out 3\u{202f}mm to starboard of every part", "out");
        let large = Misplaced::LargerThanItsPart { tank: 350e-6, part: 100e-6 };
        let said = misplaced(&large, Units::METRIC);
        assert_eq!(said, "it holds 350\u{202f}ml, but the largest part only 100\u{202f}ml", "");
    }
}
