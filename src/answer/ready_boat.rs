//! A boat from its record, ready for calculation.

use super::hollow::Hollows;
use crate::ballast::{Aim, Target};
use crate::boat::{Boat, Medium, Place, QuickBoat, can_be_shifted};
use crate::diary::{BoatRecord, BoatRecordError, DatumRecord};
use crate::fit::{KnownErrors, PartSpread};
use crate::float::{BoatError, FloatModel, Flooding, Heading};
use crate::geometry::{Bounds, Fineness};
use crate::unit::GRAM;
use crate::water::POOL_DENSITY;
use nalgebra::Vector3;
use std::sync::Arc;

/// Least net weight in the water of a part worth shifting, kg. Common practice, no source.
const WORTH: f64 = 10.0 * GRAM;

/// The boat in hand, ready for calculation.
#[derive(Debug, Clone)]
pub struct ReadyBoat {
    /// The boat.
    pub boat: Arc<Boat>,
    /// Its model, with the tanks as they are entered.
    pub model: FloatModel,
    /// What is known of it before it is read.
    pub known: KnownErrors,
    /// What is right for it under water and on the way.
    pub aim: Aim,
    /// Whether it is a boat of six numbers, whose answers are rougher.
    pub is_quick: bool,
    /// A six-number boat whose tank volume is not stated: grams heavy under water mean nothing
    /// until it is.
    pub tank_is_untold: bool,
    /// How the tanks flood, where the builder has said of each how long it takes.
    pub floods: Option<Flooding>,
    /// The parts that can be shifted.
    pub movable: Vec<Movable>,
    /// The parts that are strapped on and can be taken off, by name.
    pub strapped: Vec<String>,
    /// Where lengths along the boat are measured from, metres forward of midship.
    pub datum: f64,
    /// Its hollow parts.
    pub hollows: Hollows,
}

/// A part that can be shifted, and what it counts in the water.
#[derive(Debug, Clone, PartialEq)]
pub struct Movable {
    /// The part's name.
    pub name: String,
    /// Its mass less what it displaces, kg.
    pub counts: f64,
    /// The box around it; its middle if its shape is unknown.
    pub bounds: Bounds,
}

/// Why a record cannot be calculated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadyBoatError {
    /// The record does not make a boat.
    #[error(transparent)]
    Record(#[from] BoatRecordError),
    /// The boat cannot be calculated.
    #[error(transparent)]
    Boat(#[from] BoatError),
}

impl ReadyBoat {
    /// The boat of a record.
    ///
    /// # Errors
    /// [`ReadyBoatError`] when the record makes no boat, or one that cannot be calculated.
    pub fn of(record: &BoatRecord) -> Result<Self, ReadyBoatError> {
        Ok(Self::of_made(record, record.boat()?)?)
    }

    /// The same where `boat` has been made from the record before.
    ///
    /// # Errors
    /// [`BoatError`] when the boat cannot be calculated.
    pub fn of_made(record: &BoatRecord, boat: Boat) -> Result<Self, BoatError> {
        let model = FloatModel::new(&boat, Fineness::WORK)?;
        Ok(Self::with(record, boat, model))
    }

    /// The same where `before` is the model of this boat before a change: what did not change is
    /// not measured again.
    ///
    /// # Errors
    /// As [`Self::of_made`].
    pub fn renewed(
        record: &BoatRecord,
        boat: Boat,
        before: &FloatModel,
    ) -> Result<Self, BoatError> {
        let model = before.renewed(&boat, Fineness::WORK)?;
        Ok(Self::with(record, boat, model))
    }

    fn with(record: &BoatRecord, boat: Boat, model: FloatModel) -> Self {
        let is_quick = record.quick.is_some();
        let at_marks = Target::at_the_marks(&boat.marks).and_then(|target| target.pose());
        // Six numbers tell what it displaces at its waterline, and guess the rest.
        let model = match at_marks.filter(|_| is_quick) {
            Some(pose) => model.told_in(pose),
            None => model,
        };
        let tank_is_untold = record.quick.as_ref().is_some_and(|quick| quick.tank_m3.is_none());
        let movable = if is_quick { Vec::new() } else { movable(record, &boat, &model) };
        let floods = floods(record, &model);
        Self {
            movable,
            strapped: record.strapped_on().map(|part| part.name.clone()).collect(),
            datum: datum(record, &model),
            floods,
            hollows: Hollows::of(record, &boat, &model),
            known: known(record, &boat, &model),
            boat: Arc::new(boat),
            aim: record.aim(model.bounds().size().y),
            is_quick,
            tank_is_untold,
            model,
        }
    }

    /// Where something is, metres forward of midship, that lies so far from where lengths are measured from. From an
    /// end they go one way only.
    pub(super) fn along(&self, distance: f64, is_aft: bool) -> f64 {
        let goes_aft = if self.datum == 0.0 { is_aft } else { self.datum > 0.0 };
        self.datum + if goes_aft { -distance } else { distance }
    }

    /// The place for weight of that name, else the first; `inside` names one of a boat that has none.
    pub(super) fn place(&self, name: &str, inside: &str) -> Place {
        let places = &self.boat.places;
        let chosen = places.iter().find(|p| p.name == name).or(places.first());
        let inside = || Place { name: inside.to_owned(), z: 0.0, medium: Medium::Dry };
        chosen.cloned().unwrap_or_else(inside)
    }
}

/// Where lengths along a boat are measured from: as long as it is said to be, midship is in the middle of that.
fn datum(record: &BoatRecord, model: &FloatModel) -> f64 {
    let length = record.length_m.or(record.quick.as_ref().map(|quick| quick.length_m));
    let Bounds { low, high } = model.bounds();
    match record.datum {
        DatumRecord::Midship => 0.0,
        DatumRecord::Bow => length.map_or(high.x, |length| length / 2.0),
        DatumRecord::Stern => length.map_or(low.x, |length| -length / 2.0),
    }
}

/// What is known of a boat from its record.
fn known(record: &BoatRecord, boat: &Boat, model: &FloatModel) -> KnownErrors {
    let (bare, bounds) = (model.bare(), model.bounds());
    if let Some(quick) = &record.quick {
        let bg = model.total_centre().z() - bare.centre.z;
        let height = (QuickBoat::CENTRE_HEIGHT_SPREAD * quick.beam_m)
            .max(QuickBoat::RESPONSE_SPREAD_UNDER * bg.abs());
        return KnownErrors::of_six_numbers(model, QuickBoat::RESPONSE_SPREAD, height);
    }
    let parts = boat.parts.iter().enumerate().filter(|(_, part)| part.status.is_aboard());
    let parts = parts.map(|(k, part)| {
        let entered = record.parts.get(k);
        let size = model.nesting().shape(k).map_or(Vector3::zeros(), |mesh| mesh.bounds().size());
        PartSpread {
            mass: part.mass,
            weighs: entered.map_or(0.0, |entered| entered.mass_spread(part.mass)),
            at: part.centre,
            size,
        }
    });
    KnownErrors::of_parts(bare, bounds, parts)
}

/// How the tanks flood. A default time does not tell a fill.
fn floods(record: &BoatRecord, model: &FloatModel) -> Option<Flooding> {
    let are_known = !record.tanks.is_empty() && record.tanks.iter().all(|t| t.flood_s.is_some());
    let plan = are_known.then(|| record.plan(model, Heading::Down))?;
    plan.flooding(model, Heading::Down).ok()
}

/// The parts of a boat that can be shifted and are worth it. What has a wall is a hull or a housing.
fn movable(record: &BoatRecord, boat: &Boat, model: &FloatModel) -> Vec<Movable> {
    let hollow = |name: &str| record.parts.iter().any(|p| p.name == name && p.wall.is_some());
    let nesting = model.nesting();
    let aboard = boat.parts.iter().enumerate().filter(|(_, part)| part.status.is_aboard());
    let parts = aboard.zip(can_be_shifted(boat, nesting)).map(|((k, part), can)| {
        let displaced = nesting.displaced_by_part(k).map_or(0.0, |mesh| mesh.volume());
        let counts = part.mass - POOL_DENSITY * displaced;
        let middle = part.centre.vector();
        let point = Bounds { low: middle, high: middle };
        let bounds = nesting.shape(k).map_or(point, |mesh| mesh.bounds());
        (can && !hollow(&part.name), Movable { name: part.name.clone(), counts, bounds })
    });
    parts.filter(|(can, m)| *can && m.counts > WORTH).map(|(_, m)| m).collect()
}
