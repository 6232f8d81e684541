//! The single demands of a state, each a sum that is linear in masses and fills.

use super::state::{Effect, Lies, PlanState};

/// One demand of a state.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Demanded {
    /// Mass beyond what the water carries, kg.
    Weight,
    /// Moment across, kg·m; heavy to port is positive.
    ListMoment,
    /// Moment along, kg·m; heavy by the bow is positive.
    TrimMoment,
    /// GM across less the least one, times the mass, kg·m.
    Gm,
    /// BG less the least one, times the mass, kg·m.
    Bg,
    /// Stiffness across under water, its slack tanks counted, likewise.
    Across,
    /// The same along.
    Along,
}

impl Demanded {
    /// All of them.
    pub const ALL: [Self; 7] = [
        Self::Weight,
        Self::ListMoment,
        Self::TrimMoment,
        Self::Gm,
        Self::Bg,
        Self::Across,
        Self::Along,
    ];

    /// Its name in files and reports.
    pub fn name(self) -> &'static str {
        match self {
            Self::Weight => "weight",
            Self::ListMoment => "list_moment",
            Self::TrimMoment => "trim_moment",
            Self::Gm => "gm",
            Self::Bg => "bg",
            Self::Across => "stiffness_across",
            Self::Along => "stiffness_along",
        }
    }

    /// Between what its sum must lie in a state; none where nothing is demanded.
    pub(super) fn limits(self, state: &PlanState) -> Option<[f64; 2]> {
        let up_to = |most: f64| [-most, most];
        let is_afloat = !matches!(state.lies, Lies::Under);
        let at_least = |least: Option<f64>| least.map(|_| [0.0, f64::INFINITY]);
        let limits = match self {
            Self::Weight => Some(state.weight),
            Self::ListMoment => Some(up_to(state.list_moment)),
            Self::TrimMoment => Some(up_to(state.trim_moment)),
            Self::Gm => at_least(state.gm.filter(|_| is_afloat)),
            Self::Bg => at_least(state.bg.filter(|_| !is_afloat)),
            Self::Across | Self::Along => at_least(state.stiffness.filter(|_| !is_afloat)),
        };
        limits.filter(|limits| limits.iter().any(|limit| limit.is_finite()))
    }

    /// What an effect adds to its sum.
    ///
    /// Source: the textbook sums `GM = I/V + KB − KG` and `BG = KB − KG`, multiplied by the mass so that they are linear.
    pub(super) fn of(self, state: &PlanState, effect: &Effect) -> f64 {
        let pose = state.pose();
        let axes = pose.axes();
        let over = -pose.up().dot(&effect.moment);
        let less = |least: Option<f64>| least.unwrap_or(0.0) * effect.mass;
        match self {
            Self::Weight => effect.mass - effect.carried,
            Self::ListMoment => axes.port.dot(&effect.moment),
            Self::TrimMoment => axes.forward.dot(&effect.moment),
            Self::Gm => effect.surfaces[0] + over - less(state.gm),
            Self::Bg => over - less(state.bg),
            Self::Across => effect.surfaces[0] + over - less(state.stiffness),
            Self::Along => effect.surfaces[1] + over - less(state.stiffness),
        }
    }
}
