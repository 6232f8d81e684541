//! What makes the boat in hand right before it is ever wet.

use super::ready_boat::{Movable, ReadyBoat};
use crate::ballast::{Ballasting, Demand, MovablePart, Stores, Target, ballast_for};
use crate::fit::{Fit, KnownErrors};
use crate::float::{Basin, BoatError};
use crate::frame::{Body, Position};
use crate::geometry::{Bounds, Fineness};
use crate::material::{FOAM_BOARD, LEAD};
use std::sync::Arc;

impl ReadyBoat {
    /// What lead, and what foam, makes it right both ways as it is described, whose parts weigh what they do with
    /// these spreads (kg), each at its place. None without a mark.
    ///
    /// # Errors
    /// [`BoatError`] for a water density that is not positive.
    pub fn ballast(
        &self,
        basin: Basin,
        parts: impl IntoIterator<Item = (f64, Position<Body>)>,
    ) -> Result<Option<Ballasting>, BoatError> {
        let marks = &self.boat.marks;
        let Some(pose) = Target::at_the_marks(marks).and_then(|target| target.pose()) else {
            return Ok(None);
        };
        let known = KnownErrors::of_masses(self.model.bare(), parts);
        let fit = Fit::as_described(&self.model, pose, &known);
        let places = &self.boat.places;
        let demand = Demand { basin, aim: self.aim, marks, places, foam: FOAM_BOARD.density };
        let loose = |part: &Movable| MovablePart { counts: part.counts, bounds: part.bounds };
        let movable: Vec<MovablePart> = self.movable.iter().map(loose).collect();
        let (boat, nesting) = (&self.boat, self.model.nesting());
        let cavities = boat.tanks.iter().filter_map(|t| t.cavity.mesh(Fineness::WORK).ok());
        let parts = (0..boat.parts.len()).filter_map(|k| nesting.shape(k).map(Arc::clone));
        let filled: Vec<Bounds> = cavities.chain(parts).map(|mesh| mesh.bounds()).collect();
        let stores = Stores { weight: LEAD.density, movable: &movable, filled: &filled };
        ballast_for(&fit, &demand, &stores)
    }
}
