//! Choices made at the pool: the unit of a fill, and the material of a weight.

use super::field_tables::words;
use crate::material::{BRASS, FOAM_BOARD, LEAD, Material, STEEL};

/// What a builder has at hand to put on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum WeightMaterial {
    /// Lead.
    #[default]
    Lead,
    /// Brass.
    Brass,
    /// Steel.
    Steel,
    /// Closed-cell foam board, which lifts where it is under.
    Foam,
}

words!(WeightMaterial {
    Lead "lead",
    Brass "brass",
    Steel "steel",
    Foam "foam",
});

impl WeightMaterial {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Lead, Self::Brass, Self::Steel, Self::Foam];

    /// The material of the table.
    pub fn material(self) -> &'static Material {
        match self {
            Self::Lead => &LEAD,
            Self::Brass => &BRASS,
            Self::Steel => &STEEL,
            Self::Foam => &FOAM_BOARD,
        }
    }

    /// The one of this density, kg/m³; none if none of them has it.
    pub fn of_density(density: f64) -> Option<Self> {
        Self::ALL.into_iter().find(|of| (of.material().density - density).abs() < 0.5)
    }
}

/// The unit in which the fill of the tanks is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum FillUnit {
    /// Hundredths of what the tanks take from blown to full.
    #[default]
    Percent,
    /// What they hold beyond blown: millilitres, or cubic inches where lengths are inches.
    Volume,
    /// Seconds of flooding, from blown.
    Seconds,
}

words!(FillUnit {
    Percent "percent",
    Volume "volume",
    Seconds "seconds",
});
