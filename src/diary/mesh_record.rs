//! A mesh in the file: lists of vertices and triangles, checked once and then shared.

use super::field_tables::by_serde;
use super::fields::{FieldValue, Fields, RecordReader, WrittenList, WrittenValue, Wrong};
use crate::geometry::{Mesh, MeshError};
use nalgebra::Vector3;
use serde_json::Value;
use std::sync::Arc;

/// A closed mesh, or the lists that were found in its place and what is wrong with them: what
/// cannot be used is kept as it is.
#[derive(Debug, Clone)]
pub struct MeshRecord {
    found: Result<Arc<Mesh>, (Arc<MeshLists>, MeshError)>,
    id: u64,
}

#[derive(Debug, Clone, PartialEq)]
struct MeshLists {
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

impl From<MeshLists> for MeshRecord {
    fn from(lists: MeshLists) -> Self {
        let id = content_id(lists.vertices_m.iter().copied(), &lists.faces);
        let vertices = lists.vertices_m.iter().map(|&v| Vector3::from(v)).collect();
        let found = match Mesh::closed(vertices, lists.faces.clone()) {
            Ok(mesh) => Ok(Arc::new(mesh)),
            Err(problem) => Err((Arc::new(lists), problem)),
        };
        Self { found, id }
    }
}

impl MeshRecord {
    /// The mesh whose lists stand among the fields of a record.
    pub(super) fn taken_from(reader: &mut RecordReader) -> Self {
        let (vertices_m, faces) = (reader.needs("vertices_m"), reader.needs("faces"));
        MeshLists { vertices_m, faces }.into()
    }
}

impl FieldValue for MeshRecord {
    fn read(value: Value) -> Result<Self, Wrong> {
        let mut reader = RecordReader::of(value);
        let mesh = Self::taken_from(&mut reader);
        reader.done(mesh)
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Record(self)
    }

    fn usual() -> Self {
        MeshLists { vertices_m: Vec::new(), faces: Vec::new() }.into()
    }
}

impl Fields for MeshRecord {
    fn each(&self, put: &mut dyn FnMut(&str, WrittenValue<'_>)) {
        match &self.found {
            Ok(mesh) => {
                put("vertices_m", WrittenValue::List(&Triples(mesh.vertices())));
                put("faces", WrittenValue::List(&Triples(mesh.faces())));
            }
            Err((lists, _)) => {
                put("vertices_m", lists.vertices_m.node());
                put("faces", lists.faces.node());
            }
        }
    }
}

/// The lists of a mesh that is shared.
struct Triples<'a, T>(&'a [T]);

impl WrittenList for Triples<'_, Vector3<f64>> {
    fn count(&self) -> usize {
        self.0.len()
    }

    fn at(&self, k: usize) -> WrittenValue<'_> {
        self.0.get(k).map_or(WrittenValue::Null, |vertex| WrittenValue::Numbers(vertex.as_slice()))
    }
}

impl WrittenList for Triples<'_, [u32; 3]> {
    fn count(&self) -> usize {
        self.0.len()
    }

    fn at(&self, k: usize) -> WrittenValue<'_> {
        self.0.get(k).map_or(WrittenValue::Null, |face| WrittenValue::Counts(face))
    }
}

by_serde!(MeshRecord);

/// Source: Fowler, Noll & Vo, the FNV-1a hash of 64 bits (constants of RFC 9923), over words.
fn content_id(vertices: impl Iterator<Item = [f64; 3]>, faces: &[[u32; 3]]) -> u64 {
    const BASIS: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    let take = |hash: u64, word: u64| (hash ^ word).wrapping_mul(PRIME).rotate_left(29);
    let of_vertices = vertices.flatten().fold(BASIS, |hash, c| take(hash, c.to_bits()));
    faces.iter().flatten().fold(of_vertices, |hash, &i| take(hash, u64::from(i)))
}
