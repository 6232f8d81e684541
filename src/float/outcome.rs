//! What a boat put into the water does. None of these is a failure of the calculation.

use super::balance::Balance;
use super::model::FloatModel;
use super::settle::{DescentResult, Report};
use super::stability::Stiffness;
use crate::frame::{Body, Pose, Position};
use crate::geometry::Waterplane;
use std::f64::consts::FRAC_PI_2;

/// What a boat does in the water.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// It floats at the surface, perhaps far over: see [`Afloat::is_capsized`].
    Floats(Afloat),
    /// It hangs in the water, heavy or light by no more than [`NEUTRAL`].
    Neutral(Submerged),
    /// It weighs more than all of it displaces.
    Sinks(Submerged),
}

/// Residual mass within which a boat counts as neutral, kg: a twentieth of a gram.
pub const NEUTRAL: f64 = 0.05e-3;

impl Outcome {
    /// The state at the surface, if it has one.
    pub fn afloat(&self) -> Option<&Afloat> {
        match self {
            Self::Floats(afloat) => Some(afloat),
            Self::Neutral(_) | Self::Sinks(_) => None,
        }
    }

    /// The pose, afloat or under.
    pub fn pose(&self) -> Pose {
        match self {
            Self::Floats(a) => a.pose,
            Self::Neutral(u) | Self::Sinks(u) => u.pose,
        }
    }

    /// The metacentric heights; under water BG less what slack tanks take.
    pub fn stiffness(&self) -> Stiffness {
        match self {
            Self::Floats(a) => a.stiffness,
            Self::Neutral(u) | Self::Sinks(u) => u.stiffness,
        }
    }

    /// The centre of gravity, liquids included.
    pub fn centre_of_gravity(&self) -> Position<Body> {
        match self {
            Self::Floats(a) => a.centre_of_gravity,
            Self::Neutral(u) | Self::Sinks(u) => u.centre_of_gravity,
        }
    }

    /// The state under water, if it is that.
    pub fn submerged(&self) -> Option<&Submerged> {
        match self {
            Self::Neutral(under) | Self::Sinks(under) => Some(under),
            Self::Floats(_) => None,
        }
    }
}

/// A boat at rest at the surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Afloat {
    /// Height, heel and trim.
    pub pose: Pose,
    /// Mass with liquids: the displacement, kg.
    pub mass: f64,
    /// Displaced volume, m³.
    pub volume: f64,
    /// Reserve of buoyancy: the volume still above water, m³.
    pub reserve: f64,
    /// Centre of gravity, liquids included.
    pub centre_of_gravity: Position<Body>,
    /// Centre of buoyancy.
    pub centre_of_buoyancy: Position<Body>,
    /// The area where the surface passes through the boat.
    pub waterplane: Waterplane,
    /// Metacentric heights.
    pub stiffness: Stiffness,
    /// How the calculation went.
    pub report: Report,
}

impl Afloat {
    pub(super) fn of(model: &FloatModel, settled: &DescentResult) -> Self {
        let DescentResult { pose, balance, report } = *settled;
        let (gravity, buoyancy) = centres(&balance);
        Self {
            pose,
            mass: balance.mass,
            volume: balance.wet.volume,
            reserve: model.total_volume() - balance.wet.volume,
            centre_of_gravity: gravity,
            centre_of_buoyancy: buoyancy,
            waterplane: balance.wet.waterplane,
            stiffness: Stiffness::of(&balance, pose),
            report,
        }
    }

    /// How high the metacentre against heel lies over the centre of buoyancy, metres: BM = I / V, the textbook
    /// formula, I of the waterplane about the fore-and-aft axis through its centre.
    pub fn metacentric_radius(&self) -> f64 {
        let port = self.pose.axes().port;
        port.dot(&(self.waterplane.central_second() * port)) / self.volume
    }

    /// True when its keel points more up than down.
    pub fn is_capsized(&self) -> bool {
        self.pose.heel().abs() > FRAC_PI_2
    }
}

/// A boat hanging wholly under water, its centre of gravity straight below that of buoyancy.
#[derive(Debug, Clone, PartialEq)]
pub struct Submerged {
    /// Heel and trim; the height means nothing under water.
    pub pose: Pose,
    /// Mass with liquids, kg.
    pub mass: f64,
    /// Mass beyond what the water carries, kg; positive is heavy.
    pub residual: f64,
    /// Centre of gravity, liquids included.
    pub centre_of_gravity: Position<Body>,
    /// Centre of buoyancy.
    pub centre_of_buoyancy: Position<Body>,
    /// Height of the centre of buoyancy over that of gravity along the vertical, BG, metres.
    pub bg: f64,
    /// BG less what slack tanks take.
    pub stiffness: Stiffness,
    /// How the calculation went.
    pub report: Report,
}

impl Submerged {
    pub(super) fn of(model: &FloatModel, density: f64, settled: &DescentResult) -> Self {
        let DescentResult { pose, balance, report } = *settled;
        let (gravity, buoyancy) = centres(&balance);
        Self {
            pose,
            mass: balance.mass,
            residual: model.residual_mass(density),
            centre_of_gravity: gravity,
            centre_of_buoyancy: buoyancy,
            bg: pose.up().dot(&(buoyancy.vector() - gravity.vector())),
            stiffness: Stiffness::of(&balance, pose),
            report,
        }
    }
}

fn centres(balance: &Balance) -> (Position<Body>, Position<Body>) {
    (
        Position::from_vector(balance.weight_moment / balance.mass),
        Position::from_vector(balance.wet.first_moment / balance.wet.volume),
    )
}
