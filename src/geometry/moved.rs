//! Solids in another place.

use super::solid::Solid;
use crate::frame::Position;
use nalgebra::Vector3;
use std::sync::Arc;

impl Solid {
    /// The same solid moved by a distance, metres.
    #[must_use]
    pub fn moved(&self, by: Vector3<f64>) -> Self {
        let mut solid = self.clone();
        match &mut solid {
            Self::Box { centre, .. }
            | Self::Cylinder { centre, .. }
            | Self::DomedCylinder { centre, .. }
            | Self::Sphere { centre, .. }
            | Self::Ellipsoid { centre, .. }
            | Self::Frustum { centre, .. } => *centre = Position::from_vector(centre.vector() + by),
            Self::Revolved { origin, .. } => *origin = Position::from_vector(origin.vector() + by),
            Self::Mesh(mesh) => *mesh = Arc::new(mesh.shifted(by)),
        }
        solid
    }
}
