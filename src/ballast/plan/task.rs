//! What a plan is asked for, and what it puts where.

use super::slot::Slot;
use super::state::PlanState;
use super::stock::StockItem;
use crate::float::{BoatError, FloatModel};
use crate::frame::{Body, Position};
use crate::geometry::{Mesh, SolidError};
use std::sync::Arc;

/// A part that may be taken out or shifted, as a whole or in part.
#[derive(Debug, Clone)]
pub struct Removable {
    /// What it is called.
    pub name: String,
    /// Its mass, kg.
    pub mass: f64,
    /// Where that acts.
    pub centre: Position<Body>,
    /// What it displaces, if it does.
    pub solid: Option<Arc<Mesh>>,
    /// Density of its material, kg/m³, if it is known: then it can be used again as what the stock has of the same.
    pub density: Option<f64>,
}

/// What makes one plan better than another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Objective {
    /// The least mass added and taken out.
    #[default]
    LeastMass,
    /// Few pieces: the fewest that a search finds.
    FewestPieces,
    /// The least change to what is strapped on: shifting counts half of adding.
    LeastChange,
    /// The lowest centre of gravity against that of buoyancy, with at most half as much again as the least mass.
    MostStability,
}

impl Objective {
    /// All of them.
    pub const ALL: [Self; 4] =
        [Self::LeastMass, Self::FewestPieces, Self::LeastChange, Self::MostStability];

    /// Its name in files and reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::LeastMass => "least_mass",
            Self::FewestPieces => "fewest_pieces",
            Self::LeastChange => "least_change",
            Self::MostStability => "most_stability",
        }
    }
}

/// What a plan is asked for.
#[derive(Debug, Clone)]
pub struct PlanTask {
    /// How the boat should be in each state; all must be met at once.
    pub states: Vec<PlanState>,
    /// Where ballast may go.
    pub slots: Vec<Slot>,
    /// What there is to put there.
    pub stock: Vec<StockItem>,
    /// What may be taken out.
    pub removable: Vec<Removable>,
}

/// Why a plan cannot be looked for.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanError {
    /// A slot's figures cannot be used.
    #[error("the place \"{0}\" has an impossible size, limit or position: correct it")]
    Slot(String),
    /// A slot takes something that is not in the stock.
    #[error("the place \"{slot}\" takes item {item}, and the stock ends before that")]
    NoItem {
        /// The slot's name.
        slot: String,
        /// The item's number.
        item: usize,
    },
    /// An item's figures cannot be used.
    #[error("the stock's \"{0}\" has an impossible density, section or amount: correct it")]
    Stock(String),
    /// A part's figures cannot be used.
    #[error("the mass of \"{0}\", which may be taken out, must be more than zero")]
    Removable(String),
    /// The fill range of a state is not one.
    #[error(
        "the fill of \"{name}\" lies between {low} and {high}: give two shares from 0 to 1, the lower one first"
    )]
    Fill {
        /// What is filled.
        name: String,
        /// The least share.
        low: f64,
        /// The greatest.
        high: f64,
    },
    /// There is nothing to choose: neither slot, nor part, nor fill.
    #[error("there is nowhere to put ballast and nothing to take out: give a place for weight")]
    NothingToChoose,
    /// More slots than any boat has.
    #[error("{0} places for ballast are too many: give at most {MOST_SLOTS}")]
    TooManySlots(usize),
    /// The boat cannot be calculated with what the plan puts on it.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// A piece has no possible solid.
    #[error("a piece of ballast cannot be made: {0}")]
    Piece(#[from] SolidError),
    /// The solver came to no end.
    #[error(
        "the search for a plan came to no end: check the masses and places for one that is far out"
    )]
    Unsolved,
}

/// The most slots that are looked at; each may double the work.
const MOST_SLOTS: usize = 400;

impl PlanTask {
    /// Whether all its figures can be calculated with.
    ///
    /// # Errors
    /// [`PlanError`] naming what cannot.
    pub(super) fn check(&self) -> Result<(), PlanError> {
        if self.slots.len() > MOST_SLOTS {
            return Err(PlanError::TooManySlots(self.slots.len()));
        }
        if let Some(item) = self.stock.iter().find(|item| !item.is_sound()) {
            return Err(PlanError::Stock(item.material.clone()));
        }
        for slot in &self.slots {
            if !slot.is_sound() {
                return Err(PlanError::Slot(slot.name.clone()));
            }
            if let Some(&item) = slot.takes.iter().find(|item| **item >= self.stock.len()) {
                return Err(PlanError::NoItem { slot: slot.name.clone(), item });
            }
        }
        let is_bad = |part: &&Removable| {
            !(part.mass > 0.0 && part.mass.is_finite() && part.centre.is_finite())
        };
        if let Some(part) = self.removable.iter().find(is_bad) {
            return Err(PlanError::Removable(part.name.clone()));
        }
        for free in self.states.iter().flat_map(|state| &state.free) {
            let [low, high] = free.range;
            if !(0.0 <= low && low <= high && high <= 1.0) {
                return Err(PlanError::Fill { name: free.name.clone(), low, high });
            }
        }
        let has_free = self.states.iter().any(|state| !state.free.is_empty());
        let has_slots = self.slots.iter().any(|slot| !slot.takes.is_empty());
        if has_slots || has_free || !self.removable.is_empty() {
            Ok(())
        } else {
            Err(PlanError::NothingToChoose)
        }
    }
}

/// One piece of ballast at its place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// In which slot, by number.
    pub slot: usize,
    /// Of which item of the stock, by number.
    pub item: usize,
    /// Its mass, kg.
    pub mass: f64,
    /// Its centre.
    pub at: Position<Body>,
}

/// What a plan does: pieces put on, mass taken out, and how the free tanks are filled.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Loading {
    /// What is put on.
    pub pieces: Vec<Placed>,
    /// What is taken out of each removable part, kg.
    pub removed: Vec<f64>,
    /// The share of each free fill, by state.
    pub fills: Vec<Vec<f64>>,
}

impl Loading {
    /// Mass added and taken out, kg.
    pub fn changed_mass(&self) -> f64 {
        let added = self.pieces.iter().map(|piece| piece.mass);
        added.chain(self.removed.iter().copied()).fold(0.0, |sum, mass| sum + mass)
    }

    /// A boat with this done to it: real solids where water comes to them.
    ///
    /// # Errors
    /// [`PlanError`] when a piece cannot be made, or nothing of the boat is left.
    pub fn done_to(&self, boat: &FloatModel, task: &PlanTask) -> Result<FloatModel, PlanError> {
        let mut model = boat.clone();
        for (part, &mass) in task.removable.iter().zip(&self.removed) {
            if mass > 0.0 {
                model = model.without_share(
                    part.mass,
                    part.centre,
                    part.solid.as_ref(),
                    mass / part.mass,
                )?;
            }
        }
        for piece in &self.pieces {
            let (Some(slot), Some(item)) = (task.slots.get(piece.slot), task.stock.get(piece.item))
            else {
                continue;
            };
            model = match item.mesh(piece.mass, piece.at, slot.room, slot.medium)? {
                Some(mesh) => model.with_mesh(piece.mass, piece.at, mesh)?,
                None => model.with_weight(piece.mass, piece.at)?,
            };
        }
        Ok(model)
    }
}
