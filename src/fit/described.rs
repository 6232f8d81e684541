//! A boat as it is described, before anything was read of it: the fit that later ones improve on.

use super::estimate::Estimate;
use super::found::Fit;
use super::lean::Lean;
use super::model_spread::ModelSpread;
use crate::float::FloatModel;
use crate::frame::{Body, Pose, Position};
use nalgebra::{Matrix4, Vector3, Vector4};

impl Fit {
    /// The boat as described, whose parts weigh what they do with these spreads (kg), each at its place; `pose`
    /// is how it should lie. Errors of the parts are independent: JCGM 100:2008 (GUM) section 5.1.2.
    pub fn as_described(
        model: &FloatModel,
        pose: Pose,
        parts: impl IntoIterator<Item = (f64, Position<Body>)>,
        spread: ModelSpread,
    ) -> Self {
        let centre = model.centre_of_gravity(Vector3::z_axis()).vector();
        let mut covariance = Matrix4::zeros();
        for (weighs, at) in parts {
            let lever = (at.vector() - centre) / model.mass();
            let by = Vector4::new(1.0, lever.x, lever.y, lever.z) * weighs;
            covariance += by * by.transpose();
        }
        covariance[(3, 3)] += spread.centre_height * spread.centre_height;
        let own = |k: usize| Estimate::new(0.0, covariance[(k, k)].sqrt());
        Self {
            found: model.clone(),
            pose,
            mass_error: own(0),
            offset: [own(1), own(2), own(3)],
            covariance,
            of_reading: Matrix4::zeros(),
            untold: Vec::new(),
            contradiction: None,
            help: None,
            lean: Lean::Upright,
        }
    }
}
