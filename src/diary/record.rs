//! The records of the file: the diary, its readings, what is being typed.

use super::boat_record::BoatRecord;
use super::file::{FORMAT, VERSION};
use super::part_record::MaterialRecord;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
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
    #[serde(default)]
    pub boats: Vec<BoatRecord>,
    /// The readings kept, oldest first.
    #[serde(default)]
    pub readings: Vec<ReadingRecord>,
    /// The builder's own materials.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub materials: Vec<MaterialRecord>,
    /// What is being typed.
    #[serde(default)]
    pub draft: Draft,
    /// How the app looks and speaks.
    #[serde(default)]
    pub settings: Settings,
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
            readings: Vec::new(),
            materials: Vec::new(),
            draft: Draft::default(),
            settings: Settings::default(),
            extra: Extra::new(),
        }
    }
}

impl Diary {
    /// Checks what the types alone do not: identities are there and differ, meshes are closed.
    pub(super) fn check(&self) -> Result<(), String> {
        check_identities("boats", self.boats.iter().map(|b| &b.id))?;
        check_identities("readings", self.readings.iter().map(|r| &r.id))?;
        for boat in &self.boats {
            boat.check().map_err(|e| format!("the boat \"{}\": {e}", boat.name))?;
        }
        Ok(())
    }

    /// The boat of an identity.
    pub fn boat(&self, id: &str) -> Option<&BoatRecord> {
        self.boats.iter().find(|b| b.id == id)
    }
}

/// Identities must be there and differ, or an import could not tell records apart.
fn check_identities<'a>(what: &str, ids: impl Iterator<Item = &'a String>) -> Result<(), String> {
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

/// How the app looks.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Settings {
    /// The theme by name; empty follows the phone.
    #[serde(default)]
    pub theme: String,
    /// What this phone reads lying level, list and trim, degrees, if it was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt_zero_deg: Option<[f64; 2]>,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// At the surface or under.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the variants are those of `reading::Condition`")]
pub enum ConditionRecord {
    #[default]
    Afloat,
    Under,
}

/// The water at one mark.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `reading::Seen::WaterAtMark`")]
pub struct MarkReading {
    pub name: String,
    pub at_m: [f64; 3],
    pub above_m: f64,
    #[serde(flatten)]
    pub extra: Extra,
}

/// Something that lay aboard for the reading.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `reading::Aboard`")]
pub struct AboardRecord {
    pub name: String,
    pub mass_kg: f64,
    pub at_m: [f64; 3],
    #[serde(flatten)]
    pub extra: Extra,
}

/// A reading that was kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ReadingRecord {
    /// Its identity.
    pub id: String,
    /// The boat's identity.
    pub boat: String,
    /// When it was kept, ISO 8601.
    pub kept_at: String,
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// Density of the water, kg/m³.
    pub water_density_kg_m3: f64,
    /// The water, in words.
    #[serde(default)]
    pub water: String,
    /// The water at the marks.
    #[serde(default)]
    pub marks: Vec<MarkReading>,
    /// List, degrees, positive to starboard.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub list_deg: Option<f64>,
    /// Trim, degrees, positive bow down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trim_deg: Option<f64>,
    /// Residual mass under water, positive heavy.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub residual_kg: Option<f64>,
    /// How full the tanks were, 0 to 1.
    #[serde(default)]
    pub fill: f64,
    /// What lay aboard besides the boat.
    #[serde(default)]
    pub aboard: Vec<AboardRecord>,
    /// The advice that was shown, in words.
    #[serde(default)]
    pub advice: Vec<String>,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
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

/// What is being typed, valid or not, as typed.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(default)]
#[expect(clippy::struct_excessive_bools, reason = "each is one switch of the screen")]
pub struct Draft {
    /// The boat in hand, by identity; empty for none.
    pub boat: String,
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// Water at marks, millimetres above (positive) or below, by the mark's name.
    pub marks: BTreeMap<String, String>,
    /// List, degrees, and whether to port.
    pub list: String,
    /// The list is to port.
    pub list_to_port: bool,
    /// Trim, degrees.
    pub trim: String,
    /// The trim is by the stern.
    pub trim_by_stern: bool,
    /// List and trim of the other state (under while afloat, afloat while under).
    pub of_other_state: Angles,
    /// Grams heavy or light under water.
    pub residual: String,
    /// The residual is light.
    pub residual_light: bool,
    /// How full the tanks are, per cent; empty for the usual: empty afloat, full under.
    pub fill: String,
    /// The phone lay on deck.
    pub phone_aboard: bool,
    /// Where weight goes, by the place's name; empty for the first.
    pub place: String,
    /// Mass to shift, grams, when something is to be shifted instead.
    pub shift: String,
    /// The part to shift, by name, when one is to be shifted instead.
    pub shift_part: String,
    /// The water.
    pub water: WaterDraft,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

impl Draft {
    /// An empty draft for another boat in the same water.
    #[must_use]
    pub fn for_boat(&self, boat: impl Into<String>) -> Self {
        Self { boat: boat.into(), water: self.water.clone(), ..Self::default() }
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
