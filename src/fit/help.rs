//! What to read next: the figure after which least would be uncertain.

use super::estimate::Unknown;
use super::problem::{Errors, Problem};
use super::untold::prior_of_the_untold;
use crate::boat::Mark;
use crate::reading::{ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, Reading, Seen};
use nalgebra::{Matrix4, Vector4};

/// The further observation that would narrow the answer most.
#[derive(Debug, Clone, PartialEq)]
pub struct Help {
    /// What to read; the value in it is what the model expects.
    pub seen: Seen,
    /// What would be left of the uncertainty, as a share of its variance now.
    pub left: f64,
}

/// Tries each figure that was not read and finds the one after which least would be uncertain.
pub(super) fn help(
    problem: &Problem<'_>,
    marks: &[Mark],
    covariance: &Matrix4<f64>,
    wide: Errors,
) -> Option<Help> {
    let state = problem.state.as_ref()?;
    let sensitivity = state.sensitivity.as_ref()?;
    let weight = prior_of_the_untold(problem.model, wide, &Unknown::ALL);
    let total = |c: &Matrix4<f64>| (0..3).map(|k| c[(k, k)] / (weight[k] * weight[k])).sum::<f64>();
    let before = total(covariance);
    candidates(problem.reading, marks)
        .into_iter()
        .map(|Observation { mut seen, spread }| {
            let slope = Vector4::from(seen.slopes(state.pose, sensitivity));
            let gain = covariance * slope;
            let noise = spread * spread + slope.dot(&gain);
            let left = total(&(covariance - gain * gain.transpose() / noise)) / before;
            let expected = seen.in_pose(state.pose, state.residual);
            match &mut seen {
                Seen::WaterAtMark { above: v, .. }
                | Seen::List(v)
                | Seen::Trim(v)
                | Seen::Residual(v) => *v = expected,
            }
            Help { seen, left }
        })
        .min_by(|a, b| a.left.total_cmp(&b.left))
}

fn candidates(reading: &Reading, marks: &[Mark]) -> Vec<Observation> {
    let seen = |wanted: fn(&Seen) -> bool| reading.observations.iter().any(|o| wanted(&o.seen));
    let mut all = Vec::new();
    if !seen(|s| matches!(s, Seen::List(_))) {
        all.push(Observation { seen: Seen::List(0.0), spread: ANGLE_SPREAD });
    }
    if !seen(|s| matches!(s, Seen::Trim(_))) {
        all.push(Observation { seen: Seen::Trim(0.0), spread: ANGLE_SPREAD });
    }
    if reading.condition == Condition::Afloat {
        let was_read = |mark: &Mark| {
            reading.observations.iter().any(
                |o| matches!(&o.seen, Seen::WaterAtMark { mark: read, .. } if read.name == mark.name),
            )
        };
        let unread = marks.iter().filter(|m| !was_read(m));
        all.extend(unread.map(|mark| Observation {
            seen: Seen::WaterAtMark { mark: mark.clone(), above: 0.0 },
            spread: MARK_SPREAD,
        }));
    } else if !seen(|s| matches!(s, Seen::Residual(_))) {
        let spread = crate::reading::RESIDUAL_SPREAD;
        all.push(Observation { seen: Seen::Residual(0.0), spread });
    }
    all
}
