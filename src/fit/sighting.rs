//! A sighting: one state of the boat with what was seen in it.

use super::estimate::Estimate;
use crate::boat::Mark;
use crate::float::{FloatModel, UncertainWeight};
use crate::frame::{Pose, up_from_angles};
use crate::reading::{Aboard, Condition, Reading, Seen};
use nalgebra::Vector3;

/// How full the tanks were, as a share of what they can take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FillRead {
    /// From 0 (blown) to 1 (full).
    pub share: f64,
    /// Its spread.
    pub spread: f64,
}

/// A reading in the water with the boat's state in it.
#[derive(Debug, Clone)]
pub struct WetSighting {
    /// The boat as described, its tanks filled as they were, without what lay aboard.
    pub model: FloatModel,
    /// What was seen.
    pub reading: Reading,
    /// How full all tanks were, where that is not exact.
    pub fill: Option<FillRead>,
}

/// The boat on the bench, dry, its tanks empty.
#[derive(Debug, Clone)]
pub struct DrySighting {
    /// The boat as described, without what lay on it.
    pub boat: UncertainWeight,
    /// What lay on it.
    pub aboard: Vec<Aboard>,
    /// What it weighed on the scales with that, kg.
    pub mass: Option<Estimate>,
    /// Where it balanced over an edge with that: x, metres.
    pub balance: Option<Estimate>,
}

/// One state of the boat with what was seen in it.
#[derive(Debug, Clone)]
pub enum Sighting {
    /// In the water.
    Wet(Box<WetSighting>),
    /// On the bench.
    Dry(DrySighting),
}

impl Sighting {
    /// A reading of a boat whose tanks were exactly as in `model`.
    pub fn wet(model: FloatModel, reading: Reading) -> Self {
        Self::Wet(Box::new(WetSighting { model, reading, fill: None }))
    }

    /// True for a boat that was wholly under.
    pub fn is_under(&self) -> bool {
        matches!(self, Self::Wet(wet) if wet.is_under())
    }

    /// True where something about the state is not exact, and moves figures together.
    pub(super) fn shares_noise(&self) -> bool {
        match self {
            Self::Wet(wet) => {
                let astray = wet.reading.aboard.iter().any(|a| a.off > 0.0);
                let fill = wet.fill.is_some_and(|fill| fill.spread > 0.0);
                astray || fill || wet.model.is_of_assumed_shape()
            }
            Self::Dry(_) => false,
        }
    }

    /// The same without one of its figures.
    #[must_use]
    pub fn without(&self, figure: usize) -> Self {
        let mut other = self.clone();
        match &mut other {
            Self::Wet(wet) if figure < wet.reading.observations.len() => {
                wet.reading.observations.remove(figure);
            }
            Self::Dry(dry) if figure == 0 && dry.mass.is_some() => dry.mass = None,
            Self::Dry(dry) => dry.balance = None,
            Self::Wet(_) => {}
        }
        other
    }

    /// Number of figures.
    pub fn n_figures(&self) -> usize {
        match self {
            Self::Wet(wet) => wet.reading.observations.len(),
            Self::Dry(dry) => dry.mass.iter().chain(&dry.balance).count(),
        }
    }
}

/// An angle that was seen, radians, with its spread; zero where none was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SeenAngle {
    pub(super) angle: f64,
    /// None where it was not seen.
    pub(super) spread: Option<f64>,
}

impl WetSighting {
    /// True for a boat that was wholly under.
    pub(super) fn is_under(&self) -> bool {
        self.reading.condition == Condition::Under
    }

    /// Heel and trim as they were seen: by an angle, or by the water at marks apart.
    pub(super) fn seen_angles(&self) -> [SeenAngle; 2] {
        let by_marks = |coordinate: fn(&Mark) -> f64| rise(&self.water_seen(), coordinate);
        let mut heel = by_marks(|mark| mark.at.y());
        // The water stands higher on the side that is down, and port is where y is positive.
        heel.angle = -heel.angle;
        let mut trim = by_marks(|mark| mark.at.x());
        for observation in &self.reading.observations {
            let seen = |angle: f64| SeenAngle { angle, spread: Some(observation.spread) };
            match observation.seen {
                Seen::List(angle) => heel = seen(angle),
                Seen::Trim(angle) => trim = seen(angle),
                Seen::WaterAtMark { .. } | Seen::Residual(_) => {}
            }
        }
        [heel, trim]
    }

    /// The water seen at marks: the mark, metres above it and their spread.
    fn water_seen(&self) -> Vec<(&Mark, f64, f64)> {
        let seen = self.reading.observations.iter().filter_map(|o| match &o.seen {
            Seen::WaterAtMark { mark, above } => Some((mark, *above, o.spread)),
            Seen::List(_) | Seen::Trim(_) | Seen::Residual(_) => None,
        });
        seen.collect()
    }

    /// The pose that the figures show, and the spread of its height; none of the latter where no water was
    /// seen: then the height is that of `boat`.
    pub(super) fn seen_pose(&self, boat: &FloatModel) -> (Pose, Option<f64>) {
        let [heel, trim] = self.seen_angles();
        let up = up_from_angles(heel.angle, trim.angle);
        let water = self.water_seen();
        if self.is_under() {
            return (Pose::new(0.0, up), None);
        }
        if water.is_empty() {
            return (crate::float::heave(boat, self.reading.water_density, up), None);
        }
        let n = water.len() as f64;
        let at = |mark: &Mark, above: f64| mark.at.vector() + Vector3::z() * above;
        let height: f64 = water.iter().map(|(mark, above, _)| -up.dot(&at(mark, *above))).sum();
        let spread = water.iter().map(|(.., s)| s * s).sum::<f64>().sqrt() / n;
        (Pose::new(height / n, up), Some(spread))
    }
}

/// The angle whose tangent is the rise of the water over a coordinate; nothing where the marks do not lie apart.
fn rise(water: &[(&Mark, f64, f64)], coordinate: fn(&Mark) -> f64) -> SeenAngle {
    let n = water.len() as f64;
    let height = |mark: &Mark, above: f64| mark.at.z() + above;
    let mean_at = water.iter().map(|(mark, ..)| coordinate(mark)).sum::<f64>() / n;
    let mean = water.iter().map(|(mark, above, _)| height(mark, *above)).sum::<f64>() / n;
    let span: f64 = water.iter().map(|(mark, ..)| (coordinate(mark) - mean_at).powi(2)).sum();
    // Also where there are no marks, and the span is no number.
    let tells = span > APART * APART;
    if !tells {
        return SeenAngle { angle: 0.0, spread: None };
    }
    let by = |(mark, above, _): &(&Mark, f64, f64)| {
        (coordinate(mark) - mean_at) * (height(mark, *above) - mean)
    };
    let slope = water.iter().map(by).sum::<f64>() / span;
    let widest = water.iter().map(|(.., spread)| *spread).fold(0.0, f64::max);
    SeenAngle { angle: slope.atan(), spread: Some(widest / span.sqrt()) }
}

/// Marks closer than this tell no angle, metres.
const APART: f64 = 1e-3;
