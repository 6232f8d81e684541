//! The records of the file: the diary, and what is being typed.

use super::boat_record::BoatRecord;
use super::checks::ChecksRecord;
use super::draft_choice::{FillUnit, WeightMaterial};
use super::file::{FORMAT, VERSION};
use super::mesh_record::MeshRecord;
use super::missing::MissingRecord;
use super::part_record::MaterialRecord;
use super::picture::PictureBytes;
use super::reading_record::ConditionRecord;
use super::session_record::SessionRecord;
use super::settings::{Settings, UnitsRecord, is_default};
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use std::borrow::Cow;
use std::collections::{BTreeMap, HashSet};

/// Fields that this version does not know.
pub(super) type Extra = Map<String, Value>;

/// Everything that is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Diary {
    /// Always [`FORMAT`].
    pub format: String,
    /// Always [`VERSION`] when written here.
    pub version: u64,
    /// The boats.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub boats: Vec<BoatRecord>,
    /// The sessions, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sessions: Vec<SessionRecord>,
    /// The lists of checks, one record for each boat that has its own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checks: Vec<ChecksRecord>,
    /// Boats as they were when they were read, by names made of their contents. Large meshes in them
    /// are only named.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub states: BTreeMap<String, BoatRecord>,
    /// Large meshes that a state names and no boat has any more, by names made of their contents.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub meshes: BTreeMap<String, MeshRecord>,
    /// The bytes of pictures, by names made of their contents.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub pictures: BTreeMap<String, PictureBytes>,
    /// The builder's own materials.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub materials: Vec<MaterialRecord>,
    /// What is being typed.
    #[serde(default, skip_serializing_if = "Draft::is_empty")]
    pub draft: Draft,
    /// How the app looks and speaks.
    #[serde(default, skip_serializing_if = "Settings::is_usual")]
    pub settings: Settings,
    /// What could not be read when the file was written, and is not in it.
    #[serde(default, skip_serializing_if = "MissingRecord::is_nothing")]
    pub missing: MissingRecord,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

impl Default for Diary {
    fn default() -> Self {
        Self {
            format: FORMAT.to_owned(),
            version: VERSION,
            boats: Vec::new(),
            sessions: Vec::new(),
            checks: Vec::new(),
            states: BTreeMap::new(),
            meshes: BTreeMap::new(),
            pictures: BTreeMap::new(),
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

/// Which kind of water was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WaterKind {
    /// Fresh, by its temperature.
    #[default]
    Fresh,
    /// Sea, by salinity and temperature.
    Sea,
    /// By a measured density.
    Measured,
}

/// The water as typed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(default)]
pub struct WaterDraft {
    /// Which kind.
    pub kind: WaterKind,
    /// Degrees Celsius.
    pub temperature: String,
    /// Grams of salt per kilogram.
    pub salinity: String,
    /// kg/m³.
    pub density: String,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

impl Default for WaterDraft {
    fn default() -> Self {
        Self {
            kind: WaterKind::Fresh,
            temperature: "20".to_owned(),
            salinity: "35".to_owned(),
            density: "998".to_owned(),
            extra: Extra::new(),
        }
    }
}

/// List and trim as typed.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct Angles {
    /// List, degrees.
    pub list: String,
    /// The list is to port.
    pub list_to_port: bool,
    /// Trim, degrees.
    pub trim: String,
    /// The trim is by the stern.
    pub trim_by_stern: bool,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// The texts of a form by the names of its fields.
pub type FormTexts = BTreeMap<String, String>;

/// The forms of boats that are being made: they belong to no boat, as the water does.
pub const NEW_BOATS: [&str; 2] = ["new boat", "six numbers"];

/// What is being typed, valid or not, as typed.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
#[expect(clippy::struct_excessive_bools, reason = "each is one switch of the screen")]
pub struct Draft {
    /// The boat in hand, by identity; empty for none.
    pub boat: String,
    /// In what the lengths and masses below are typed.
    #[serde(skip_serializing_if = "is_default")]
    pub units: UnitsRecord,
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// Water at marks, a length above (positive) or below, by the mark's name.
    pub marks: BTreeMap<String, String>,
    /// List, degrees, and whether to port.
    pub list: String,
    /// The list is to port.
    pub list_to_port: bool,
    /// Trim, degrees.
    pub trim: String,
    /// The trim is by the stern.
    pub trim_by_stern: bool,
    /// When a figure was typed last, ISO 8601 in UTC; empty if that is not known.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub read_at: String,
    /// List and trim of the other state (under while afloat, afloat while under).
    pub of_other_state: Angles,
    /// What it is heavy or light under water, a mass.
    pub residual: String,
    /// The residual is light.
    pub residual_light: bool,
    /// How full the tanks are, in `fill_in`; empty for the usual: empty afloat, full under.
    pub fill: String,
    /// In what that is typed.
    #[serde(skip_serializing_if = "is_default")]
    pub fill_in: FillUnit,
    /// The phone lay on deck.
    pub phone_aboard: bool,
    /// Where it lay there: forward of midship and to port, metres; in the middle if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phone_at_m: Option<[f64; 2]>,
    /// Where weight goes, by the place's name; empty for the first.
    pub place: String,
    /// Of what the weight is that is put there.
    #[serde(skip_serializing_if = "is_default")]
    pub material: WeightMaterial,
    /// Mass to shift, when something is to be shifted instead.
    pub shift: String,
    /// The part to shift, by name, when one is to be shifted instead.
    pub shift_part: String,
    /// What is half typed beside the reading: a note, a form that is open and cannot be used yet. By what
    /// it is for, and by field.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub forms: BTreeMap<String, FormTexts>,
    /// The water.
    pub water: WaterDraft,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

impl Draft {
    /// True when nothing is being typed.
    pub fn is_empty(&self) -> bool {
        *self == Self { units: self.units, ..Self::default() }
    }

    /// True when a figure that is read of the boat stands in it, for either state.
    pub fn has_figures(&self) -> bool {
        let Angles { list, trim, .. } = &self.of_other_state;
        let typed = [&self.list, &self.trim, &self.residual, &self.fill, list, trim];
        typed.into_iter().chain(self.marks.values()).any(|text| !text.trim().is_empty())
    }

    /// True when the same figures stand in both, on the same sides. Which state is looked at is no figure.
    pub fn reads_as(&self, other: &Self) -> bool {
        fn typed(of: &Draft) -> impl Iterator<Item = (&String, &String)> {
            of.marks.iter().filter(|(_, text)| !text.trim().is_empty())
        }
        fn figures(of: &Draft) -> ([&str; 3], [bool; 3], &Angles) {
            let sides = [of.list_to_port, of.trim_by_stern, of.residual_light];
            ([&of.list, &of.trim, &of.residual], sides, &of.of_other_state)
        }
        let mut alike = Cow::Borrowed(other);
        if alike.condition != self.condition {
            alike.to_mut().turn_to(self.condition);
        }
        // The same fill in another unit is no other figure.
        let same_fill = self.fill_in != alike.fill_in || self.fill == alike.fill;
        same_fill && figures(self) == figures(&alike) && typed(self).eq(typed(&alike))
    }

    /// Takes away the figures that are still as they were `before`, in both states.
    pub fn drop_unchanged(&mut self, before: &Self) {
        self.marks.retain(|name, text| before.marks.get(name) != Some(text));
        let (now, then) = (&mut self.of_other_state, &before.of_other_state);
        for (text, before) in [
            (&mut self.list, &before.list),
            (&mut self.trim, &before.trim),
            (&mut self.residual, &before.residual),
            (&mut self.fill, &before.fill),
            (&mut now.list, &then.list),
            (&mut now.trim, &then.trim),
        ] {
            if text == before {
                text.clear();
            }
        }
    }

    /// An empty draft for another boat in the same water, with the boats that are being made.
    #[must_use]
    pub fn for_boat(&self, boat: impl Into<String>) -> Self {
        let (boat, units, water) = (boat.into(), self.units, self.water.clone());
        let is_new = |what: &str| NEW_BOATS.contains(&what);
        let forms = self.forms.iter().filter(|(what, _)| is_new(what));
        let forms = forms.map(|(what, texts)| (what.clone(), texts.clone())).collect();
        Self { boat, units, forms, water, ..Self::default() }
    }

    /// The same without the boats that are being made: what stays with this boat.
    #[must_use]
    pub fn put_away(&self) -> Self {
        let mut away = self.clone();
        away.forms.retain(|what, _| !NEW_BOATS.contains(&what.as_str()));
        away
    }

    /// What was typed before for the boat that is taken in hand now: the water and the boats that are
    /// being made come with it. Its units are its own.
    #[must_use]
    pub fn and_then(&self, typed: Self) -> Self {
        let Self { water, mut forms, .. } = self.for_boat("");
        forms.extend(typed.put_away().forms);
        Self { forms, water, ..typed }
    }

    /// Goes over to the boat afloat or under; each state keeps the list and trim typed for it.
    pub fn turn_to(&mut self, condition: ConditionRecord) {
        if self.condition == condition {
            return;
        }
        self.condition = condition;
        std::mem::swap(&mut self.list, &mut self.of_other_state.list);
        std::mem::swap(&mut self.list_to_port, &mut self.of_other_state.list_to_port);
        std::mem::swap(&mut self.trim, &mut self.of_other_state.trim);
        std::mem::swap(&mut self.trim_by_stern, &mut self.of_other_state.trim_by_stern);
    }
}
