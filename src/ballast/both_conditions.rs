//! A boat in both its conditions at once: afloat with its tanks blown, and under as its aim has it.

use super::aim::{AT_THE_MARK, Aim, DivingFill, LEVEL};
use super::forecast::{Forecast, forecast};
use super::prediction::{Prediction, foretell};
use super::target::Target;
use crate::boat::Mark;
use crate::fit::Fit;
use crate::float::{Basin, BoatError, FloatModel, Outcome, stiffness_under};
use crate::frame::Pose;
use crate::reading::Condition;
use crate::unit::GRAM;

/// How a boat lies afloat and under, whatever its tanks hold now.
#[derive(Debug, Clone, PartialEq)]
pub struct BothConditions {
    /// Afloat, with the tanks blown.
    pub afloat: Forecast,
    /// Under water, with the tanks as the aim has them.
    pub under: Forecast,
    /// How full the tanks are under water, and what the boat lacks there.
    pub fill: DivingFill,
    /// How high its centre of buoyancy lies over that of gravity under water, BG, metres.
    pub bg: f64,
    /// How high it should, at least.
    pub least_bg: f64,
}

impl BothConditions {
    /// Puts a boat, as it was found afloat and under, into the water both ways. Its mass is known to `spread`
    /// (kg); `afloat`, if it is known already, is how it lies at the surface with its tanks blown.
    ///
    /// # Errors
    /// [`BoatError`] for a water density that is not positive.
    pub fn of(
        [boat, diver]: [&FloatModel; 2],
        basin: Basin,
        aim: Aim,
        marks: &[Mark],
        spread: f64,
        afloat: Option<Forecast>,
    ) -> Result<Self, BoatError> {
        let released = || {
            let blown = boat.flooded(0.0, basin.density)?;
            let near = Target::at_the_marks(marks).and_then(|target| target.pose());
            forecast(&blown, basin, Condition::Afloat, near, marks)
        };
        let afloat = afloat.map_or_else(released, Ok)?;
        let fill = aim.under.fill_of(diver, basin.density, spread)?;
        let diving = diver.flooded(fill.share.value, basin.density)?;
        let under = forecast(&diving, basin, Condition::Under, None, marks)?;
        let bg = under.outcome.submerged().map_or(f64::NAN, |hangs| hangs.bg);
        Ok(Self { afloat, under, fill, bg, least_bg: aim.least.bg })
    }

    /// Foretells how it lies in a condition, each figure with its spread, where `done` is the boat that was
    /// put into the water: that of a fit with known weights put on or taken off. None when it does not lie
    /// in that condition, or is indifferent.
    pub fn foretold(
        &self,
        done: &FloatModel,
        fit: &Fit,
        basin: Basin,
        condition: Condition,
        marks: &[Mark],
    ) -> Option<Prediction> {
        let (share, after) = match condition {
            Condition::Afloat => (0.0, &self.afloat),
            Condition::Under => (self.fill.share.value, &self.under),
        };
        let lies_so = after.outcome.afloat().is_some() == (condition == Condition::Afloat);
        let filled = done.flooded(share, basin.density).ok().filter(|_| lies_so)?;
        foretell(fit, &filled, after, basin, condition, marks)
    }

    /// True when it floats level at its marks.
    pub fn is_right_afloat(&self) -> bool {
        let at = |above: f64| above.abs() <= AT_THE_MARK;
        let upright = self.afloat.pose.heel().abs() <= LEVEL;
        let floats = matches!(self.afloat.outcome, Outcome::Floats(_));
        floats && upright && self.afloat.marks.iter().all(|mark| at(mark.above))
    }

    /// True when it is stiff enough under water.
    pub fn has_bg(&self) -> bool {
        self.bg >= self.least_bg
    }

    /// True when it lacks nothing under water and hangs level, and is stiff enough.
    pub fn is_right_under(&self) -> bool {
        self.under.is_level() && self.has_bg() && self.fill.lacking.abs() < GRAM / 2.0
    }

    /// By what moment (kg·m, mass times height) weight must come lower so that it hangs level, where no weight along or
    /// across would do: it lacks nothing, and the water in its tanks takes its stiffness. `diver` is the boat that was
    /// put into the water.
    ///
    /// # Errors
    /// [`BoatError`] for a water density that is not positive.
    pub fn lacking_height(
        &self,
        diver: &FloatModel,
        density: f64,
    ) -> Result<Option<f64>, BoatError> {
        if self.under.is_level() || self.fill.lacking.abs() >= GRAM / 2.0 {
            return Ok(None);
        }
        let diving = diver.flooded(self.fill.share.value, density)?;
        let level = Pose::upright(0.0);
        let stiffness = stiffness_under(&diving, level).least;
        let lacking = (self.least_bg - stiffness) * diving.mass();
        Ok((lacking > 0.0).then_some(lacking))
    }

    /// True when it is right both ways.
    pub fn is_right_both(&self) -> bool {
        self.is_right_afloat() && self.is_right_under()
    }

    /// How it lies in a condition.
    pub fn in_condition(&self, condition: Condition) -> &Forecast {
        match condition {
            Condition::Afloat => &self.afloat,
            Condition::Under => &self.under,
        }
    }

    /// True when it is right in this condition.
    pub fn is_right(&self, condition: Condition) -> bool {
        match condition {
            Condition::Afloat => self.is_right_afloat(),
            Condition::Under => self.is_right_under(),
        }
    }
}
