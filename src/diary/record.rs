//! The record of the whole file: the diary.

use super::boat_record::BoatRecord;
use super::checks::ChecksRecord;
use super::draft::Draft;
use super::field_tables::table;
use super::fields::{Extra, FieldValue};
use super::mesh_record::MeshRecord;
use super::missing_record::MissingRecord;
use super::part_record::MaterialRecord;
use super::picture::PictureBytes;
use super::session_record::SessionRecord;
use super::settings::Settings;
use litemap::LiteMap;
use serde::de::{Deserialize, Deserializer, Error, MapAccess, Visitor};
use serde::{Serialize, Serializer};
use serde_json::Value;
use std::collections::HashSet;

/// The word by which a file says that it is one of ours.
pub const FORMAT: &str = "trimwright";
/// The version of the file written here.
pub const VERSION: u64 = 4;

/// Everything that is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Diary {
    /// Always [`FORMAT`].
    pub format: String,
    /// Always [`VERSION`] when written here.
    pub version: u64,
    /// The boats.
    pub boats: Vec<BoatRecord>,
    /// The sessions, oldest first.
    pub sessions: Vec<SessionRecord>,
    /// The lists of checks, one record for each boat that has its own.
    pub checks: Vec<ChecksRecord>,
    /// Boats as they were when they were read, by names made of their contents. Large meshes in them
    /// are only named.
    pub states: LiteMap<String, BoatRecord>,
    /// Large meshes that a state names and no boat has any more, by names made of their contents.
    pub meshes: LiteMap<String, MeshRecord>,
    /// The bytes of pictures, by names made of their contents.
    pub pictures: LiteMap<String, PictureBytes>,
    /// The builder's own materials.
    pub materials: Vec<MaterialRecord>,
    /// What is being typed.
    pub draft: Draft,
    /// How the app looks and speaks.
    pub settings: Settings,
    /// What could not be read when the file was written, and is not in it.
    pub missing: MissingRecord,
    /// Fields of other versions.
    pub extra: Extra,
}

table!(Diary {
    needs format,
    needs version,
    may boats,
    may sessions,
    may checks,
    may states,
    may meshes,
    may pictures,
    may materials,
    may draft,
    may settings,
    may missing,
    .. extra
});

impl Serialize for Diary {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        self.node().serialize(to)
    }
}

impl<'de> Deserialize<'de> for Diary {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        from.deserialize_map(DiaryVisitor)
    }
}

/// Reads the sessions, of which there may be many, one after the other.
struct DiaryVisitor;

impl<'de> Visitor<'de> for DiaryVisitor {
    type Value = Diary;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a diary")
    }

    fn visit_map<A: MapAccess<'de>>(self, mut all: A) -> Result<Diary, A::Error> {
        let (mut of, mut sessions) = (Extra::new(), None);
        while let Some(name) = all.next_key::<String>()? {
            let is_there = if name == "sessions" {
                sessions.replace(all.next_value()?).is_some()
            } else {
                of.insert(name, all.next_value()?).is_some()
            };
            if is_there {
                return Err(A::Error::custom("a field stands there twice"));
            }
        }
        let diary = Diary::read(Value::Object(of)).map_err(A::Error::custom)?;
        Ok(Diary { sessions: sessions.unwrap_or_default(), ..diary })
    }
}

impl Default for Diary {
    fn default() -> Self {
        Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            boats: Vec::new(),
            sessions: Vec::new(),
            checks: Vec::new(),
            states: LiteMap::new(),
            meshes: LiteMap::new(),
            pictures: LiteMap::new(),
            materials: Vec::new(),
            draft: Draft::default(),
            settings: Settings::default(),
            missing: MissingRecord::default(),
            extra: Extra::new(),
        }
    }
}

impl Diary {
    /// Checks what the types alone do not: identities are there and differ, meshes are closed,
    /// pictures have bytes, records make boats.
    pub(super) fn check(&self) -> Result<(), String> {
        check_identities("boats", self.boats.iter().map(|b| &b.id))?;
        check_identities("sessions", self.sessions.iter().map(|s| &s.id))?;
        check_identities("lists of checks", self.checks.iter().map(|c| &c.id))?;
        for session in &self.sessions {
            check_identities("entries of a session", session.entries.iter().map(|e| &e.id))?;
        }
        for (name, mesh) in &self.meshes {
            mesh.mesh().map_err(|e| format!("the mesh \"{name}\": {e}"))?;
        }
        for (name, picture) in &self.pictures {
            picture.bytes().ok_or_else(|| format!("the picture \"{name}\" is no base64"))?;
        }
        for state in self.states.values() {
            state.check().map_err(|e| format!("the boat \"{}\" as it was: {e}", state.name))?;
        }
        for boat in &self.boats {
            boat.check().map_err(|e| format!("the boat \"{}\": {e}", boat.name))?;
        }
        Ok(())
    }

    /// Puts the sessions in the order in which they began.
    pub(super) fn sort_sessions(&mut self) {
        self.sessions.sort_by(|a, b| (&a.started_at, &a.id).cmp(&(&b.started_at, &b.id)));
    }

    /// The boat of an identity.
    pub fn boat(&self, id: &str) -> Option<&BoatRecord> {
        self.boats.iter().find(|b| b.id == id)
    }
}

/// Identities must be there and differ, or an import could not tell records apart.
pub(super) fn check_identities<'a>(
    what: &str,
    ids: impl Iterator<Item = &'a String>,
) -> Result<(), String> {
    let mut seen = HashSet::new();
    for id in ids {
        if id.is_empty() {
            return Err(format!("one of the {what} has no identity"));
        }
        if !seen.insert(id) {
            return Err(format!("two {what} have the identity \"{id}\""));
        }
    }
    Ok(())
}
