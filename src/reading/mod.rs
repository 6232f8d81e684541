//! A reading: what was seen in one state of the boat, each figure with its spread.

mod condition;
mod observation;
mod tilt;

pub use condition::Condition;
pub use observation::{Observation, ReadingError, Seen};
pub use tilt::{Reversal, Tilt, TiltAverage, TiltSample};

use crate::float::{BoatError, FloatModel};
use crate::frame::{Body, Position};
use crate::geometry::{Fineness, Solid};

/// Something aboard during the reading that is not part of the boat: the phone on deck.
#[derive(Debug, Clone, PartialEq)]
pub struct Aboard {
    /// What it is.
    pub name: String,
    /// Mass, kg.
    pub mass: f64,
    /// Where its weight acts.
    pub at: Position<Body>,
    /// How far from there it may lie, along and across, metres (one standard deviation).
    pub off: f64,
    /// What of it displaces water where it is under; none of what lies in the dry.
    pub solid: Option<Solid>,
}

impl Aboard {
    /// Density of what of it displaces, kg/m³.
    pub fn density(&self) -> Option<f64> {
        let volume = self.solid.as_ref()?.mesh(Fineness::WORK).ok()?.volume();
        (volume > 0.0).then(|| self.mass / volume)
    }

    /// What it weighs where it is wholly under, kg: less what it displaces.
    pub fn weighs_under(&self, water_density: f64) -> f64 {
        self.mass * self.density().map_or(1.0, |density| 1.0 - water_density / density)
    }

    /// What a weight in the wet displaces: a cube of its material (mass kg, density kg/m³). None where that is nothing.
    pub fn cube(mass: f64, density: f64, at: Position<Body>) -> Option<Solid> {
        let side = (mass / density).cbrt();
        let cube = Solid::Box { size: [side; 3], centre: at };
        (side > 0.0 && side.is_finite()).then_some(cube)
    }

    /// A boat with it.
    ///
    /// # Errors
    /// [`BoatError`] for an impossible solid, or when nothing is left.
    pub fn on(&self, boat: &FloatModel) -> Result<FloatModel, BoatError> {
        match &self.solid {
            Some(solid) => boat.with_solid(self.mass, self.at, solid),
            None => boat.with_weight(self.mass, self.at),
        }
    }
}

/// Mass of a phone, kg: common practice, no source.
pub const PHONE_MASS: f64 = 0.2;
/// How well a phone is put where it is said to lie, metres: common practice, no source.
pub const PHONE_PLACED: f64 = 3e-3;
/// How well a known weight is put where it is said to lie, metres: common practice, no source.
pub const WEIGHT_PLACED: f64 = 2e-3;
/// Spread of the whole boat on the scales, kg: common practice, no source.
pub const SCALES_SPREAD: f64 = 5e-3;
/// The same as a share of what they show, where that is more: common practice, no source.
pub const SCALES_SHARE: f64 = 1e-3;
/// Spread of the place at which a boat balances over an edge, metres: common practice, no source.
pub const BALANCE_SPREAD: f64 = 2e-3;
/// Spread of a height read at a mark, metres: common practice, no source.
pub const MARK_SPREAD: f64 = 1e-3;
/// Spread of an angle read with a phone after zeroing, radians.
///
/// Source: Mourcou et al. 2015, Sensors 15:23168: static error below 0.3° against a robot arm.
pub const ANGLE_SPREAD: f64 = 0.3 * crate::unit::DEGREE;
/// Spread of an angle read with a phone whose zero nobody has found, radians: common practice, no source. A
/// case and a bent table are in it.
pub const UNZEROED_SPREAD: f64 = crate::unit::DEGREE;
/// Spread of a residual weight found with a spring scale or by adding grams, kg: common practice,
/// no source.
pub const RESIDUAL_SPREAD: f64 = 2e-3;
/// Spread of an angle judged by eye, radians: common practice, no source.
pub const ANGLE_BY_EYE: f64 = 3.0 * crate::unit::DEGREE;
/// Spread of a fill judged by the time that the valves or the pump were open, as a share of full:
/// common practice, no source.
pub const FILL_BY_TIME: f64 = 0.05;
/// Spread of how full a tank is that is neither blown nor full, as a share of what it can take: common
/// practice, no source. Blown and full are known.
pub const FILL_SPREAD: f64 = 0.03;

/// Steps to which figures are noted: a height at a mark (metres), an angle (radians), a mass (kg). Common practice, no
/// source.
const MARK_STEP: f64 = 0.5e-3;
const ANGLE_STEP: f64 = 0.1 * crate::unit::DEGREE;
const RESIDUAL_STEP: f64 = 1e-3;

/// What was seen in one state of the boat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Reading {
    /// At the surface or under.
    pub condition: Condition,
    /// Density of the water, kg/m³.
    pub water_density: f64,
    /// What lay aboard besides the boat.
    pub aboard: Vec<Aboard>,
    /// The figures that count.
    pub observations: Vec<Observation>,
    /// Figures that were read and do not count: whoever read them set them aside.
    pub aside: Vec<Observation>,
    /// Pushed over to its other side by hand, it came back (or stayed there); none if nobody tried.
    pub comes_back: Option<bool>,
}

impl Reading {
    /// Checks every figure.
    ///
    /// # Errors
    /// [`ReadingError`] when nothing was read, or a figure or a spread cannot be.
    pub fn check(&self) -> Result<(), ReadingError> {
        if self.observations.is_empty() {
            return Err(ReadingError::Nothing);
        }
        self.observations.iter().try_for_each(|o| o.check(self.condition))
    }

    /// The same with the step to which each figure is noted in its spread: evenly anywhere within it, a twelfth of its
    /// square. Source: JCGM 100:2008 (GUM) section 4.3.7.
    #[must_use]
    pub fn as_noted(mut self) -> Self {
        for observation in &mut self.observations {
            let step = match observation.seen {
                Seen::WaterAtMark { .. } => MARK_STEP,
                Seen::List(_) | Seen::Trim(_) => ANGLE_STEP,
                Seen::Residual(_) => RESIDUAL_STEP,
            };
            observation.spread = observation.spread.hypot(step / 12.0_f64.sqrt());
        }
        self
    }

    /// All figures that were read, those that do not count last.
    pub fn as_read(&self) -> impl Iterator<Item = &Observation> {
        self.observations.iter().chain(&self.aside)
    }
}
