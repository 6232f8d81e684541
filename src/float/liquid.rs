//! The liquid in a tank or a space, ready for calculation.

use super::model::PartProblem;
use crate::boat::Tank;
use crate::geometry::Mesh;
use nalgebra::Vector3;
use std::sync::Arc;

/// What holds a liquid, by its number from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Holder {
    /// A tank, with all its compartments.
    Tank(usize),
    /// A free-flooding space with water trapped in it.
    Space(usize),
}

/// The liquid of one compartment of a tank, ready for calculation.
#[derive(Debug, Clone)]
pub(super) struct Liquid {
    pub(super) holder: Holder,
    pub(super) cavity: Arc<Mesh>,
    pub(super) volume: f64,
    pub(super) density: f64,
    /// A point where its surface was in a boat a little different, if known.
    pub(super) near: Option<Vector3<f64>>,
}

/// A space within this share of full is full: a fill that went through some sums may have lost its
/// last digit, and a sliver of air at the top would have a surface as large as any.
const FULL: f64 = 1.0 - 1e-12;

impl Liquid {
    /// True when there is no surface in it that could run to the low side.
    pub(super) fn is_full(&self) -> bool {
        self.volume >= self.cavity.volume() * FULL
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
        let liquid = |cavity: Arc<Mesh>| Self {
            holder: Holder::Tank(number),
            volume: tank.fill * cavity.volume(),
            cavity,
            density: tank.liquid_density,
            near: None,
        };
        Ok(tank.compartments(cavity)?.into_iter().map(liquid).collect())
    }
}
