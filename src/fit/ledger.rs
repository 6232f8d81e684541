//! What is known of a boat before it is read: how well its parts are described.

use super::found::Fit;
use super::known::{Covariance, Errors, KnownErrors};
use crate::float::{BoatError, FloatModel, UncertainWeight};
use crate::frame::{Body, Pose, Position};
use crate::geometry::Bounds;
use nalgebra::Vector3;

/// How well one part is described.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartSpread {
    /// Its mass, kg.
    pub mass: f64,
    /// The spread of that, kg.
    pub weighs: f64,
    /// Where its mass acts.
    pub at: Position<Body>,
    /// Its size, metres.
    pub size: Vector3<f64>,
}

/// How well a part is put, along each axis, metres: common practice, no source.
const PLACED: f64 = 3e-3;
/// How far its centre of mass may be from where it is described to be, as a share of its size. Common practice, no
/// source.
const CENTRED: f64 = 0.02;
/// How far the height of the whole may be off besides, as a share of the depth: what is said of heights is guessed
/// more often than measured. Common practice, no source.
const HEIGHT: f64 = 0.04;
/// Mass that lists leave out, as a share of the whole, anywhere in the boat: wires, glue, water that stayed. Common
/// practice, no source.
const LEFT_OUT: f64 = 0.03;
/// How well six numbers tell the mass (as a share), and the centre of gravity along (of the length) and across (of
/// the beam). Common practice, no source.
const WEIGHED: f64 = 0.1;
const LEVEL: f64 = 0.02;
const UPRIGHT: f64 = 0.05;
/// Share by which solids of typed sizes displace more or less: common practice, no source.
const DISPLACES: f64 = 0.01;

impl KnownErrors {
    /// Of a boat entered part by part, with these bounds. Errors of its parts are independent: JCGM 100:2008 (GUM)
    /// section 5.1.2.
    pub fn of_parts(
        bare: UncertainWeight,
        bounds: Bounds,
        parts: impl IntoIterator<Item = PartSpread>,
    ) -> Self {
        let parts: Vec<PartSpread> = parts.into_iter().collect();
        let mut covariance =
            Self::of_masses(bare, parts.iter().map(|p| (p.weighs, p.at))).covariance;
        let mut moved = Vector3::zeros();
        for part in parts {
            let share = part.mass / bare.mass;
            let off = part.size.map(|size| PLACED.hypot(CENTRED * size) * share);
            moved += off.component_mul(&off);
        }
        covariance[(0, 0)] += (LEFT_OUT * bare.mass).powi(2);
        // Anywhere within the bounds, evenly: a twelfth of the square of the length.
        let anywhere = bounds.size() * (LEFT_OUT / 12.0_f64.sqrt());
        moved += anywhere.component_mul(&anywhere);
        moved.z += (HEIGHT * bounds.size().z).powi(2);
        for k in 0..3 {
            covariance[(k + 1, k + 1)] += moved[k];
        }
        covariance[(4, 4)] = DISPLACES * DISPLACES;
        Self { errors: Errors::zeros(), covariance }
    }

    /// Of a boat whose parts weigh what they do with these spreads (kg), each at its place, and which is as described
    /// otherwise.
    pub fn of_masses(
        bare: UncertainWeight,
        parts: impl IntoIterator<Item = (f64, Position<Body>)>,
    ) -> Self {
        let mut covariance = Covariance::zeros();
        for (weighs, at) in parts {
            let lever = (at.vector() - bare.centre) / bare.mass;
            let by = Errors::from([1.0, lever.x, lever.y, lever.z, 0.0]) * weighs;
            covariance += by * by.transpose();
        }
        Self { errors: Errors::zeros(), covariance }
    }

    /// Of a boat of six numbers: its response to weight may differ by this share (one standard deviation), and its
    /// centre of gravity by `height` (metres). What it displaces at its waterline is told, so that its mass counts against
    /// that: what it is heavier than its waterline has it, and not than what was weighed.
    pub fn of_six_numbers(model: &FloatModel, response: f64, height: f64) -> Self {
        let (mass, size) = (model.bare().mass, model.bounds().size());
        Self::independent([WEIGHED * mass, LEVEL * size.x, UPRIGHT * size.y, height, response])
    }
}

impl Fit {
    /// The boat as it is known without a reading of it: `model` with these errors, lying in a pose.
    ///
    /// # Errors
    /// [`BoatError`] where such a boat cannot be.
    pub fn of_known(
        model: &FloatModel,
        pose: Pose,
        known: &KnownErrors,
    ) -> Result<Self, BoatError> {
        Ok(Self::new(model.with_errors(&known.errors.into())?, pose, known))
    }

    /// The boat as described, before anything was read of it; `pose` is how it should lie.
    pub fn as_described(model: &FloatModel, pose: Pose, known: &KnownErrors) -> Self {
        Self::new(model.clone(), pose, known)
    }
}
