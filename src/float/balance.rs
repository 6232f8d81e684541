//! Energy of a pose, its exact gradient and Hessian.
//!
//! With n the body's "up", h the height of its origin, V and M the wet volume and its first
//! moment, the potential energy over g is `Σ m (n·c + h) − ρ (n·M + h V)`, with each liquid at
//! its level. Because the integrand of the buoyant term vanishes at the surface, the gradient is
//! plain: `m − ρV` in h and `m G − ρ M` in n; the Hessian adds the waterplane's area and moments,
//! and each liquid takes away the second moment of its own surface. (Potential-energy form of the
//! equilibrium of floating bodies, as in Gilbert 1991, Amer. Math. Monthly 98:201.)

use super::liquid::Surfaces;
use super::model::FloatModel;
use crate::frame::Pose;
use crate::geometry::{Cut, Waterplane};
use nalgebra::{Matrix3, Vector3};

/// What holds the boat at its height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Support {
    /// The water surface: height is free.
    Afloat,
    /// Wholly under at a fixed depth: only the attitude is free.
    Held,
}

/// Forces, moments and stiffness in one pose; everything is divided by gravity.
#[derive(Debug, Clone, Copy)]
pub(super) struct Balance {
    /// Mass with liquids, kg.
    pub(super) mass: f64,
    /// Centre of gravity times mass, kg·m.
    pub(super) weight_moment: Vector3<f64>,
    /// What is wet.
    pub(super) wet: Cut,
    /// Volume of that which answers to [`super::BoatErrors::displaces`], m³, and its first moment, m⁴.
    pub(super) own: (f64, Vector3<f64>),
    /// Potential energy, kg·m.
    pub(super) energy: f64,
    /// Derivative by height: excess of weight over buoyancy, kg.
    pub(super) by_height: f64,
    /// Derivative by "up": moment vector, kg·m.
    pub(super) by_up: Vector3<f64>,
    /// Density of the water, kg/m³.
    pub(super) density: f64,
    /// Σ over slack liquids of density times the surface's central second moment, kg·m.
    pub(super) free_surface: Matrix3<f64>,
}

impl Balance {
    pub(super) fn at(model: &FloatModel, density: f64, pose: Pose, support: Support) -> Self {
        Self::near(model, density, pose, support, &mut model.surfaces())
    }

    /// The same, faster, starting from the liquid surfaces of a nearby pose, which are updated.
    pub(super) fn near(
        model: &FloatModel,
        density: f64,
        pose: Pose,
        support: Support,
        surfaces: &mut Surfaces,
    ) -> Self {
        let mass = model.mass();
        let (weight_moment, free_surface) = model.weights(pose.up(), surfaces);
        let (wet, own) = match support {
            Support::Afloat => model.wet_by(pose),
            Support::Held => {
                let (volume, first_moment) = (model.solid_volume, model.solid_moment);
                (Cut { volume, first_moment, waterplane: Waterplane::NONE }, model.described())
            }
        };
        let own = (own.volume, own.first_moment);
        // Held under, what holds the boat takes up the difference of weight and buoyancy where
        // the buoyancy acts, so the lever is between the two centres.
        let pushed = match support {
            Support::Afloat => density,
            Support::Held => mass / model.solid_volume,
        };
        let by_height = mass - pushed * wet.volume;
        let by_up = weight_moment - wet.first_moment * pushed;
        let energy = pose.up().dot(&by_up) + pose.height() * by_height;
        Self { mass, weight_moment, wet, own, energy, by_height, by_up, density, free_surface }
    }

    /// First derivatives of the energy by height (kg), heel and trim (kg·m).
    pub(super) fn gradient(&self, pose: Pose) -> Vector3<f64> {
        let [heel, trim] = pose.axes().turns();
        Vector3::new(self.by_height, self.by_up.dot(&heel), self.by_up.dot(&trim))
    }

    /// Second derivatives of the energy by height, heel and trim: kg/m of height alone, kg of height with a turn,
    /// kg·m of turns.
    pub(super) fn hessian(&self, pose: Pose) -> Matrix3<f64> {
        let turns = pose.axes().turns();
        let waterplane = &self.wet.waterplane;
        let height_up = waterplane.first * self.density;
        let up_up = waterplane.second * self.density - self.free_surface;
        // "Up" stays of unit length: the curvature of the sphere on which it moves.
        let sphere = self.by_up.dot(&pose.up());
        let mut hessian = Matrix3::zeros();
        hessian[(0, 0)] = self.density * waterplane.area;
        for (i, turn) in turns.iter().enumerate() {
            let mixed = height_up.dot(turn);
            hessian[(0, i + 1)] = mixed;
            hessian[(i + 1, 0)] = mixed;
            for (j, other) in turns.iter().enumerate() {
                let own = if i == j { sphere } else { 0.0 };
                hessian[(i + 1, j + 1)] = turn.dot(&(up_up * other)) - own;
            }
        }
        hessian
    }

    /// Stiffness against turning at constant displacement, kg·m: symmetric, to be projected on
    /// directions square to "up".
    pub(super) fn turning(&self, pose: Pose) -> Matrix3<f64> {
        let central = self.wet.waterplane.central_second() * self.density - self.free_surface;
        central - Matrix3::identity() * self.by_up.dot(&pose.up())
    }
}
