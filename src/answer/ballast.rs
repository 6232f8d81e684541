//! What makes the boat in hand right before it is ever wet.

use super::hand::Hand;
use crate::ballast::{Ballasting, Demand, Stores, Target, ballast_for};
use crate::fit::{Fit, ModelSpread};
use crate::float::{Basin, BoatError};
use crate::frame::{Body, Position};
use crate::material::{FOAM_BOARD, LEAD};

impl Hand {
    /// What lead, and what foam, makes it right both ways as it is described, whose parts weigh what they do with
    /// these spreads (kg), each at its place. None without a mark.
    ///
    /// # Errors
    /// [`BoatError`] for water that is not one.
    pub fn ballast(
        &self,
        basin: Basin,
        parts: impl IntoIterator<Item = (f64, Position<Body>)>,
    ) -> Result<Option<Ballasting>, BoatError> {
        let marks = &self.boat.marks;
        let Some(pose) = Target::at_the_marks(marks).and_then(|target| target.pose()) else {
            return Ok(None);
        };
        let fit = Fit::as_described(&self.model, pose, parts, ModelSpread::LEDGER);
        let places = &self.boat.places;
        let demand = Demand { basin, aim: self.aim, marks, places, foam: FOAM_BOARD.density };
        let movable: Vec<f64> = self.movable.iter().map(|part| part.counts).collect();
        ballast_for(&fit, &demand, &Stores { weight: LEAD.density, movable: &movable })
    }
}
