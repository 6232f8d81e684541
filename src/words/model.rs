//! Why a boat cannot be calculated, in words.

use super::solid::solid;
use super::speech::figure;
use super::t;
use super::tank::tank;
use trimwright::float::{BoatError, PartProblem};

/// Why a boat cannot be calculated.
pub(crate) fn boat(problem: &BoatError) -> String {
    match problem {
        BoatError::Part { name, problem } => format!("{name}: {}", part(problem)),
        BoatError::NoMass(mass) => t!("model.no_mass", mass = figure(*mass)),
        BoatError::NoVolume => t!("model.no_volume"),
        BoatError::Moment => t!("model.moment"),
        BoatError::NoTank(number) => t!("model.no_tank", number = number),
        BoatError::Seconds(seconds) => t!("model.seconds", seconds = figure(*seconds)),
        BoatError::WaterDensity(density) => t!("model.density", density = figure(*density)),
        BoatError::Unsettled(tries) => t!("model.unsettled", tries = tries),
    }
}

/// What is wrong with a part or a tank.
fn part(problem: &PartProblem) -> String {
    match problem {
        PartProblem::Mass(mass) => t!("model.part_mass", mass = figure(*mass)),
        PartProblem::Place => t!("model.part_place"),
        PartProblem::Fill(fill) => t!("model.part_fill", fill = figure(*fill)),
        PartProblem::LiquidDensity(density) => {
            t!("model.part_density", density = figure(*density))
        }
        PartProblem::Solid(problem) => solid(problem),
        PartProblem::Tank(problem) => tank(problem),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        let of_part = |problem| BoatError::Part { name: "keel".to_owned(), problem };
        says_as_the_core(
            boat,
            [
                BoatError::Unsettled(200),
                of_part(PartProblem::Mass(-1.5)),
                of_part(PartProblem::Place),
                of_part(PartProblem::Fill(1.5)),
                of_part(PartProblem::LiquidDensity(-2.0)),
                BoatError::NoMass(0.0),
                BoatError::NoVolume,
                BoatError::Moment,
                BoatError::NoTank(3),
                BoatError::Seconds(-1.0),
                BoatError::WaterDensity(0.0),
            ],
        );
    }
}
