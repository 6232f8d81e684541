//! What a boat as described will do: afloat, under water, and how much its tanks must take.

use super::forecast::{Forecast, forecast};
use super::target::Target;
use crate::boat::Mark;
use crate::float::{Basin, BoatError, FloatModel, Submerged, Tolerance, hang, upright_stiffness};
use crate::frame::Pose;
use crate::reading::Condition;

/// How much water the tanks must take in to dive, and how much they can.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankNeed {
    /// From the design waterline to neutral, m³: the volume above that waterline. None without
    /// enough marks.
    pub from_waterline: Option<f64>,
    /// From how the boat floats with its tanks blown to neutral, m³; negative if it sinks so.
    pub from_blown: f64,
    /// What the tanks can take, blown to full, m³.
    pub has: f64,
}

impl TankNeed {
    /// The need that counts: from the design waterline, or as it floats if there is none.
    pub fn need(&self) -> f64 {
        self.from_waterline.unwrap_or(self.from_blown)
    }

    /// Tank margin: spare volume as a share of the need; negative when they are too small. None
    /// when nothing is needed.
    pub fn margin(&self) -> Option<f64> {
        (self.need() > 0.0).then(|| self.has / self.need() - 1.0)
    }

    /// How far between blown (0) and full (1) the boat is neutral. None when it has no tank, or
    /// cannot become neutral with it.
    pub fn neutral_share(&self) -> Option<f64> {
        let share = self.from_blown / self.has;
        (self.has > 0.0 && (0.0..=1.0).contains(&share)).then_some(share)
    }
}

/// How the boat hangs under water.
#[derive(Debug, Clone, PartialEq)]
pub struct UnderOutlook {
    /// How full the tanks are between blown (0) and full (1): neutral if they can bring it there,
    /// otherwise the nearer end.
    pub share: f64,
    /// How it hangs.
    pub hangs: Submerged,
    /// Mass beyond what the water carries with the tanks blown, kg; negative is light.
    pub blown_residual: f64,
    /// The same with the tanks full.
    pub full_residual: f64,
}

/// Heel below which a boat is upright, radians: half a degree.
const UPRIGHT: f64 = 0.5 * std::f64::consts::PI / 180.0;

/// GM, and offset of weight, below which a boat counts as indifferent in heel, metres. The facets
/// of a round hull's mesh alone give this much. Common practice, no source.
pub(crate) const NO_GM: f64 = 0.5e-3;

/// Whether a boat stands up by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InitialStability {
    /// It rights itself.
    Stands,
    /// It stays at any heel: a round hull with its weight on the axis.
    AsTurned,
    /// It falls to one side or the other.
    Falls,
}

/// What the boat will do.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// Afloat with the tanks blown.
    pub afloat: Forecast,
    /// GM across with the boat held upright, metres: what tells a boat that is top-heavy from one
    /// that only leans.
    pub upright_gm: f64,
    /// What the tanks must and can take.
    pub tank: TankNeed,
    /// Under water.
    pub under: UnderOutlook,
}

impl Outlook {
    /// Whether the boat stands up by itself, afloat with its tanks blown.
    pub fn initial_stability(&self) -> InitialStability {
        if self.upright_gm.abs() <= NO_GM {
            InitialStability::AsTurned
        } else if self.upright_gm > 0.0 {
            InitialStability::Stands
        } else {
            InitialStability::Falls
        }
    }
}

/// Calculates it; `near`, the pose of a slightly different boat, makes it faster.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive.
pub fn outlook(
    model: &FloatModel,
    basin: Basin,
    near: Option<Pose>,
    marks: &[Mark],
) -> Result<Outlook, BoatError> {
    let blown = model.flooded(0.0, basin.density)?;
    let full = model.flooded(1.0, basin.density)?;
    let afloat = forecast(&blown, basin, Condition::Afloat, near, marks)?;
    // A boat that lies upright is not held to find that out.
    let upright_gm = if afloat.pose.heel().abs() < UPRIGHT {
        afloat.stiffness.across
    } else {
        upright_stiffness(&blown, basin, None, &Tolerance::FINE)?.0.across
    };
    let at_marks = Target::at_the_marks(marks).and_then(|t| t.pose());
    let tank = TankNeed {
        from_waterline: at_marks.map(|pose| model.total_volume() - model.wet(pose).volume),
        from_blown: -blown.residual_mass(basin.density) / basin.density,
        has: (full.mass() - blown.mass()) / basin.density,
    };
    let share = tank.neutral_share().unwrap_or(if tank.from_blown > 0.0 { 1.0 } else { 0.0 });
    let hanging = model.flooded(share, basin.density)?;
    let under = UnderOutlook {
        share,
        hangs: hang(&hanging, basin, &Tolerance::FINE)?,
        blown_residual: blown.residual_mass(basin.density),
        full_residual: full.residual_mass(basin.density),
    };
    Ok(Outlook { afloat, upright_gm, tank, under })
}

/// GM across with the boat held upright and its tanks half full, metres: their free surface takes
/// its share then.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive.
pub fn half_full_gm(model: &FloatModel, basin: Basin) -> Result<f64, BoatError> {
    let half = model.flooded(0.5, basin.density)?;
    Ok(upright_stiffness(&half, basin, None, &Tolerance::FINE)?.0.across)
}
