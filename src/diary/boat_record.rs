//! Boats as they are written in the file, and how boats come from them.

use super::record::Extra;
use super::solid::SolidRecord;
use crate::boat::{
    Boat, Housing, Mark, Medium, Part, Place, QuickBoat, QuickBoatError, Status, Tank,
};
use crate::fit::ModelSpread;
use crate::frame::{Body, Position};
use crate::geometry::MeshError;
use serde::{Deserialize, Serialize};

/// Why a boat's record makes no boat.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BoatRecordError {
    /// The six numbers do not go together.
    #[error(transparent)]
    Quick(#[from] QuickBoatError),
    /// A mesh is not closed.
    #[error("{part}: {problem}")]
    Mesh {
        /// The part's name.
        part: String,
        /// What is wrong with it.
        problem: MeshError,
    },
}

/// A boat: by six numbers, or part by part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BoatRecord {
    /// Its identity; never changes.
    pub id: String,
    /// What the builder calls it.
    pub name: String,
    /// The six numbers, for a quick boat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub quick: Option<QuickRecord>,
    /// The parts, for a boat entered part by part.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<PartRecord>,
    /// Its tanks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tanks: Vec<TankRecord>,
    /// Its marks.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub marks: Vec<MarkRecord>,
    /// Where weight can be put.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub places: Vec<PlaceRecord>,
    /// Where lengths along the boat are measured from.
    #[serde(default)]
    pub datum: DatumRecord,
    /// Fields of other versions.
    #[serde(flatten)]
    pub extra: Extra,
}

/// Where lengths along the boat are measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DatumRecord {
    /// Midship.
    #[default]
    Midship,
    /// The foremost point.
    Bow,
    /// The aftmost point.
    Stern,
}

impl BoatRecord {
    /// A record of a boat entered part by part.
    pub fn ledger(id: impl Into<String>, boat: &Boat) -> Self {
        Self {
            id: id.into(),
            name: boat.name.clone(),
            quick: None,
            parts: boat.parts.iter().map(PartRecord::from).collect(),
            tanks: boat.tanks.iter().map(TankRecord::from).collect(),
            marks: boat.marks.iter().map(MarkRecord::from).collect(),
            places: boat.places.iter().map(PlaceRecord::from).collect(),
            datum: DatumRecord::default(),
            extra: Extra::new(),
        }
    }

    /// A record of a quick boat.
    pub fn quick(id: impl Into<String>, name: impl Into<String>, quick: QuickRecord) -> Self {
        Self {
            id: id.into(),
            name: name.into(),
            quick: Some(quick),
            parts: Vec::new(),
            tanks: Vec::new(),
            marks: Vec::new(),
            places: Vec::new(),
            datum: DatumRecord::default(),
            extra: Extra::new(),
        }
    }

    /// The boat.
    ///
    /// # Errors
    /// [`BoatRecordError`] when the numbers or a mesh make none.
    pub fn boat(&self) -> Result<Boat, BoatRecordError> {
        if let Some(quick) = &self.quick {
            return Ok(quick.numbers().boat(&self.name, quick.water_density_kg_m3)?);
        }
        Ok(Boat {
            name: self.name.clone(),
            parts: self.parts.iter().map(PartRecord::part).collect::<Result<_, _>>()?,
            tanks: self.tanks.iter().map(TankRecord::tank).collect::<Result<_, _>>()?,
            marks: self.marks.iter().map(MarkRecord::mark).collect(),
            places: self.places.iter().map(PlaceRecord::place).collect(),
        })
    }

    /// How far the boat's model may be off.
    pub fn spread(&self) -> ModelSpread {
        match &self.quick {
            None => ModelSpread::LEDGER,
            Some(quick) => ModelSpread {
                centre_height: QuickBoat::CENTRE_HEIGHT_SPREAD * quick.beam_m,
                response: QuickBoat::RESPONSE_SPREAD,
            },
        }
    }
}

/// The six numbers of a quick boat, and the water they were given for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `boat::QuickBoat`")]
pub struct QuickRecord {
    pub length_m: f64,
    pub beam_m: f64,
    pub depth_m: f64,
    pub mass_kg: f64,
    pub waterline_m: f64,
    pub fullness: f64,
    pub water_density_kg_m3: f64,
    #[serde(flatten)]
    pub extra: Extra,
}

impl QuickRecord {
    /// The six numbers.
    pub fn numbers(&self) -> QuickBoat {
        QuickBoat {
            length: self.length_m,
            beam: self.beam_m,
            depth: self.depth_m,
            mass: self.mass_kg,
            waterline: self.waterline_m,
            fullness: self.fullness,
        }
    }
}

/// Whether a part is aboard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the variants are those of `boat::Status`")]
pub enum StatusRecord {
    Planned,
    Temporary,
    #[default]
    Fixed,
    TakenOut,
}

/// A part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `boat::Part`")]
pub struct PartRecord {
    pub name: String,
    pub mass_kg: f64,
    pub centre_m: [f64; 3],
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub solid: Option<SolidRecord>,
    #[serde(default)]
    pub status: StatusRecord,
    #[serde(flatten)]
    pub extra: Extra,
}

impl PartRecord {
    fn part(&self) -> Result<Part, BoatRecordError> {
        let solid = self.solid.as_ref().map(SolidRecord::solid).transpose();
        Ok(Part {
            name: self.name.clone(),
            mass: self.mass_kg,
            centre: place(self.centre_m),
            solid: solid
                .map_err(|problem| BoatRecordError::Mesh { part: self.name.clone(), problem })?,
            status: match self.status {
                StatusRecord::Planned => Status::Planned,
                StatusRecord::Temporary => Status::Temporary,
                StatusRecord::Fixed => Status::Fixed,
                StatusRecord::TakenOut => Status::TakenOut,
            },
        })
    }
}

impl From<&Part> for PartRecord {
    fn from(part: &Part) -> Self {
        Self {
            name: part.name.clone(),
            mass_kg: part.mass,
            centre_m: part.centre.vector().into(),
            solid: part.solid.as_ref().map(SolidRecord::from),
            status: match part.status {
                Status::Planned => StatusRecord::Planned,
                Status::Temporary => StatusRecord::Temporary,
                Status::Fixed => StatusRecord::Fixed,
                Status::TakenOut => StatusRecord::TakenOut,
            },
            extra: Extra::new(),
        }
    }
}

/// A tank.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `boat::Tank`")]
pub struct TankRecord {
    pub name: String,
    pub cavity: SolidRecord,
    pub fill: f64,
    pub liquid_density_kg_m3: f64,
    pub mass_kg: f64,
    pub centre_m: [f64; 3],
    pub inside_a_part: bool,
    #[serde(flatten)]
    pub extra: Extra,
}

impl TankRecord {
    fn tank(&self) -> Result<Tank, BoatRecordError> {
        let cavity = self
            .cavity
            .solid()
            .map_err(|problem| BoatRecordError::Mesh { part: self.name.clone(), problem })?;
        Ok(Tank {
            fill: self.fill,
            liquid_density: self.liquid_density_kg_m3,
            mass: self.mass_kg,
            centre: place(self.centre_m),
            housing: if self.inside_a_part { Housing::InsideAPart } else { Housing::InTheWet },
            ..Tank::new(self.name.clone(), cavity)
        })
    }
}

impl From<&Tank> for TankRecord {
    fn from(tank: &Tank) -> Self {
        Self {
            name: tank.name.clone(),
            cavity: SolidRecord::from(&tank.cavity),
            fill: tank.fill,
            liquid_density_kg_m3: tank.liquid_density,
            mass_kg: tank.mass,
            centre_m: tank.centre.vector().into(),
            inside_a_part: tank.housing == Housing::InsideAPart,
            extra: Extra::new(),
        }
    }
}

/// A mark.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `boat::Mark`")]
pub struct MarkRecord {
    pub name: String,
    pub at_m: [f64; 3],
    #[serde(flatten)]
    pub extra: Extra,
}

impl MarkRecord {
    fn mark(&self) -> Mark {
        Mark { name: self.name.clone(), at: place(self.at_m) }
    }
}

impl From<&Mark> for MarkRecord {
    fn from(mark: &Mark) -> Self {
        Self { name: mark.name.clone(), at_m: mark.at.vector().into(), extra: Extra::new() }
    }
}

/// What is around a weight at its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
#[expect(missing_docs, reason = "the variants are those of `boat::Medium`")]
pub enum MediumRecord {
    Dry,
    Wet,
}

/// A place for weight.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the fields are those of `boat::Place`")]
pub struct PlaceRecord {
    pub name: String,
    pub height_m: f64,
    pub medium: MediumRecord,
    #[serde(flatten)]
    pub extra: Extra,
}

impl PlaceRecord {
    fn place(&self) -> Place {
        Place {
            name: self.name.clone(),
            z: self.height_m,
            medium: match self.medium {
                MediumRecord::Dry => Medium::Dry,
                MediumRecord::Wet => Medium::Wet,
            },
        }
    }
}

impl From<&Place> for PlaceRecord {
    fn from(place: &Place) -> Self {
        Self {
            name: place.name.clone(),
            height_m: place.z,
            medium: match place.medium {
                Medium::Dry => MediumRecord::Dry,
                Medium::Wet => MediumRecord::Wet,
            },
            extra: Extra::new(),
        }
    }
}

fn place([x, y, z]: [f64; 3]) -> Position<Body> {
    Position::new(x, y, z)
}
