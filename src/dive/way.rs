//! A way down or up, followed to its end and judged.

use super::cause::{LeanCauses, lean_causes};
use super::cure::{Cure, LeaningBoat, candidates};
use super::gm_loss::{GmLoss, gm_loss};
use super::lean::lean_of;
use super::summary::Summary;
use crate::ballast::NO_GM;
use crate::boat::Boat;
use crate::fit::Lean;
use crate::float::{Basin, BoatError, FloatModel, Passage, Sweep, SweepRow};

/// A way and what was found on it.
#[derive(Debug, Clone)]
pub struct Way {
    passage: Passage,
    /// Row by row.
    pub sweep: Sweep,
    /// Its worst points and its ends.
    pub summary: Summary,
    /// What takes GM away from the start to where it is least.
    pub loss: GmLoss,
    /// What leans the boat where it leans most.
    pub causes: LeanCauses,
    /// What kind of lean that is.
    pub lean: Lean,
}

impl Way {
    /// Judges a way that was followed to its end, of a boat whose centre of gravity is known in height to
    /// `height_spread` (metres); none if it has no rows.
    ///
    /// # Errors
    /// [`BoatError`] when the passage is of another boat.
    pub fn of(
        boat: &Boat,
        passage: Passage,
        sweep: Sweep,
        height_spread: f64,
    ) -> Result<Option<Self>, BoatError> {
        let Some(summary) = Summary::of(&sweep, &boat.marks) else { return Ok(None) };
        let row = |k: usize| sweep.rows.get(k);
        let (Some(first), Some(least), Some(most)) =
            (sweep.rows.first(), row(summary.worst.gm.row), row(summary.worst.lean.row))
        else {
            return Ok(None);
        };
        let basin = passage.basin();
        let (before, after) = (passage.model_in(first)?, passage.model_in(least)?);
        let loss = gm_loss(basin, (&before, first.upright_pose), (&after, least.upright_pose))?;
        let causes = lean_causes(boat, &passage.model_in(most)?, basin, most)?;
        let lean = lean_of(most, height_spread);
        Ok(Some(Self { passage, sweep, summary, loss, causes, lean }))
    }

    /// True when it is indifferent in heel where GM is least: a round hull with its weight on the
    /// axis. `InitialStability` says the same of a boat with its tanks blown.
    pub fn lies_as_turned(&self) -> bool {
        [self.summary.worst.gm.value, self.causes.offset].iter().all(|of| of.abs() <= NO_GM)
    }

    /// The boat as it is in a row of this way.
    ///
    /// # Errors
    /// [`BoatError`] when the row is of another way.
    pub fn model_in(&self, row: &SweepRow) -> Result<FloatModel, BoatError> {
        self.passage.model_in(row)
    }

    /// The water it goes through.
    pub fn basin(&self) -> Basin {
        self.passage.basin()
    }

    /// The row where it leans most.
    pub fn worst_row(&self) -> Option<&SweepRow> {
        self.sweep.rows.get(self.summary.worst.lean.row)
    }

    /// What might cure it, where so much GM (metres) is right at least; see [`candidates`].
    ///
    /// # Errors
    /// [`BoatError`] when the boat is another one.
    pub fn candidates(
        &self,
        boat: &Boat,
        model: &FloatModel,
        least_gm: f64,
    ) -> Result<Vec<Cure>, BoatError> {
        let Some(worst) = self.worst_row() else { return Ok(Vec::new()) };
        let mass = self.model_in(worst)?.mass();
        Ok(candidates(&LeaningBoat {
            boat,
            model,
            density: self.basin().density,
            heading: self.passage.heading(),
            order: self.passage.order(),
            least_gm,
            summary: &self.summary,
            lean: self.lean,
            loss: &self.loss,
            causes: &self.causes,
            mass,
        }))
    }
}
