//! How the app looks, speaks and measures.

use super::record::Extra;
use crate::reading::PHONE_MASS;
use crate::unit::{Length, Mass, Units};
use serde::{Deserialize, Serialize};

/// In what lengths are shown and typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}

/// In what masses are shown and typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum MassUnit {
    /// Grams.
    #[default]
    Gram,
    /// Ounces (avoirdupois).
    Ounce,
}

/// In what lengths and masses something is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct UnitsRecord {
    /// Lengths.
    pub length: LengthUnit,
    /// Masses.
    pub mass: MassUnit,
}

impl From<UnitsRecord> for Units {
    fn from(record: UnitsRecord) -> Self {
        let length = match record.length {
            LengthUnit::Millimetre => Length::Millimetre,
            LengthUnit::Inch => Length::Inch,
        };
        let mass = match record.mass {
            MassUnit::Gram => Mass::Gram,
            MassUnit::Ounce => Mass::Ounce,
        };
        Self { length, mass, ..Self::METRIC }
    }
}

/// What divides decimals where numbers are shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DecimalMark {
    /// As the language writes it.
    #[default]
    OfLanguage,
    /// A point.
    Point,
    /// A comma.
    Comma,
}

/// Which hand holds the phone: what is tapped most lies on its side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Hand {
    /// The right hand.
    #[default]
    Right,
    /// The left hand.
    Left,
}

/// How the app looks, speaks and measures.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Settings {
    /// The theme by name; empty follows the phone.
    #[serde(default)]
    pub theme: String,
    /// The language by its code (BCP 47); empty follows the phone.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub language: String,
    /// In what lengths are shown.
    #[serde(default, skip_serializing_if = "is_default")]
    pub length: LengthUnit,
    /// In what masses are shown.
    #[serde(default, skip_serializing_if = "is_default")]
    pub mass: MassUnit,
    /// What divides decimals.
    #[serde(default, skip_serializing_if = "is_default")]
    pub decimal: DecimalMark,
    /// Which hand holds the phone.
    #[serde(default, skip_serializing_if = "is_default")]
    pub hand: Hand,
    /// All text is larger.
    #[serde(default, skip_serializing_if = "is_default")]
    pub large_text: bool,
    /// Sessions after which the app asks for an export; [`USUAL_REMINDER`] if absent, never if zero.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub remind_after: Option<usize>,
    /// What this phone reads lying level, list and trim, degrees, if it was found.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tilt_zero_deg: Option<[f64; 2]>,
    /// What this phone weighs, kg; [`PHONE_MASS`] if absent.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phone_kg: Option<f64>,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Sessions after which the app asks for an export where nothing else is set.
pub const USUAL_REMINDER: usize = 5;

pub(super) fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

impl Settings {
    /// In what lengths and masses are shown and typed.
    pub fn units(&self) -> UnitsRecord {
        UnitsRecord { length: self.length, mass: self.mass }
    }

    /// What this phone weighs, kg: as it was weighed, else what phones usually do.
    pub fn phone_mass(&self) -> f64 {
        self.phone_kg.filter(|mass| *mass > 0.0 && mass.is_finite()).unwrap_or(PHONE_MASS)
    }

    /// True when nothing in it was set.
    pub fn is_usual(&self) -> bool {
        is_default(self)
    }
}
