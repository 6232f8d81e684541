//! The inclining experiment: metacentric height from known weights moved across.

use super::{Estimate, FittedLine, LineError, fit_line};

/// One state of the experiment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightMove {
    /// Heeling moment of the moved weight, kg·m; positive to starboard.
    pub moment: f64,
    /// Heel read, radians; positive with the starboard side down.
    pub heel: f64,
}

/// Why the experiment gives no metacentric height.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum InclineError {
    /// The points make no line.
    #[error(transparent)]
    Line(#[from] LineError),
    /// The boat did not heel with the weight.
    #[error("the boat did not heel towards the weight: read again, or check the sides")]
    NoSlope,
    /// The displacement is not positive.
    #[error("a displacement of {0} kg: it must be more than zero")]
    Displacement(f64),
}

/// What the experiment found.
#[derive(Debug, Clone, PartialEq)]
pub struct Inclining {
    /// Metacentric height, metres.
    pub gm: Estimate,
    /// List with the weight amidships, radians.
    pub list: f64,
    /// The line of tan(heel) over moment.
    pub line: FittedLine,
}

/// Metacentric height from at least three states: `GM = 1 / (displacement · slope of tan φ)`.
///
/// Source: 2008 IS Code, part B, chapter 8 (inclining test); the slope by GUM H.3.
///
/// # Errors
/// [`InclineError`] when the states make no line or the boat does not answer.
pub fn inclining(displacement: f64, moves: &[WeightMove]) -> Result<Inclining, InclineError> {
    if !(displacement > 0.0 && displacement.is_finite()) {
        return Err(InclineError::Displacement(displacement));
    }
    let points: Vec<(f64, f64)> = moves.iter().map(|m| (m.moment, m.heel.tan())).collect();
    let line = fit_line(&points)?;
    if line.slope.value <= 0.0 {
        return Err(InclineError::NoSlope);
    }
    let gm = 1.0 / (displacement * line.slope.value);
    let spread = gm * line.slope.spread / line.slope.value;
    Ok(Inclining { gm: Estimate::new(gm, spread), list: line.intercept.value.atan(), line })
}
