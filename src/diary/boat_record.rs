//! Boats as they are written in the file, and how boats are made from them.

use super::aim_record::AimRecord;
use super::dive_record::DiveRecord;
use super::field_tables::{fields, words};
use super::fields::Extra;
use super::part_record::{PartRecord, place};
use super::quick_record::QuickRecord;
use super::tank_record::TankRecord;
use crate::ballast::{Aim, UnderAim};
use crate::boat::{Boat, EntryError, MadePart, Mark, Medium, Place, QuickBoatError};
use crate::geometry::{Fineness, MeshError};

/// Why a boat's record makes no boat.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
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
    /// A part's description makes no part.
    #[error("{part}: {problem}")]
    Part {
        /// The part's name.
        part: String,
        /// What is wrong with it.
        problem: EntryError,
    },
    /// Its target under water is not a range.
    #[error("its target under water is {low} to {high}: give the lower figure first")]
    Aim {
        /// The lower limit that was given.
        low: f64,
        /// The upper one.
        high: f64,
    },
}

/// A boat: by six numbers, or part by part.
#[derive(Debug, Clone, PartialEq)]
pub struct BoatRecord {
    /// Its identity; never changes.
    pub id: String,
    /// What the builder calls it.
    pub name: String,
    /// The six numbers, for a quick boat.
    pub quick: Option<QuickRecord>,
    /// The parts, for a boat entered part by part.
    pub parts: Vec<PartRecord>,
    /// Its tanks.
    pub tanks: Vec<TankRecord>,
    /// Its marks.
    pub marks: Vec<MarkRecord>,
    /// Where weight can be put.
    pub places: Vec<PlaceRecord>,
    /// Where lengths along the boat are measured from.
    pub datum: DatumRecord,
    /// Length over all, midship in its middle; the parts' own length if absent.
    pub length_m: Option<f64>,
    /// How it is taken down and up.
    pub dive: DiveRecord,
    /// What is right for it; what is usual for its tanks if absent.
    pub aim: AimRecord,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(BoatRecord {
    needs id,
    needs name,
    may quick,
    may parts,
    may tanks,
    may marks,
    may places,
    has datum,
    may length_m,
    may dive,
    may aim,
    .. extra
});

/// Where lengths along the boat are measured from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DatumRecord {
    /// Midship.
    #[default]
    Midship,
    /// The foremost point.
    Bow,
    /// The aftmost point.
    Stern,
}

words!(DatumRecord {
    Midship "midship",
    Bow "bow",
    Stern "stern",
});

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
            length_m: None,
            dive: DiveRecord::default(),
            aim: AimRecord::default(),
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
            length_m: None,
            dive: DiveRecord::default(),
            aim: AimRecord::default(),
            extra: Extra::new(),
        }
    }

    /// The boat.
    ///
    /// # Errors
    /// [`BoatRecordError`] when the numbers or a mesh make none.
    pub fn boat(&self) -> Result<Boat, BoatRecordError> {
        // A boat of six numbers has the parts that were put on since.
        let mut boat = match &self.quick {
            Some(quick) => {
                quick.named(quick.numbers().boat(&self.name, quick.water_density_kg_m3)?)
            }
            None => self.without_parts()?,
        };
        for part in &self.parts {
            let mut part = made(part)?.part;
            if self.quick.is_some() {
                // The shape of six numbers is assumed: that it surrounds a part means nothing.
                part.displaces = part.displaces.or(Some(true));
            }
            boat.parts.push(part);
        }
        Ok(boat)
    }

    /// The boat without its parts, for callers that make the parts themselves.
    ///
    /// # Errors
    /// [`BoatRecordError`] when a tank's mesh is not closed.
    pub fn without_parts(&self) -> Result<Boat, BoatRecordError> {
        let tank = |t: &TankRecord| t.tank().map_err(|problem| tank_problem(t, problem));
        Ok(Boat {
            name: self.name.clone(),
            parts: Vec::new(),
            tanks: self.tanks.iter().map(tank).collect::<Result<_, _>>()?,
            marks: self.marks.iter().map(MarkRecord::mark).collect(),
            places: self.places.iter().map(PlaceRecord::place).collect(),
        })
    }

    /// Checks without calculating that the record makes a boat: numbers go together, meshes are
    /// closed, every part has a mass and a place.
    pub(super) fn check(&self) -> Result<(), BoatRecordError> {
        if let Some([low, high]) = self.aim.wrong() {
            return Err(BoatRecordError::Aim { low, high });
        }
        if self.quick.is_some() {
            return self.boat().map(drop);
        }
        for tank in &self.tanks {
            match tank.tank() {
                // A mesh that is kept elsewhere may be missing: the rest of the file is good.
                Ok(_) | Err(MeshError::NotHere) => {}
                Err(problem) => return Err(tank_problem(tank, problem)),
            }
        }
        for part in &self.parts {
            match part.entry() {
                Ok(entry) => entry.check().map_err(|problem| part_problem(part, problem))?,
                Err(MeshError::NotHere) => {}
                Err(problem) => return Err(mesh_problem(part, problem)),
            }
        }
        Ok(())
    }

    /// What is right for it under water.
    pub fn under_aim(&self) -> UnderAim {
        let has_one = |quick: &QuickRecord| quick.tank_m3.is_some_and(|takes| takes > 0.0);
        let of_six = usize::from(self.quick.as_ref().is_some_and(has_one));
        self.aim.under().unwrap_or_else(|| UnderAim::usual(self.tanks.len() + of_six))
    }

    /// What is right for it where it has so much beam, metres.
    pub fn aim(&self, beam: f64) -> Aim {
        Aim { under: self.under_aim(), least: self.aim.least(beam) }
    }
}

/// A mark.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `boat::Mark`")]
pub struct MarkRecord {
    pub name: String,
    pub at_m: [f64; 3],
    pub extra: Extra,
}

fields!(MarkRecord {
    needs name,
    needs at_m,
    .. extra
});

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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the variants are those of `boat::Medium`")]
pub enum MediumRecord {
    Dry,
    Wet,
}

words!(MediumRecord {
    Dry "dry",
    Wet "wet",
});

/// A place for weight.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `boat::Place`")]
pub struct PlaceRecord {
    pub name: String,
    pub height_m: f64,
    pub medium: MediumRecord,
    pub extra: Extra,
}

fields!(PlaceRecord {
    needs name,
    needs height_m,
    needs medium,
    .. extra
});

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

/// Makes one part of a record.
pub(super) fn made(record: &PartRecord) -> Result<MadePart, BoatRecordError> {
    let entry = record.entry().map_err(|problem| mesh_problem(record, problem))?;
    entry.made(Fineness::WORK).map_err(|problem| part_problem(record, problem))
}

fn mesh_problem(part: &PartRecord, problem: MeshError) -> BoatRecordError {
    BoatRecordError::Mesh { part: part.name.clone(), problem }
}

fn tank_problem(tank: &TankRecord, problem: MeshError) -> BoatRecordError {
    BoatRecordError::Mesh { part: tank.name.clone(), problem }
}

fn part_problem(part: &PartRecord, problem: EntryError) -> BoatRecordError {
    BoatRecordError::Part { part: part.name.clone(), problem }
}
