//! A weight at a place: how heavy, where, and what it counts in the water there.

use super::need::Need;
use super::target::Target;
use crate::boat::{Medium, Place};
use crate::fit::Estimate;
use crate::float::{BoatError, FloatModel};
use crate::frame::{Body, Position};
use crate::unit::{GRAM, MILLIMETRE};
use crate::water::POOL_DENSITY;
use nalgebra::Vector2;

/// A cubic centimetre, m³.
const CUBIC_CENTIMETRE: f64 = 1e-6;

/// A weight at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Weight {
    /// Mass in air, kg, always positive; whole grams, or whole cubic centimetres of what floats.
    pub mass: Estimate,
    /// Place along the boat, metres; whole millimetres.
    pub x: Estimate,
    /// Place across, metres, to port; whole millimetres.
    pub y: Estimate,
    /// What it counts in the water, kg per kg: less than one for a weight that is under water, less than
    /// nothing for one that floats.
    pub counts: f64,
    /// Density of its material, kg/m³.
    pub material: f64,
    /// The same if water comes to it: then it displaces where it is under. None
    /// inside something that keeps water out.
    pub displaces: Option<f64>,
    /// Height and name of the place.
    pub place: Place,
}

/// A piece of ballast that is asked for, and the water that it comes into.
pub(super) struct Piece<'a> {
    pub(super) place: &'a Place,
    /// Density of its material, kg/m³.
    pub(super) material: f64,
    /// Density of the water, kg/m³.
    pub(super) water: f64,
    /// How the boat should lie.
    pub(super) target: Target,
}

/// Whether a material of this density (kg/m³) floats.
pub(crate) fn floats(material: f64) -> bool {
    material < POOL_DENSITY
}

/// The least that is cut of a material of this density (kg/m³), kg: a gram; of what floats a cubic centimetre,
/// for a gram of that lifts many.
pub(super) fn least_cut(material: f64) -> f64 {
    if floats(material) { material * CUBIC_CENTIMETRE } else { GRAM }
}

/// A value to the nearest whole number of units.
pub(super) fn rounded(value: f64, unit: f64) -> f64 {
    (value / unit).round() * unit
}

impl Weight {
    /// The weight that gives the mass and the moments at once. Spreads to the first order (GUM
    /// section 5.1.2): x = centre + moment / mass.
    pub(super) fn of(boat: &FloatModel, need: &Need, piece: &Piece<'_>) -> Self {
        let coordinate = |k: usize| {
            let lever = need.moment[k] / need.mass;
            let by = Vector2::new(-lever / need.mass, 1.0 / need.mass);
            let c = &need.covariance;
            let variance = by.x * by.x * c[(0, 0)]
                + 2.0 * by.x * by.y * c[(0, k + 1)]
                + by.y * by.y * c[(k + 1, k + 1)];
            Estimate::new(rounded(need.centre[k] + lever, MILLIMETRE), variance.max(0.0).sqrt())
        };
        let (x, y) = (coordinate(0), coordinate(1));
        let at = Position::new(x.value, y.value, piece.place.z);
        let is_outside = piece.is_outside(boat, at);
        let counts =
            if is_outside && piece.is_under(at) { 1.0 - piece.water / piece.material } else { 1.0 };
        let mass = rounded((need.mass / counts).abs(), least_cut(piece.material));
        Self {
            mass: Estimate::new(mass, need.spread(0) / counts.abs()),
            x,
            y,
            counts,
            material: piece.material,
            displaces: is_outside.then_some(piece.material),
            place: piece.place.clone(),
        }
    }

    /// What it takes up, m³.
    pub fn volume(&self) -> f64 {
        self.mass.value / self.material
    }

    /// Whether its material floats: it is cut by volume.
    pub fn floats(&self) -> bool {
        floats(self.material)
    }

    /// By how much its mass can be cut, kg.
    pub fn cut(&self) -> f64 {
        least_cut(self.material)
    }

    /// Whether it is foam at a place where it does not lift.
    pub(super) fn lifts_nothing(&self) -> bool {
        self.floats() && self.counts > 0.0
    }

    /// Where it goes.
    pub fn at(&self) -> Position<Body> {
        Position::new(self.x.value, self.y.value, self.place.z)
    }

    /// A boat with it.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when nothing is left.
    pub(super) fn put_on(&self, boat: &FloatModel) -> Result<FloatModel, BoatError> {
        match self.displaces {
            Some(material) => boat.with_piece(self.mass.value, self.at(), material),
            None => boat.with_weight(self.mass.value, self.at()),
        }
    }
}

impl Piece<'_> {
    /// Whether water comes to it. A place that is called dry is so inside a solid of the boat; elsewhere it
    /// is only dry while it is above the water.
    fn is_outside(&self, boat: &FloatModel, at: Position<Body>) -> bool {
        match self.place.medium {
            Medium::Wet => true,
            Medium::Dry => !boat.solids().iter().any(|solid| solid.holds(at)),
        }
    }

    /// Whether it is under when the boat lies as it should.
    fn is_under(&self, at: Position<Body>) -> bool {
        self.target.pose().is_none_or(|pose| pose.water_height_at(at.x(), at.y()) > at.z())
    }
}
