//! A mesh in the file: lists of vertices and triangles, checked once and then shared.

use crate::geometry::{Mesh, MeshError};
use nalgebra::Vector3;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A closed mesh, or the lists that were found in its place and what is wrong with them: what
/// cannot be used is kept as it is.
#[derive(Debug, Clone, Serialize, Deserialize)]
#[serde(from = "Lists", into = "Lists")]
pub struct MeshRecord {
    found: Result<Arc<Mesh>, (Arc<Lists>, MeshError)>,
    id: u64,
}

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
struct Lists {
    vertices_m: Vec<[f64; 3]>,
    faces: Vec<[u32; 3]>,
}

impl MeshRecord {
    /// The record of a mesh.
    pub fn new(mesh: Arc<Mesh>) -> Self {
        let id = content_id(mesh.vertices().iter().map(|v| [v.x, v.y, v.z]), mesh.faces());
        Self { found: Ok(mesh), id }
    }

    /// The mesh.
    ///
    /// # Errors
    /// [`MeshError`] when the lists are no closed mesh.
    pub fn mesh(&self) -> Result<Arc<Mesh>, MeshError> {
        match &self.found {
            Ok(mesh) => Ok(Arc::clone(mesh)),
            Err((_, problem)) => Err(problem.clone()),
        }
    }

    /// The mirror image across the centre plane; lists that are no mesh stay as they are.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        match &self.found {
            Ok(mesh) => Self::new(Arc::new(mesh.mirrored())),
            Err(_) => self.clone(),
        }
    }

    /// A name made of its contents: equal meshes have equal names.
    pub fn content_name(&self) -> String {
        format!("{:016x}", self.id)
    }
}

impl PartialEq for MeshRecord {
    fn eq(&self, other: &Self) -> bool {
        if self.id != other.id {
            return false;
        }
        match (&self.found, &other.found) {
            (Ok(a), Ok(b)) => Arc::ptr_eq(a, b) || a == b,
            (Err((a, _)), Err((b, _))) => a == b,
            _ => false,
        }
    }
}

impl From<Lists> for MeshRecord {
    fn from(lists: Lists) -> Self {
        let id = content_id(lists.vertices_m.iter().copied(), &lists.faces);
        let vertices = lists.vertices_m.iter().map(|&v| Vector3::from(v)).collect();
        let found = match Mesh::closed(vertices, lists.faces.clone()) {
            Ok(mesh) => Ok(Arc::new(mesh)),
            Err(problem) => Err((Arc::new(lists), problem)),
        };
        Self { found, id }
    }
}

impl From<MeshRecord> for Lists {
    fn from(record: MeshRecord) -> Self {
        match record.found {
            Ok(mesh) => Self {
                vertices_m: mesh.vertices().iter().map(|v| [v.x, v.y, v.z]).collect(),
                faces: mesh.faces().to_vec(),
            },
            Err((lists, _)) => Arc::unwrap_or_clone(lists),
        }
    }
}

/// Source: Fowler, Noll & Vo, the FNV-1a hash of 64 bits (constants of RFC 9923), over words.
fn content_id(vertices: impl Iterator<Item = [f64; 3]>, faces: &[[u32; 3]]) -> u64 {
    const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    let take = |hash: u64, word: u64| (hash ^ word).wrapping_mul(PRIME).rotate_left(29);
    let of_vertices = vertices.flatten().fold(BASIS, |hash, c| take(hash, c.to_bits()));
    faces.iter().flatten().fold(of_vertices, |hash, &i| take(hash, u64::from(i)))
}
