//! A part: a mass, where it is, and the solid that displaces water, if any.

use crate::frame::{Body, Position};
use crate::geometry::Solid;

/// Whether a part counts in the boat as it floats now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Status {
    /// Planned, not aboard.
    Planned,
    /// Strapped or taped on.
    Temporary,
    /// Bolted or bonded in.
    #[default]
    Fixed,
    /// Removed, kept in the list.
    TakenOut,
}

impl Status {
    /// True for what is aboard now.
    pub fn is_aboard(self) -> bool {
        matches!(self, Self::Temporary | Self::Fixed)
    }
}

/// One part of a boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// What the builder calls it.
    pub name: String,
    /// Mass, kilograms.
    pub mass: f64,
    /// Centre of mass.
    pub centre: Position<Body>,
    /// Its solid, which displaces unless it lies inside another; none for a mere weight.
    pub solid: Option<Solid>,
    /// Whether it is aboard.
    pub status: Status,
    /// Whether it displaces, if set; if none, the shapes decide, see [`super::Nesting`].
    pub displaces: Option<bool>,
}

impl Part {
    /// A weight that displaces nothing.
    pub fn weight(name: impl Into<String>, mass: f64, centre: Position<Body>) -> Self {
        Self {
            name: name.into(),
            mass,
            centre,
            solid: None,
            status: Status::Fixed,
            displaces: None,
        }
    }

    /// A part that displaces water.
    pub fn solid(name: impl Into<String>, mass: f64, centre: Position<Body>, solid: Solid) -> Self {
        Self { solid: Some(solid), ..Self::weight(name, mass, centre) }
    }

    pub(super) fn mirrored(&self) -> Self {
        Self {
            name: self.name.clone(),
            mass: self.mass,
            centre: mirrored_place(self.centre),
            solid: self.solid.as_ref().map(mirrored_solid),
            status: self.status,
            displaces: self.displaces,
        }
    }
}

/// A place on the other side of the centre plane.
pub(super) fn mirrored_place(at: Position<Body>) -> Position<Body> {
    Position::new(at.x(), -at.y(), at.z())
}

/// A solid on the other side of the centre plane. All but meshes are symmetric themselves.
pub(super) fn mirrored_solid(solid: &Solid) -> Solid {
    let place = mirrored_place;
    match solid {
        Solid::Box { size, centre } => Solid::Box { size: *size, centre: place(*centre) },
        &Solid::Cylinder { axis, length, diameter, centre } => {
            Solid::Cylinder { axis, length, diameter, centre: place(centre) }
        }
        &Solid::DomedCylinder { length, diameter, dome, centre } => {
            Solid::DomedCylinder { length, diameter, dome, centre: place(centre) }
        }
        &Solid::Sphere { diameter, centre } => Solid::Sphere { diameter, centre: place(centre) },
        Solid::Ellipsoid { size, centre } => {
            Solid::Ellipsoid { size: *size, centre: place(*centre) }
        }
        &Solid::Frustum { length, diameter_aft, diameter_fore, centre } => {
            Solid::Frustum { length, diameter_aft, diameter_fore, centre: place(centre) }
        }
        Solid::Revolved { stations, origin } => {
            Solid::Revolved { stations: stations.clone(), origin: place(*origin) }
        }
        Solid::Mesh(mesh) => Solid::Mesh(mesh.mirrored().into()),
    }
}
