//! What is right for a boat, in the file.

use super::field_tables::fields;
use super::fields::Extra;
use crate::ballast::{Least, UnderAim};

/// Targets for a boat under water and on the way there. Without any field: the usual for its tanks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct AimRecord {
    /// The least and the greatest share of what its tanks can take with which it is neutral.
    pub fill: Option<[f64; 2]>,
    /// With its tanks full, the least and the greatest mass beyond what the water carries, kg, negative
    /// light: for tanks that are blown or full and nothing between. Not read if there is a fill.
    pub residual_kg: Option<[f64; 2]>,
    /// The least height of the centre of buoyancy over that of gravity under water, BG, metres.
    pub least_bg_m: Option<f64>,
    /// The least GM on the way down and up, held upright, metres.
    pub least_gm_m: Option<f64>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(AimRecord {
    may fill,
    may residual_kg,
    may least_bg_m,
    may least_gm_m,
    .. extra
});

impl AimRecord {
    /// True when nothing was chosen.
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }

    /// What was chosen, if something was.
    pub(super) fn under(&self) -> Option<UnderAim> {
        let fill = self.fill.map(|[least, most]| UnderAim::AnyAmount { least, most });
        let whole = |[lightest, heaviest]: [f64; 2]| UnderAim::AllOrNothing { lightest, heaviest };
        fill.or(self.residual_kg.map(whole))
    }

    /// Minimum stiffness: as chosen, or the usual for this beam (metres).
    pub fn least(&self, beam: f64) -> Least {
        let usual = Least::usual(beam);
        Least { bg: self.least_bg_m.unwrap_or(usual.bg), gm: self.least_gm_m.unwrap_or(usual.gm) }
    }

    /// Limits that are not valid.
    pub(super) fn wrong(&self) -> Option<[f64; 2]> {
        let fill = self.fill.filter(|[low, high]| !(0.0 <= *low && low <= high && *high <= 1.0));
        let is_mass = |[low, high]: &[f64; 2]| low <= high && low.is_finite() && high.is_finite();
        let is_height = |least: &f64| *least >= 0.0 && least.is_finite();
        let heights = [self.least_bg_m, self.least_gm_m].into_iter().flatten();
        let height = heights.filter(|least| !is_height(least)).map(|least| [least; 2]).next();
        fill.or(self.residual_kg.filter(|limits| !is_mass(limits))).or(height)
    }
}

impl From<UnderAim> for AimRecord {
    fn from(aim: UnderAim) -> Self {
        match aim {
            UnderAim::AnyAmount { least, most } => {
                Self { fill: Some([least, most]), ..Self::default() }
            }
            UnderAim::AllOrNothing { lightest, heaviest } => {
                Self { residual_kg: Some([lightest, heaviest]), ..Self::default() }
            }
        }
    }
}
