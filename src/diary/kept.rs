//! What the phone keeps: each record as a file of its own, of the same format as an export, with its
//! large meshes apart, each under a name made of its contents. A mesh is written once; a record
//! whenever it changes.

use super::file::{DiaryError, read};
use super::record::Diary;
use super::state::{join_with_meshes, mesh_record, meshes_named, part_from_meshes};
use crate::geometry::{Mesh, MeshError};
use litemap::LiteMap;
use nalgebra::Vector3;
use std::sync::Arc;

/// Meshes by their names.
pub type KeptMeshes = LiteMap<String, Arc<Mesh>>;

/// The text to keep, and the meshes that it names.
pub fn write_kept(diary: &Diary) -> (String, KeptMeshes) {
    let mut light = diary.clone();
    let parted: Vec<_> = light.boats.iter_mut().flat_map(part_from_meshes).collect();
    let meshes = parted.into_iter().filter_map(|(name, record)| Some((name, record.mesh().ok()?)));
    let meshes = meshes.collect();
    // Records hold only texts, numbers and lists of them: there is nothing that cannot be written.
    (serde_json::to_string(&light).unwrap_or_default(), meshes)
}

/// Reads a kept text, with its meshes put back. One that is not there leaves its part without a
/// shape that can be used, and everything else as it is.
///
/// # Errors
/// [`DiaryError`] as for a file.
pub fn read_kept(text: &str, meshes: &KeptMeshes) -> Result<Diary, DiaryError> {
    let mut diary = read(text)?;
    for boat in &mut diary.boats {
        join_with_meshes(boat, |name| meshes.get(name).map(mesh_record));
    }
    Ok(diary)
}

/// The names of the meshes that a kept text asks for; none if it cannot be read.
pub fn kept_names(text: &str) -> Vec<String> {
    // Nearly every text names none, and need not be read twice.
    if !text.contains("kept_mesh") {
        return Vec::new();
    }
    let named = |diary: Diary| diary.boats.iter().flat_map(meshes_named).collect();
    let mut names: Vec<String> = read(text).map_or_else(|_unreadable| Vec::new(), named);
    names.sort();
    names.dedup();
    names
}

/// First bytes of a kept mesh.
const SIGN: &[u8; 8] = b"TRIMESH1";

/// A mesh as bytes: counts, coordinates in metres, triangles; little-endian.
pub fn mesh_to_bytes(mesh: &Mesh) -> Vec<u8> {
    let counts = [mesh.vertices().len() as u64, mesh.faces().len() as u64];
    let mut bytes = SIGN.to_vec();
    bytes.extend(counts.iter().flat_map(|n| n.to_le_bytes()));
    bytes.extend(mesh.vertices().iter().flat_map(|v| v.iter().flat_map(|c| c.to_le_bytes())));
    bytes.extend(mesh.faces().iter().flatten().flat_map(|i| i.to_le_bytes()));
    bytes
}

/// The mesh of such bytes.
///
/// # Errors
/// [`MeshError`] when they are cut short or hold no closed mesh.
pub fn mesh_from_bytes(bytes: &[u8]) -> Result<Mesh, MeshError> {
    let rest = bytes.strip_prefix(SIGN).ok_or(MeshError::Empty)?;
    let (counts, rest) = rest.split_at_checked(16).ok_or(MeshError::Empty)?;
    let mut counts = counts.as_chunks::<8>().0.iter().map(|n| u64::from_le_bytes(*n));
    let n_vertices = counts.next().and_then(|n| usize::try_from(n).ok());
    let wanted = n_vertices.and_then(|n| n.checked_mul(24)).ok_or(MeshError::Empty)?;
    let (coordinates, faces) = rest.split_at_checked(wanted).ok_or(MeshError::Empty)?;
    let numbers: Vec<f64> =
        coordinates.as_chunks::<8>().0.iter().map(|c| f64::from_le_bytes(*c)).collect();
    let indices: Vec<u32> =
        faces.as_chunks::<4>().0.iter().map(|i| u32::from_le_bytes(*i)).collect();
    let vertices = numbers.as_chunks::<3>().0.iter().map(|c| Vector3::from(*c)).collect();
    Mesh::closed(vertices, indices.as_chunks::<3>().0.to_vec())
}
