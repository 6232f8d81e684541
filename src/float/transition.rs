//! The way between: a boat followed along its stable branch while tanks fill.

use super::equilibrium::{Basin, release, settle_from};
use super::model::{BoatError, FloatModel};
use super::outcome::Outcome;
use super::righting::upright_stiffness;
use super::settle::Tolerance;
use super::stability::Stiffness;
use crate::frame::Pose;

/// The boat at one fill.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepRow {
    /// Share of the tanks' capacity that is liquid, 0 to 1.
    pub fill: f64,
    /// How the boat lies then.
    pub outcome: Outcome,
    /// Mass beyond what the water carries, kg; negative while it floats.
    pub residual: f64,
    /// Metacentric heights with the heel held at zero.
    pub upright: Stiffness,
    /// Trim with the heel held at zero, radians.
    pub upright_trim: f64,
}

impl SweepRow {
    /// The pose of the row, afloat or under.
    pub fn pose(&self) -> Pose {
        self.outcome.pose()
    }

    /// The metacentric heights of the row.
    pub fn stiffness(&self) -> Stiffness {
        self.outcome.stiffness()
    }
}

/// A boat on its way down.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sweep {
    /// From empty to full.
    pub rows: Vec<SweepRow>,
}

impl Sweep {
    /// The row with the least value of `key`.
    pub fn least(&self, key: impl Fn(&SweepRow) -> f64) -> Option<&SweepRow> {
        self.rows.iter().min_by(|a, b| key(a).total_cmp(&key(b)))
    }
}

/// Fills the tanks of these numbers together from empty to full, at `n_rows` equal steps (two at
/// the least). The first row is the boat released upright; each other one is reached from the row before.
///
/// # Errors
/// [`BoatError`] for a tank that is not there or a density that is not one.
pub fn sweep(
    model: &FloatModel,
    basin: Basin,
    tanks: &[usize],
    n_rows: u32,
    tolerance: &Tolerance,
) -> Result<Sweep, BoatError> {
    let n_rows = n_rows.max(2);
    let mut rows: Vec<SweepRow> = Vec::new();
    for k in 0..n_rows {
        let fill = f64::from(k) / f64::from(n_rows - 1);
        let mut filled = model.clone();
        for &tank in tanks {
            filled = filled.with_fill(tank, fill)?;
        }
        let outcome = match rows.last() {
            None => release(&filled, basin, tolerance)?,
            Some(before) => settle_from(&filled, basin, before.pose(), tolerance)?,
        };
        let (upright, pose) = upright_stiffness(&filled, basin, None, tolerance)?;
        let residual = filled.residual_mass(basin.density);
        rows.push(SweepRow { fill, outcome, residual, upright, upright_trim: pose.trim() });
    }
    Ok(Sweep { rows })
}
