//! A sweep of the way down or up: its rows, and the sudden changes on it.

use super::outcome::Outcome;
use super::stability::Stiffness;
use crate::frame::Pose;

/// The boat at one moment of the way.
#[derive(Debug, Clone, PartialEq)]
pub struct SweepRow {
    /// Share of what the tanks can take that they hold, 0 to 1.
    pub fill: f64,
    /// Seconds since the start.
    pub time: f64,
    /// Share of each tank's capacity that is liquid, in the order of the tanks.
    pub fills: Vec<f64>,
    /// What lies below the level inside each space that drains slowly, m³; on the way down none.
    pub trapped: Vec<f64>,
    /// How the boat lies then.
    pub outcome: Outcome,
    /// Mass beyond what the water carries, kg; negative while it floats.
    pub residual: f64,
    /// Metacentric heights with the heel held at zero.
    pub upright: Stiffness,
    /// Height and trim with the heel held at zero.
    pub upright_pose: Pose,
    /// How far the centre of gravity lies to port of that of buoyancy with the heel held at zero,
    /// metres.
    pub offset: f64,
    /// The angle of loll, radians: how far it would lean with no weight off centre. None where it
    /// would stand upright.
    pub loll: Option<f64>,
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

/// A kind of sudden change on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Happening {
    /// It turns over: keel up.
    Capsizes,
    /// It heels suddenly.
    Heels,
    /// It trims suddenly.
    Trims,
}

/// A sudden change of attitude.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Event {
    /// What happens.
    pub what: Happening,
    /// The fill at which it happens, 0 to 1.
    pub fill: f64,
    /// How it lay before.
    pub from: Pose,
    /// How it lies after.
    pub to: Pose,
}

/// A boat on its way.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sweep {
    /// From the start to the end.
    pub rows: Vec<SweepRow>,
    /// What happened, in the same order.
    pub events: Vec<Event>,
}

impl Sweep {
    /// The row with the least value of `key`.
    pub fn row_of_least(&self, key: impl Fn(&SweepRow) -> f64) -> Option<&SweepRow> {
        self.rows.iter().min_by(|a, b| key(a).total_cmp(&key(b)))
    }

    /// The row that is nearest to a fill.
    pub fn row_nearest(&self, fill: f64) -> Option<&SweepRow> {
        self.row_of_least(|row| (row.fill - fill).abs())
    }
}
