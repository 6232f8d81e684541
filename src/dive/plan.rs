//! How a boat is taken down and up.

use super::change::Change;
use crate::boat::{PartEntry, Space};
use crate::float::{Basin, BoatError, FloatModel, Flooding, Heading, Order, Passage, Steps};
use std::sync::Arc;

/// Seconds in which a tank floods where nothing is said. Common practice, no source.
pub const USUAL_FLOOD: f64 = 20.0;
/// Seconds in which a tank is blown where nothing is said. Common practice, no source.
pub const USUAL_BLOW: f64 = 10.0;
/// Seconds in which water leaves free-flooding space to 1/e where nothing is said. Common
/// practice, no source.
pub const USUAL_DRAIN: f64 = 2.0;

/// How the tanks are flooded and blown, and what holds water back.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plan {
    /// Which tank begins when.
    pub order: Order,
    /// Seconds in which each tank floods, in the boat's order.
    pub flood: Vec<f64>,
    /// Seconds in which each is blown.
    pub blow: Vec<f64>,
    /// Free-flooding spaces that drain slowly.
    pub spaces: Arc<[Space]>,
}

impl Plan {
    /// The plan with the free-flooding spaces inside the flooded ones of a boat's parts, which drain to 1/e in
    /// so many seconds. Spaces hold water back on the way up only, and are made for that way only.
    #[must_use]
    pub fn with_spaces(
        self,
        heading: Heading,
        model: &FloatModel,
        parts: impl Iterator<Item = PartEntry>,
        drain: f64,
    ) -> Self {
        match heading {
            Heading::Down => self,
            Heading::Up => {
                let space = |part: PartEntry| Space::inside(&part, model.solids().iter(), drain);
                Self { spaces: parts.filter_map(space).collect(), ..self }
            }
        }
    }

    /// The boat ready to be followed, at 101 rows and more where it turns quickly.
    ///
    /// # Errors
    /// [`BoatError`] for a water density or a time that is not positive.
    pub fn passage(
        &self,
        model: &FloatModel,
        basin: Basin,
        heading: Heading,
    ) -> Result<Passage, BoatError> {
        self.passage_in(model, basin, heading, Steps::default())
    }

    /// The same in other steps.
    ///
    /// # Errors
    /// [`BoatError`] for a water density or a time that is not positive.
    pub fn passage_in(
        &self,
        model: &FloatModel,
        basin: Basin,
        heading: Heading,
        steps: Steps,
    ) -> Result<Passage, BoatError> {
        let flooding = self.flooding(model, heading)?;
        Passage::new(model, basin, flooding, Arc::clone(&self.spaces), steps)
    }

    /// How the tanks go.
    ///
    /// # Errors
    /// [`BoatError`] for a time that is not positive.
    pub fn flooding(&self, model: &FloatModel, heading: Heading) -> Result<Flooding, BoatError> {
        let seconds = match heading {
            Heading::Down => &self.flood,
            Heading::Up => &self.blow,
        };
        Flooding::new(model, heading, self.order, seconds)
    }

    /// The boat at a fill on its way down, 0 to 1, with no water trapped.
    ///
    /// # Errors
    /// [`BoatError`] for a time or a water density that is not positive.
    pub fn filled(
        &self,
        model: &FloatModel,
        fill: f64,
        density: f64,
    ) -> Result<FloatModel, BoatError> {
        let flooding = self.flooding(model, Heading::Down)?;
        flooding.filled(model, flooding.time_of(fill), density)
    }

    /// The plan with what of a change is in it.
    #[must_use]
    pub fn changed(&self, change: &Change) -> Self {
        let mut plan = self.clone();
        match change {
            Change::Flood(times) => plan.flood.iter_mut().for_each(|seconds| *seconds *= times),
            Change::Blow(times) => plan.blow.iter_mut().for_each(|seconds| *seconds *= times),
            Change::Together => plan.order = Order::Together,
            Change::Drain(times) => {
                let slower = |space: &Space| Space { drain: space.drain * times, ..space.clone() };
                plan.spaces = plan.spaces.iter().map(slower).collect();
            }
            _ => {}
        }
        plan
    }
}
