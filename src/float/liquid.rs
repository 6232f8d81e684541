//! The liquid in a tank or a space, ready for calculation.

use super::problem::PartProblem;
use crate::boat::{Tank, TankKind};
use crate::geometry::{Mesh, level_of_volume_near};
use nalgebra::{Matrix3, Unit, Vector3};
use std::sync::Arc;

/// What holds a liquid, by its number from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Container {
    /// A tank, with all its compartments.
    Tank(usize),
    /// A free-flooding space with water trapped in it.
    Space(usize),
}

/// How a liquid lies in its cavity.
#[derive(Debug, Clone, Copy)]
pub(super) enum LiquidBehaviour {
    /// Its surface is level in the world.
    Level,
    /// Between a piston and the end at which it comes in.
    BehindPiston {
        /// The middle of that end, metres.
        from: Vector3<f64>,
        /// From there to the other end, metres.
        stroke: Vector3<f64>,
        /// What the piston weighs, kg. With the tank empty it is one of the boat's weights.
        piston: f64,
    },
    /// All of it acts in the middle of the cavity.
    InTheMiddle,
}

/// The liquid of one compartment of a tank, ready for calculation.
#[derive(Debug, Clone)]
pub(super) struct Liquid {
    pub(super) container: Container,
    pub(super) cavity: Arc<Mesh>,
    pub(super) volume: f64,
    pub(super) density: f64,
    /// A point on its surface in a slightly different boat, if known.
    pub(super) near: Option<Vector3<f64>>,
    pub(super) lies: LiquidBehaviour,
}

/// A point on the surface of each liquid, where one is known: the next level is near it.
pub(super) type Surfaces = Vec<Option<Vector3<f64>>>;

/// Within this share of full a space counts as full: rounding may cost a fill its last digit, and a
/// sliver of air at the top would have a full-sized free surface.
const FULL: f64 = 1.0 - 1e-12;

impl Liquid {
    /// The moment of its weight (kg·m), and of the piston's travel, where it is the same at any
    /// attitude; none where a free surface could run to the low side.
    pub(super) fn fixed_moment(&self) -> Option<Vector3<f64>> {
        let (capacity, mass) = (self.cavity.volume(), self.volume * self.density);
        match self.lies {
            LiquidBehaviour::BehindPiston { from, stroke, piston } => {
                let face = stroke * (self.volume / capacity);
                Some((from + face / 2.0) * mass + face * piston)
            }
            _ if self.volume <= 0.0 => Some(Vector3::zeros()),
            LiquidBehaviour::Level if self.volume < capacity * FULL => None,
            LiquidBehaviour::Level | LiquidBehaviour::InTheMiddle => {
                Some(self.cavity.centroid().vector() * mass)
            }
        }
    }

    /// What is in each compartment of a tank: all are equally full.
    pub(super) fn all(
        number: usize,
        tank: &Tank,
        cavity: &Arc<Mesh>,
    ) -> Result<Vec<Self>, PartProblem> {
        if !(0.0..=1.0).contains(&tank.fill) {
            return Err(PartProblem::Fill(tank.fill));
        }
        if !(tank.liquid_density > 0.0 && tank.liquid_density.is_finite()) {
            return Err(PartProblem::LiquidDensity(tank.liquid_density));
        }
        let lies = match (tank.kind, tank.stroke()) {
            (TankKind::Piston(piston), Some(run)) => LiquidBehaviour::BehindPiston {
                from: run.from.vector(),
                stroke: run.by,
                piston: piston.mass,
            },
            (TankKind::Bag, _) => LiquidBehaviour::InTheMiddle,
            _ => LiquidBehaviour::Level,
        };
        let liquid = |cavity: Arc<Mesh>| Self {
            container: Container::Tank(number),
            volume: tank.fill * cavity.volume(),
            cavity,
            density: tank.liquid_density,
            near: None,
            lies,
        };
        Ok(tank.compartments(cavity)?.into_iter().map(liquid).collect())
    }
}

/// The moment of all weights (kg·m), `fixed` being that of what is no liquid, with each liquid at its level; and
/// what the slack liquids take from the stiffness (kg·m).
pub(super) fn weights(
    fixed: Vector3<f64>,
    liquids: &[Liquid],
    up: Unit<Vector3<f64>>,
    surfaces: &mut Surfaces,
) -> (Vector3<f64>, Matrix3<f64>) {
    let mut moment = fixed;
    let mut free_surface = Matrix3::zeros();
    for (liquid, surface) in liquids.iter().zip(surfaces) {
        if let Some(fixed) = liquid.fixed_moment() {
            moment += fixed;
            continue;
        }
        let level = level_of_volume_near(&liquid.cavity, up, liquid.volume, *surface);
        *surface = level.cut.waterplane.centroid();
        moment += level.cut.first_moment * liquid.density;
        free_surface += level.cut.waterplane.central_second() * liquid.density;
    }
    (moment, free_surface)
}
