//! What a reading tells of a boat.

use super::estimate::{Estimate, Unknown};
use super::help::Help;
use super::lean::Lean;
use crate::float::FloatModel;
use crate::frame::Pose;
use nalgebra::Matrix4;

/// The reading contradicts itself or the model.
#[derive(Debug, Clone, PartialEq)]
pub struct Contradiction {
    /// The observation that fits worst, by its place in the reading (or a sighting by its own).
    pub worst: usize,
    /// How far it is off, in its own spreads.
    pub off: f64,
    /// Sum of squares of what is left over.
    pub chi_squared: f64,
    /// Figures read beyond those needed.
    pub spare: usize,
}

/// What a reading tells of a boat.
#[derive(Debug, Clone)]
pub struct Fit {
    /// The boat as it was found, without what lay aboard for the reading.
    pub found: FloatModel,
    /// How it lay with what lay aboard.
    pub pose: Pose,
    /// Mass beyond the model's, kg.
    pub mass_error: Estimate,
    /// Centre of gravity from the model's, along x, y and z, metres.
    pub offset: [Estimate; 3],
    /// Covariance of mass and offsets, in that order, SI.
    pub covariance: Matrix4<f64>,
    /// The same for a perfect model: only what the figures' own spreads leave open.
    pub of_reading: Matrix4<f64>,
    /// What the reading does not tell: held at the model's value, with a wide ±.
    pub untold: Vec<Unknown>,
    /// What does not fit, if something does not.
    pub contradiction: Option<Contradiction>,
    /// What to read next.
    pub help: Option<Help>,
    /// What kind of lean it is.
    pub lean: Lean,
}
