//! What is wrong with leans noted on the way, or with a cure, in words.

use super::speech::figure;
use super::speech::speech;
use super::{model, t};
use trimwright::dive::ChangeError;
use trimwright::fit::WayFitError;
use trimwright::unit::DEGREE;

/// Why leans that were seen give no answer.
pub(crate) fn fit(problem: &WayFitError) -> String {
    match problem {
        WayFitError::NothingSeen => t!("way.nothing_seen"),
        WayFitError::Fill { which, fill } => {
            t!("way.fill", number = which + 1, fill = figure(*fill))
        }
        WayFitError::Heel { which, heel } => {
            let degrees = speech().number(heel / DEGREE, 0);
            t!("way.heel", number = which + 1, degrees = degrees)
        }
        WayFitError::Spread { which, spread } => {
            t!("way.spread", number = which + 1, spread = figure(*spread))
        }
        WayFitError::HeightSpread { spread, size } => {
            t!("way.height_spread", spread = figure(*spread), size = figure(*size))
        }
        WayFitError::Boat(problem) => model::boat(problem),
        WayFitError::NoFit => t!("way.no_fit"),
    }
}

/// Why a cure cannot be made.
pub(crate) fn change(problem: &ChangeError) -> String {
    match problem {
        ChangeError::NoPart(number) => t!("way.no_part", number = number),
        ChangeError::NoTank(number) => t!("way.no_such_tank", number = number),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(
            fit,
            [
                WayFitError::NothingSeen,
                WayFitError::Fill { which: 0, fill: 1.5 },
                WayFitError::Heel { which: 1, heel: 1.6 },
                WayFitError::Spread { which: 2, spread: 0.0 },
                WayFitError::HeightSpread { spread: 0.0, size: 0.5 },
                WayFitError::NoFit,
            ],
        );
        says_as_the_core(change, [ChangeError::NoPart(2), ChangeError::NoTank(3)]);
    }
}
