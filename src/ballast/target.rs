//! Where the boat should lie: at its marks, or level under water with its tanks as the aim has them.

use super::aim::UnderAim;
use crate::boat::Mark;
use crate::frame::Pose;
use nalgebra::{Unit, Vector3};

/// How the boat should lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// Upright at the surface, with the water at the marks.
    AtTheMarks(Pose),
    /// Level and upright under water, as light or heavy as this says.
    Under(UnderAim),
}

impl Target {
    /// The upright pose that has the water nearest to all marks (least squares). Marks at one
    /// place along the boat ask for a level keel. None without marks.
    pub fn at_the_marks(marks: &[Mark]) -> Option<Self> {
        if marks.is_empty() {
            return None;
        }
        let n = marks.len() as f64;
        let mean = |value: fn(&Mark) -> f64| marks.iter().map(value).sum::<f64>() / n;
        let (x, z) = (mean(|m| m.at.x()), mean(|m| m.at.z()));
        let span: f64 = marks.iter().map(|m| (m.at.x() - x).powi(2)).sum();
        let rise: f64 = marks.iter().map(|m| (m.at.x() - x) * (m.at.z() - z)).sum();
        let slope = if span > 1e-9 { rise / span } else { 0.0 };
        let up = Unit::new_normalize(Vector3::new(-slope, 0.0, 1.0));
        Some(Self::AtTheMarks(Pose::new(-up.dot(&Vector3::new(x, 0.0, z)), up)))
    }

    /// The pose, if the boat should float.
    pub fn pose(&self) -> Option<Pose> {
        match self {
            Self::AtTheMarks(pose) => Some(*pose),
            Self::Under(_) => None,
        }
    }
}
