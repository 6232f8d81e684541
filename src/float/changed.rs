//! The same boat with something changed: a weight on it, or an error in its description.

use super::boat_errors::BoatErrors;
use super::model::FloatModel;
use super::problem::BoatError;
use crate::frame::{Body, Pose, Position};
use crate::geometry::{Cut, Fineness, Mesh, Solid, SolidError, Waterplane};
use nalgebra::Vector3;
use std::sync::Arc;

impl FloatModel {
    /// The same boat with a point weight added (or, if negative, removed) at a place.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when nothing is left.
    pub fn with_weight(&self, mass: f64, at: Position<Body>) -> Result<Self, BoatError> {
        let mut model = self.clone();
        model.weight += mass;
        model.weight_moment += at.vector() * mass;
        model.checked()
    }

    /// The same boat with a piece of material of `density` (kg/m³) added, in the wet: a small cube
    /// that displaces where it is under. The box around the boat stays as it was.
    ///
    /// # Errors
    /// [`BoatError`] for an impossible piece, or when nothing is left.
    pub fn with_piece(
        &self,
        mass: f64,
        at: Position<Body>,
        density: f64,
    ) -> Result<Self, BoatError> {
        let side = (mass / density).cbrt();
        if !(side > 0.0 && side.is_finite()) {
            return self.with_weight(mass, at);
        }
        self.with_solid(mass, at, &Solid::Box { size: [side; 3], centre: at })
    }

    /// The same boat with a weight on it whose solid displaces where it is under. The box around the boat stays
    /// as it was.
    ///
    /// # Errors
    /// [`BoatError`] for an impossible solid, or when nothing is left.
    pub fn with_solid(
        &self,
        mass: f64,
        at: Position<Body>,
        solid: &Solid,
    ) -> Result<Self, BoatError> {
        let wrong = |problem: SolidError| BoatError::Part {
            name: "weight".to_owned(),
            problem: problem.into(),
        };
        self.with_mesh(mass, at, solid.mesh(Fineness::WORK).map_err(wrong)?)
    }

    /// The same where the solid is a mesh already.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when nothing is left.
    pub fn with_mesh(
        &self,
        mass: f64,
        at: Position<Body>,
        mesh: Arc<Mesh>,
    ) -> Result<Self, BoatError> {
        self.with_weight(mass, at)?.with_share_of(mesh, 1.0)
    }

    /// The same boat without a share (0 to 1) of a part of it that weighs `mass` (kg) at a place, and displaces what
    /// its `solid` does, if it has one: mass and displaced volume go alike, and stay where they were.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when nothing is left.
    pub fn without_share(
        &self,
        mass: f64,
        at: Position<Body>,
        solid: Option<&Arc<Mesh>>,
        share: f64,
    ) -> Result<Self, BoatError> {
        let lighter = self.with_weight(-mass * share, at)?;
        match solid {
            Some(mesh) => lighter.with_share_of(Arc::clone(mesh), -share),
            None => Ok(lighter),
        }
    }

    fn with_share_of(mut self, mesh: Arc<Mesh>, share: f64) -> Result<Self, BoatError> {
        self.solid_volume += mesh.volume() * share;
        self.solid_moment += mesh.first_moment() * share;
        self.pieces.push((mesh, share));
        self.checked()
    }

    /// The same boat weighing `mass_error` more, with its centre of gravity moved by `offset`
    /// (metres) from where the model has it when upright.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when nothing is left.
    pub fn with_error(&self, mass_error: f64, offset: Vector3<f64>) -> Result<Self, BoatError> {
        let centre = self.centre_of_gravity(Vector3::z_axis());
        let mut model = self.clone();
        model.weight += mass_error;
        // The offset is that of the whole, liquids included; the dry part carries it.
        model.weight_moment += centre.vector() * mass_error + offset * model.mass();
        model.checked()
    }

    /// The same boat as it really is, where it differs so from its description.
    ///
    /// # Errors
    /// [`BoatError`] when nothing is left that weighs or displaces.
    pub fn with_errors(&self, errors: &BoatErrors) -> Result<Self, BoatError> {
        let bare = self.bare();
        let mut model = self.clone();
        model.weight += errors.mass;
        model.weight_moment = (bare.centre + errors.centre) * model.weight;
        model.displaces += errors.displaces;
        let described = self.described();
        model.solid_volume += described.volume * errors.displaces;
        model.solid_moment += described.first_moment * errors.displaces;
        model.checked()
    }

    /// The same boat described by what it displaces in a pose: only what it displaces more or less than there
    /// answers to [`BoatErrors::displaces`].
    #[must_use]
    pub fn told_in(mut self, pose: Pose) -> Self {
        self.told = Cut { waterplane: Waterplane::NONE, ..self.below(pose) };
        self
    }

    /// The same boat and mass with a weight moment (kg·m) added: something was moved, or is not
    /// where the model has it. It is the same at every fill of the tanks.
    ///
    /// # Errors
    /// [`BoatError::Moment`] when it is not finite.
    pub fn with_moment(&self, moment: Vector3<f64>) -> Result<Self, BoatError> {
        let mut model = self.clone();
        model.weight_moment += moment;
        model.checked()
    }
}
