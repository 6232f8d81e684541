//! An earlier state of a boat, kept once under a name made of its contents, however often it is
//! referred to.

use super::boat_record::BoatRecord;
use super::content_name::content_name;
use super::dive_record::SEEN;
use super::mesh_record::MeshRecord;
use super::record::Diary;
use super::solid::SolidRecord;
use litemap::LiteMap;
use std::sync::Arc;

/// Meshes of more triangles than this are only named in a state, and kept apart on the phone.
pub(super) const LARGE: usize = 500;

/// Large meshes by their names, as records.
pub(super) type NamedMeshes = LiteMap<String, MeshRecord>;

/// The name of a boat as it is, and the record to keep under it: large meshes are only named.
pub fn state_of(boat: &BoatRecord) -> (String, BoatRecord) {
    let mut light = boat.clone();
    let _kept_with_the_boat = part_from_meshes(&mut light);
    // A record holds only what can be written; were it not so, equal names would mean nothing.
    let text = serde_json::to_vec(&light).unwrap_or_default();
    (content_name("state", &text), light)
}

/// Replaces the large meshes of a boat by their names, and gives them.
pub(super) fn part_from_meshes(boat: &mut BoatRecord) -> NamedMeshes {
    let mut meshes = NamedMeshes::new();
    for solid in solids(boat) {
        if let SolidRecord::Mesh { mesh, at_m, extra } = solid
            && mesh.mesh().is_ok_and(|found| found.faces().len() > LARGE)
            // A later version's field of that name would stand there twice: such a mesh stays.
            && !extra.contains_key("name")
        {
            let name = mesh.content_name();
            let named = SolidRecord::KeptMesh {
                name: name.clone(),
                at_m: *at_m,
                extra: std::mem::take(extra),
            };
            if let SolidRecord::Mesh { mesh, .. } = std::mem::replace(solid, named) {
                meshes.insert(name, mesh);
            }
        }
    }
    meshes
}

/// Puts named meshes back into a boat, as far as `mesh_of` has them.
pub(super) fn join_with_meshes(
    boat: &mut BoatRecord,
    mut mesh_of: impl FnMut(&str) -> Option<MeshRecord>,
) {
    for solid in solids(boat) {
        if let SolidRecord::KeptMesh { name, at_m, extra } = solid
            && let Some(mesh) = mesh_of(name)
            && !["vertices_m", "faces"].iter().any(|field| extra.contains_key(*field))
        {
            *solid = SolidRecord::Mesh { mesh, at_m: *at_m, extra: std::mem::take(extra) };
        }
    }
}

/// The solids of a boat: of its parts and of its tanks.
pub(super) fn solids(boat: &mut BoatRecord) -> impl Iterator<Item = &mut SolidRecord> {
    let parts = boat.parts.iter_mut().filter_map(|p| p.solid.as_mut());
    parts.chain(boat.tanks.iter_mut().map(|t| &mut t.cavity))
}

/// The names of meshes that a boat refers to without having them.
pub fn meshes_named(boat: &BoatRecord) -> Vec<String> {
    let parts = boat.parts.iter().filter_map(|p| p.solid.as_ref());
    let names = parts.chain(boat.tanks.iter().map(|t| &t.cavity)).filter_map(|s| match s {
        SolidRecord::KeptMesh { name, .. } => Some(name.clone()),
        _ => None,
    });
    names.collect()
}

impl Diary {
    /// A boat as it was, with the meshes that are here; none if it was not kept.
    pub fn state(&self, name: &str) -> Option<BoatRecord> {
        let mut boat = self.states.get(name)?.clone();
        // Leans that version 3 kept there are in the sessions: they would be told twice.
        boat.dive.extra.remove(SEEN);
        join_with_meshes(&mut boat, |mesh| self.mesh(mesh));
        Some(boat)
    }

    /// True when a large mesh of that name is here.
    pub fn has_mesh(&self, name: &str) -> bool {
        self.mesh(name).is_some()
    }

    /// A large mesh by its name: of a boat, or kept for a state.
    fn mesh(&self, name: &str) -> Option<MeshRecord> {
        let parts = self.boats.iter().flat_map(|b| b.parts.iter().filter_map(|p| p.solid.as_ref()));
        let tanks = self.boats.iter().flat_map(|b| b.tanks.iter().map(|t| &t.cavity));
        let of_boats = parts.chain(tanks).find_map(|solid| match solid {
            SolidRecord::Mesh { mesh, .. } if mesh.content_name() == name => Some(mesh.clone()),
            _ => None,
        });
        of_boats.or_else(|| self.meshes.get(name).cloned())
    }
}

/// A mesh as a record that shares it.
pub(super) fn mesh_record(mesh: &Arc<crate::geometry::Mesh>) -> MeshRecord {
    MeshRecord::new(Arc::clone(mesh))
}
