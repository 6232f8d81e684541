//! What "right" means for a boat: what its tanks should have to do under water.

use crate::fit::Estimate;
use crate::float::{BoatError, FloatModel};
use crate::unit::{DEGREE, GRAM, MILLIMETRE};

/// How far the water may stand from a mark: what can be seen against ripples. Common practice, no source.
pub(crate) const AT_THE_MARK: f64 = 2.0 * MILLIMETRE;
/// List or trim up to which a boat is level: what a builder would leave. Common practice, no source.
pub const LEVEL: f64 = DEGREE;

/// How a boat should be under water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum UnderAim {
    /// Its tanks take any amount of water: neutral with them between these two shares of what they
    /// can take, 0 (blown) to 1 (full).
    AnyAmount {
        /// The least share.
        least: f64,
        /// The greatest share.
        most: f64,
    },
    /// Its tanks are blown or full and nothing between, or it has none: full, its mass beyond what the
    /// water carries lies between these two, kg; negative is light.
    AllOrNothing {
        /// The lightest.
        lightest: f64,
        /// The heaviest.
        heaviest: f64,
    },
}

/// Minimum stiffness of a boat, metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Least {
    /// Height of the centre of buoyancy over that of gravity under water, BG.
    pub bg: f64,
    /// GM on the way down and up, with the boat held upright.
    pub gm: f64,
}

/// What is right for a boat, besides its marks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Under water.
    pub under: UnderAim,
    /// How stiff it should be.
    pub least: Least,
}

/// BG, and GM on the way, below which a boat is tender, as a share of its beam. Common practice, no source.
const TENDER: f64 = 0.02;

impl Least {
    /// The usual values for a beam, metres.
    pub fn usual(beam: f64) -> Self {
        Self { bg: TENDER * beam, gm: TENDER * beam }
    }
}

/// With what tank fill a boat meets its aim under water, and what it lacks for that.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DivingFill {
    /// How full its tanks are then, 0 (blown) to 1 (full), of what they can take.
    pub share: Estimate,
    /// Mass to add for that, kg; negative to take off, zero when the aim is met.
    pub lacking: f64,
}

/// The share of their tanks that boats are trimmed to be neutral with: enough left to go down with, and
/// to come up. Common practice, no source.
const USUAL: [f64; 2] = [0.6, 0.95];
/// How light a boat with full tanks is trimmed if these can only be full or blown: it comes up by itself
/// and is held down by its planes. Common practice, no source.
const USUAL_LIGHT: [f64; 2] = [-40.0 * GRAM, -10.0 * GRAM];
/// Room in the tanks below which they trim nothing, kg of water.
const NO_TANK: f64 = 0.1 * GRAM;

impl UnderAim {
    /// Neutral as it is: for a boat without a tank.
    pub const NEUTRAL: Self = Self::AllOrNothing { lightest: 0.0, heaviest: 0.0 };
    /// What tanks that take any amount usually aim at.
    pub const USUAL_FILL: Self = Self::AnyAmount { least: USUAL[0], most: USUAL[1] };
    /// What tanks that are all or nothing usually aim at.
    pub const USUAL_LIGHT: Self =
        Self::AllOrNothing { lightest: USUAL_LIGHT[0], heaviest: USUAL_LIGHT[1] };

    /// The usual aim for this number of tanks.
    pub fn usual(n_tanks: usize) -> Self {
        if n_tanks == 0 { Self::NEUTRAL } else { Self::USUAL_FILL }
    }

    /// The fill with which a boat meets this aim in water of `density` (kg/m³), whatever its tanks
    /// hold now, and what it lacks for that. `spread` is that of its mass, kg: what is lacking brings
    /// the boat inside the aim by twice that, as far as there is room, so that it is not lacking again
    /// when it is read anew.
    ///
    /// # Errors
    /// [`BoatError`] for a density that is not positive.
    pub fn fill_of(
        self,
        boat: &FloatModel,
        density: f64,
        spread: f64,
    ) -> Result<DivingFill, BoatError> {
        let blown = boat.flooded(0.0, density)?.residual_mass(density);
        let full = boat.flooded(1.0, density)?.residual_mass(density);
        let takes = full - blown;
        let at = |share: f64, spread: f64, lacking: f64| DivingFill {
            share: Estimate::new(share, spread),
            lacking,
        };
        match self {
            Self::AnyAmount { least, most } if takes > NO_TANK => {
                let neutral = -blown / takes;
                let share = inside(neutral, [least, most], 2.0 * spread / takes);
                Ok(at(share, spread / takes, (neutral - share) * takes))
            }
            Self::AnyAmount { .. } => Ok(at(1.0, 0.0, -full)),
            Self::AllOrNothing { lightest, heaviest } => {
                let goal = inside(full, [lightest, heaviest], 2.0 * spread);
                Ok(at(1.0, 0.0, goal - full))
            }
        }
    }
}

impl UnderAim {
    /// The least and the greatest mass (kg; negative is taken off) with which a boat meets this aim in water of
    /// `density` (kg/m³).
    ///
    /// # Errors
    /// [`BoatError`] for a density that is not positive.
    pub(super) fn takes(self, boat: &FloatModel, density: f64) -> Result<[f64; 2], BoatError> {
        let blown = boat.flooded(0.0, density)?.residual_mass(density);
        let full = boat.flooded(1.0, density)?.residual_mass(density);
        let by = |share: f64| -blown - share * (full - blown);
        Ok(match self {
            Self::AnyAmount { least, most } if full - blown > NO_TANK => [by(most), by(least)],
            Self::AnyAmount { .. } => [-full; 2],
            Self::AllOrNothing { lightest, heaviest } => [lightest - full, heaviest - full],
        })
    }
}

/// The value itself if it lies between the limits; otherwise the nearest that lies inside them by
/// `margin`, or their middle where they are closer than that.
fn inside(value: f64, [low, high]: [f64; 2], margin: f64) -> f64 {
    if (low..=high).contains(&value) {
        return value;
    }
    let margin = margin.min((high - low) / 2.0).max(0.0);
    if value < low { low + margin } else { high - margin }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Boat, Part, Tank};
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    const WATER: f64 = 1000.0;

    /// A block of 20 litres with a tank of one litre inside it, so much light with the tank blown.
    fn boat(light: f64) -> FloatModel {
        let block = |size: [f64; 3]| Solid::Box { size, centre: Position::ORIGIN };
        let hull = Part::solid("hull", 20.0 - light, Position::ORIGIN, block([1.0, 0.2, 0.1]));
        let inside = crate::boat::Housing::InsideAPart;
        let tank = Tank { housing: inside, ..Tank::new("tank", block([0.1, 0.1, 0.1])) };
        let boat = Boat { parts: vec![hull], tanks: vec![tank], ..Boat::default() };
        FloatModel::new(&boat, Fineness::WORK).expect("a good boat")
    }

    #[track_caller]
    fn fill(aim: UnderAim, light: f64, spread: f64, expected: [f64; 2], what: &str) {
        for held in [0.0, 0.4, 1.0] {
            let boat = boat(light).flooded(held, WATER).expect("a share");
            let got = aim.fill_of(&boat, WATER, spread).expect("water");
            let off = (got.share.value - expected[0]).abs().max((got.lacking - expected[1]).abs());
            assert!(off < 1e-12, "{what}: got {got:?}, expected {expected:?}");
        }
    }

    #[test]
    fn a_boat_that_its_tank_can_make_neutral_lacks_nothing() {
        // Closed form: a litre of tank, so the share is the kilograms it is light.
        let aim = UnderAim::USUAL_FILL;
        fill(aim, 0.601, 0.01, [0.601, 0.0], "just above the least fill");
        fill(aim, 0.89, 0.0, [0.89, 0.0], "between");
        fill(aim, 0.949, 0.01, [0.949, 0.0], "just below the greatest fill");
    }

    #[test]
    fn beyond_its_tank_it_lacks_what_brings_it_inside() {
        let aim = UnderAim::USUAL_FILL;
        fill(aim, 1.2, 0.0, [0.95, 0.25], "too light");
        fill(aim, 0.5, 0.0, [0.6, -0.1], "too heavy");
        fill(aim, 0.5, 0.01, [0.62, -0.12], "by twice the spread further");
        fill(aim, 1.2, 9.0, [0.775, 0.425], "to the middle if the spread is wide");
    }

    #[test]
    fn tanks_that_are_all_or_nothing_are_full() {
        let aim = UnderAim::USUAL_LIGHT;
        fill(aim, 1.02, 0.0, [1.0, 0.0], "20 g light");
        fill(aim, 1.09, 0.0, [1.0, 0.05], "90 g light");
        fill(aim, 0.93, 0.0, [1.0, -0.08], "70 g heavy");
        fill(UnderAim::NEUTRAL, 0.93, 0.5, [1.0, -0.07], "neutral has no room for a spread");
    }
}
