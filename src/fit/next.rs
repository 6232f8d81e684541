//! What to read next: the figure after which the advice would be least uncertain.

use super::figures::BoatAtRest;
use super::help::Help;
use super::known::{Covariance, KnownErrors};
use crate::boat::Mark;
use crate::reading::{
    ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};

/// The figure not yet read of this state, of those that could be (`marks` are the boat's), after which least would
/// be uncertain: of mass, and of the centre of gravity along and across, each against what was known `before`.
pub(super) fn help(
    reading: &Reading,
    (known, at_rest): (&KnownErrors, &BoatAtRest),
    before: &KnownErrors,
    marks: &[Mark],
) -> Option<Help> {
    let weight = before.covariance.diagonal();
    let total = |c: &Covariance| (0..3).map(|k| c[(k, k)] / weight[k]).sum::<f64>();
    let now = total(&known.covariance);
    let tried = candidates(reading, marks).into_iter().map(|observation| {
        let Observation { seen, spread } = observation;
        let slope = super::known::Errors::from(seen.slopes(at_rest.pose, &at_rest.sensitivity));
        let gain = known.covariance * slope;
        let noise = spread * spread + slope.dot(&gain);
        let left = total(&(known.covariance - gain * gain.transpose() / noise)) / now;
        let expected = seen.in_pose(at_rest.pose, at_rest.residual);
        Help { seen: seen.with_value(expected), left }
    });
    tried.min_by(|a, b| a.left.total_cmp(&b.left))
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
        all.push(Observation { seen: Seen::Residual(0.0), spread: RESIDUAL_SPREAD });
    }
    all
}
