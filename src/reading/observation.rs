//! One figure that was read, what the model says of it, and how that answers to errors.

use super::condition::Condition;
use crate::boat::Mark;
use crate::float::{N_ERRORS, PoseChange, Sensitivity};
use crate::frame::Pose;
use nalgebra::Vector3;
use std::f64::consts::FRAC_PI_2;

/// Why a reading cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadingError {
    /// No figure was given.
    #[error("nothing read yet: give the water at one mark, or the list")]
    Nothing,
    /// A spread is zero, negative or not a number.
    #[error("the \u{b1} of {0} must be more than zero")]
    Spread(f64),
    /// A figure is not a number or out of all reason.
    #[error("{0} is not a possible reading")]
    Value(f64),
    /// Water at a mark was read under water, or a residual weight at the surface.
    #[error("this figure is not for a boat {}", match .0 {
        Condition::Afloat => "afloat",
        Condition::Under => "under water",
    })]
    WrongCondition(Condition),
}

/// What was seen.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// The water at a mark, metres above it along the body's own vertical; negative below.
    WaterAtMark {
        /// The mark.
        mark: Mark,
        /// Metres above it.
        above: f64,
    },
    /// Heel, radians; positive with the starboard side down.
    List(f64),
    /// Trim, radians; positive bow down.
    Trim(f64),
    /// Mass beyond what the water carries, wholly under, kg; positive is heavy.
    Residual(f64),
}

/// One figure with its spread (one standard deviation), in the figure's own unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// What was seen.
    pub seen: Seen,
    /// Its spread.
    pub spread: f64,
}

impl Seen {
    /// The figure itself.
    pub fn value(&self) -> f64 {
        match self {
            Self::WaterAtMark { above: v, .. }
            | Self::List(v)
            | Self::Trim(v)
            | Self::Residual(v) => *v,
        }
    }

    /// The same figure with another value.
    #[must_use]
    pub fn with_value(mut self, value: f64) -> Self {
        match &mut self {
            Self::WaterAtMark { above: v, .. }
            | Self::List(v)
            | Self::Trim(v)
            | Self::Residual(v) => *v = value,
        }
        self
    }

    /// True for list and trim.
    pub fn is_angle(&self) -> bool {
        matches!(self, Self::List(_) | Self::Trim(_))
    }

    /// What the figure would be in a pose, with a residual mass (kg).
    pub fn in_pose(&self, pose: Pose, residual: f64) -> f64 {
        match self {
            Self::WaterAtMark { mark, .. } => {
                pose.water_height_at(mark.at.x(), mark.at.y()) - mark.at.z()
            }
            Self::List(_) => pose.heel(),
            Self::Trim(_) => pose.trim(),
            Self::Residual(_) => residual,
        }
    }

    /// How the figure changes with the pose.
    pub fn change(&self, pose: Pose, by: &PoseChange) -> f64 {
        let (up, turn) = (pose.up(), by.up);
        match self {
            Self::WaterAtMark { mark, .. } => {
                let (x, y) = (mark.at.x(), mark.at.y());
                let water = Vector3::new(x, y, pose.water_height_at(x, y));
                -(by.rise + turn.dot(&water)) / up.z
            }
            Self::List(_) => (up.z * turn.y - up.y * turn.z) / (up.y * up.y + up.z * up.z),
            Self::Trim(_) => -turn.x / (1.0 - up.x * up.x).max(1e-12).sqrt(),
            Self::Residual(_) => by.residual,
        }
    }

    /// Derivatives of [`Seen::in_pose`] by the errors of the boat, in the order of
    /// [`crate::float::BoatErrors`].
    pub fn slopes(&self, pose: Pose, sensitivity: &Sensitivity) -> [f64; N_ERRORS] {
        sensitivity.changes().map(|by| self.change(pose, &by))
    }
}

impl Observation {
    pub(super) fn check(&self, condition: Condition) -> Result<(), ReadingError> {
        if !(self.spread > 0.0 && self.spread.is_finite()) {
            return Err(ReadingError::Spread(self.spread));
        }
        let value = self.seen.value();
        let (fits, most) = match self.seen {
            Seen::WaterAtMark { .. } => (condition == Condition::Afloat, 10.0),
            Seen::Residual(_) => (condition == Condition::Under, 1000.0),
            Seen::List(_) | Seen::Trim(_) => (true, FRAC_PI_2),
        };
        if !fits {
            return Err(ReadingError::WrongCondition(condition));
        }
        if value.abs() <= most { Ok(()) } else { Err(ReadingError::Value(value)) }
    }
}
