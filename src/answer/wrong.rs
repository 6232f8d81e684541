//! What is wrong with what is typed, and in which field.

use crate::unit::NumberError;
use crate::water::WaterError;

/// A field that is typed in at the pool's edge.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// Water at the mark of this name.
    Mark(String),
    /// List.
    List,
    /// Trim.
    Trim,
    /// Residual weight under water.
    Residual,
    /// How full the tanks are.
    Fill,
    /// What is to be shifted.
    Shift,
    /// Mass of the known weight that is on it.
    WeightMass,
    /// How far along that lies.
    WeightAlong,
    /// How far across that lies.
    WeightAcross,
    /// The boat on the scales.
    Scale,
    /// Where it balances.
    Balance,
    /// Water temperature.
    Temperature,
    /// Salinity.
    Salinity,
    /// Measured density.
    Density,
}

impl std::fmt::Display for Field {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Mark(name) => write!(f, "the water at \"{name}\""),
            Self::List => f.write_str("the list"),
            Self::Trim => f.write_str("the trim"),
            Self::Residual => f.write_str("the weight under water"),
            Self::Fill => f.write_str("the fill of the tanks"),
            Self::Shift => f.write_str("the weight to shift"),
            Self::WeightMass => f.write_str("the mass of the weight that is on it"),
            Self::WeightAlong => f.write_str("how far along that weight lies"),
            Self::WeightAcross => f.write_str("how far across that weight lies"),
            Self::Scale => f.write_str("the boat on the scales"),
            Self::Balance => f.write_str("where it balances"),
            Self::Temperature => f.write_str("the water's temperature"),
            Self::Salinity => f.write_str("the water's salt"),
            Self::Density => f.write_str("the water's density"),
        }
    }
}

/// What is wrong with what was typed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WrongFigure {
    /// It is not a number, or out of the field's range.
    #[error(transparent)]
    Number(#[from] NumberError),
    /// Water is never like that.
    #[error(transparent)]
    Water(#[from] WaterError),
    /// More water than the tanks take from blown to full, m³.
    #[error("the tanks hold only {:.0} ml", .0 * 1e6)]
    BeyondFull(f64),
    /// Longer than the tanks flood from blown to full, seconds.
    #[error("the tanks are full after {0:.1} s")]
    LongerThanToFull(f64),
    /// The flooding time of a tank is not known.
    #[error("the tanks' flood time is not known: choose another unit")]
    NoFloodTime,
}

/// A field that could not be read, and why.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{field}: {why}")]
pub struct Unreadable {
    /// Which.
    pub field: Field,
    /// Why.
    pub why: WrongFigure,
}

impl Unreadable {
    pub(super) fn new(field: Field, why: impl Into<WrongFigure>) -> Self {
        Self { field, why: why.into() }
    }
}
