//! A mesh on its way from a file to a part.

use super::desk::Desk;
use super::form::{Editing, exact};
use super::line;
use crate::device::clock::Turns;
use crate::words::{self, t};
use std::sync::Arc;
use trimwright::diary::{InsideRecord, MeshRecord, PartRecord, WallRecord};
use trimwright::geometry::{Axis, Imported, Mesh};
use trimwright::unit::read_number_within;

/// What was read from a file, in the file's own unit.
#[derive(Debug, Clone)]
pub(crate) struct MeshRead {
    /// The name of the file without its ending.
    pub(crate) name: String,
    /// The mesh.
    pub(crate) mesh: Arc<Mesh>,
    /// What was mended, in words.
    pub(crate) notes: Vec<String>,
    /// Why it could not be used as it was said to be.
    pub(crate) problem: Option<String>,
}

/// How far an import is.
#[derive(Debug, Clone, Default)]
pub(crate) enum Importing {
    /// Nothing is being imported.
    #[default]
    No,
    /// The file is being read: the share that is done.
    Reading(f64),
    /// The part is being made.
    Making,
    /// It cannot be taken: why.
    Refused(String),
    /// It was read; its unit is asked for.
    Read(MeshRead),
}

/// What a mesh is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum MeshUse {
    /// A free-flooding hull: a wall with water on both sides.
    Flooded,
    /// A hull that stays dry inside.
    Dry,
    /// A solid.
    Solid,
}

/// The longest mesh that is taken, metres: beyond it the unit is a slip.
const LONGEST: f64 = 10.0;
/// The thinnest and the thickest wall that is taken, metres.
const WALLS: [f64; 2] = [1e-5, 0.1];

impl Desk {
    /// Shows what was read, so that its unit and attitude can be given.
    pub(crate) fn mesh_read(self, imported: Imported, file: &str) {
        let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
        self.importing.set(Importing::Read(MeshRead {
            name: stem.to_owned(),
            mesh: Arc::new(imported.mesh),
            notes: imported.notes.iter().map(words::stl::repair).collect(),
            problem: None,
        }));
    }

    /// Turns the mesh that was read by a quarter about a body axis.
    pub(crate) fn turn_mesh(self, axis: Axis) {
        self.importing.update(|i| {
            if let Importing::Read(read) = i {
                read.mesh = Arc::new(read.mesh.turned(axis));
            }
        });
    }

    /// Makes the mesh a part: midship in its middle, the keel line at its lowest point; `factor` is
    /// metres per unit of the file, `wall` as typed.
    pub(crate) async fn use_mesh(self, read: &MeshRead, factor: f64, kind: MeshUse, wall: &str) {
        // What was read stays: another wall or unit may do.
        let refuse = |why: &str| {
            let problem = Some(why.to_owned());
            self.importing.set(Importing::Read(MeshRead { problem, ..read.clone() }));
        };
        let unit = self.derived.units.get_untracked().length_unit();
        let [thinnest, thickest] = WALLS;
        let typed = read_number_within(wall, unit.least(thinnest), unit.limit(thickest));
        let thickness = match (kind, typed) {
            (MeshUse::Solid, _) => None,
            (_, Ok(typed)) => Some(exact(unit.si(typed))),
            (_, Err(why)) => {
                return refuse(&t!("importing.wall", why = words::number::number(&why)));
            }
        };
        let Some(mesh) = read.mesh.scaled(factor) else {
            return refuse(&t!("importing.bad_size"));
        };
        let bounds = mesh.bounds();
        if bounds.size().max() > LONGEST {
            return refuse(&t!("importing.too_long"));
        }
        let middle = bounds.centre();
        let at = [-middle.x, -middle.y, -bounds.low.z];
        let inside = if kind == MeshUse::Dry { InsideRecord::Dry } else { InsideRecord::Flooded };
        let wall = thickness.map(|thickness_m| WallRecord {
            thickness_m,
            inside,
            extra: serde_json::Map::new(),
        });
        match self.add_mesh(MeshRecord::new(Arc::new(mesh)), at, &read.name, wall).await {
            Ok(()) if matches!(self.importing.get_untracked(), Importing::Making) => {
                self.importing.set(Importing::No);
            }
            Ok(()) => {}
            Err(why) => refuse(&why),
        }
    }

    /// Adds a part with a mesh just imported and opens its form; lengths in metres.
    ///
    /// # Errors
    /// A sentence saying why no part can be made of it.
    async fn add_mesh(
        self,
        mesh: MeshRecord,
        at: [f64; 3],
        name: &str,
        wall: Option<WallRecord>,
    ) -> Result<(), String> {
        let part = PartRecord { wall, ..line::mesh_part(mesh, at, name) };
        let (parts, turns) = (self.derived.parts.get_untracked(), Turns::begin());
        // What is wrong with it is told when it comes into the boat.
        let boat = self.diary.with_untracked(|d| d.draft.boat.clone());
        let _ready = parts.made_ready(&part, &|| turns.due()).await;
        turns.rest().await;
        // Meanwhile another boat may have been taken in hand, or another file.
        let is_wanted = self.diary.with_untracked(|d| d.draft.boat == boat)
            && self.importing.with_untracked(|i| matches!(i, Importing::Making));
        if !is_wanted {
            return Ok(());
        }
        let added = self.ground(|ground| line::with_part(part, ground));
        let (boat, line) = added.ok_or_else(|| t!("form.no_boat"))??;
        self.replace_boat(boat, None);
        self.open_form(Editing::Part(Some(line)));
        Ok(())
    }
}
