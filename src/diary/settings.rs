//! How the app looks, speaks and measures.

use super::field_tables::{fields, words};
use super::fields::Extra;
use crate::reading::PHONE_MASS;
use crate::unit::{Length, Mass, Units};

/// Unit in which lengths are shown and typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum LengthUnit {
    /// Millimetres.
    #[default]
    Millimetre,
    /// Inches.
    Inch,
}

words!(LengthUnit {
    Millimetre "millimetre",
    Inch "inch",
});

/// Unit in which masses are shown and typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum MassUnit {
    /// Grams.
    #[default]
    Gram,
    /// Ounces (avoirdupois).
    Ounce,
}

words!(MassUnit {
    Gram "gram",
    Ounce "ounce",
});

/// Units in which lengths and masses are typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct UnitsRecord {
    /// Lengths.
    pub length: LengthUnit,
    /// Masses.
    pub mass: MassUnit,
}

fields!(UnitsRecord {
    has length,
    has mass,
});

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

/// Decimal mark of the numbers shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DecimalMark {
    /// As the language writes it.
    #[default]
    OfLanguage,
    /// A point.
    Point,
    /// A comma.
    Comma,
}

words!(DecimalMark {
    OfLanguage "of_language",
    Point "point",
    Comma "comma",
});

/// Which hand holds the phone: what is tapped most lies on its side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hand {
    /// The right hand.
    #[default]
    Right,
    /// The left hand.
    Left,
}

words!(Hand {
    Right "right",
    Left "left",
});

/// How the app looks, speaks and measures.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Settings {
    /// The theme by name; empty follows the phone.
    pub theme: String,
    /// The language by its code (BCP 47); empty follows the phone.
    pub language: String,
    /// In what lengths are shown.
    pub length: LengthUnit,
    /// In what masses are shown.
    pub mass: MassUnit,
    /// What divides decimals.
    pub decimal: DecimalMark,
    /// Which hand holds the phone.
    pub hand: Hand,
    /// All text is larger.
    pub large_text: bool,
    /// Sessions after which the app asks for an export; [`USUAL_REMINDER`] if absent, never if zero.
    pub remind_after: Option<usize>,
    /// What this phone reads lying level, list and trim, degrees, if it was found.
    pub tilt_zero_deg: Option<[f64; 2]>,
    /// What this phone weighs, kg; [`PHONE_MASS`] if absent.
    pub phone_kg: Option<f64>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(Settings {
    has theme,
    may language,
    may length,
    may mass,
    may decimal,
    may hand,
    may large_text,
    may remind_after,
    may tilt_zero_deg,
    may phone_kg,
    .. extra
});

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
