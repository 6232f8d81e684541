//! How the boat will lie after a step.

use super::aim::LEVEL;
use crate::boat::Mark;
use crate::float::{
    Basin, BoatError, FloatModel, Outcome, Stiffness, Tolerance, hang, release, settle_from,
};
use crate::frame::Pose;
use crate::reading::Condition;

/// The water at one mark.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkForecast {
    /// The mark's name.
    pub name: String,
    /// Metres of water above it; negative below.
    pub above: f64,
}

/// How the boat will lie.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// What becomes of it.
    pub outcome: Outcome,
    /// Its pose.
    pub pose: Pose,
    /// Metacentric heights; under water BG.
    pub stiffness: Stiffness,
    /// The water at the marks, when it floats.
    pub marks: Vec<MarkForecast>,
    /// Mass beyond what the water carries, kg; negative while it floats.
    pub residual: f64,
}

impl Forecast {
    /// True when it neither lists nor trims by more than is left alone.
    pub fn is_level(&self) -> bool {
        self.pose.heel().abs() <= LEVEL && self.pose.trim().abs() <= LEVEL
    }

    /// The greatest distance of the water from a mark, metres; zero without marks.
    pub fn worst_mark(&self) -> Option<&MarkForecast> {
        self.marks.iter().max_by(|a, b| a.above.abs().total_cmp(&b.above.abs()))
    }
}

/// Puts a boat into the water, afloat near a pose if one is known and upright otherwise, and reads
/// it at its marks.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive.
pub fn forecast(
    model: &FloatModel,
    basin: Basin,
    condition: Condition,
    near: Option<Pose>,
    marks: &[Mark],
) -> Result<Forecast, BoatError> {
    let residual = model.residual_mass(basin.density);
    let outcome = match condition {
        Condition::Afloat => match near {
            Some(pose) => settle_from(model, basin, pose, &Tolerance::FINE)?,
            None => release(model, basin, &Tolerance::FINE)?,
        },
        Condition::Under => {
            let under = hang(model, basin, &Tolerance::FINE)?;
            if residual > 0.0 { Outcome::Sinks(under) } else { Outcome::Neutral(under) }
        }
    };
    let (pose, stiffness) = (outcome.pose(), outcome.stiffness());
    let floats = outcome.afloat().is_some();
    let read = |mark: &Mark| MarkForecast {
        name: mark.name.clone(),
        above: pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z(),
    };
    let marks = if floats { marks.iter().map(read).collect() } else { Vec::new() };
    Ok(Forecast { outcome, pose, stiffness, marks, residual })
}
