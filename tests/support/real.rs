//! A boat itself, which is not quite the one in its ledger: how it lies, what is read of it, and what is done
//! to it with solid pieces.

use nalgebra::Vector3;
use trimwright::ballast::Step;
use trimwright::boat::{Boat, Part};
use trimwright::float::{Basin, FloatModel, Tolerance, hang, release};
use trimwright::frame::{Pose, Position};
use trimwright::geometry::{Fineness, Solid};
use trimwright::reading::{
    ANGLE_SPREAD, Condition, MARK_SPREAD, Observation, RESIDUAL_SPREAD, Reading, Seen,
};

/// Fresh water of 20 °C, kg/m³. Source: Tanaka et al. 2001, Metrologia 38:301.
pub(crate) const POOL: f64 = 998.2067;

/// The boat itself: that of its ledger with the pieces that were put on, and what the ledger has wrong, as a
/// mass and its moment about the origin.
pub(crate) struct Real {
    pub(crate) boat: Boat,
    pub(crate) mass: f64,
    pub(crate) moment: Vector3<f64>,
}

impl Real {
    /// With its tanks so full.
    pub(crate) fn at(&self, share: f64) -> FloatModel {
        let boat = FloatModel::new(&self.boat, Fineness::WORK).expect("a boat");
        // The mass may be nothing, where all that was forgotten was taken off.
        let boat = boat.with_weight(self.mass, Position::ORIGIN).expect("still a boat");
        let boat = boat.with_moment(self.moment).expect("a moment");
        boat.flooded(share, POOL).expect("a share")
    }
}

/// How a boat lies, its tanks so full.
pub(crate) fn lies(real: &Real, share: f64, condition: Condition) -> Pose {
    let filled = real.at(share);
    match condition {
        Condition::Afloat => {
            release(&filled, Basin::deep(POOL), &Tolerance::FINE).expect("water").pose()
        }
        Condition::Under => hang(&filled, Basin::deep(POOL), &Tolerance::FINE).expect("water").pose,
    }
}

/// What is seen of it without an error, its tanks blown afloat and full under water.
pub(crate) fn read(real: &Real, condition: Condition) -> Reading {
    let share = if condition == Condition::Under { 1.0 } else { 0.0 };
    let pose = lies(real, share, condition);
    let residual = real.at(share).residual_mass(POOL);
    let marks = || {
        let marks = real.boat.marks.iter();
        marks.map(|m| (Seen::WaterAtMark { mark: m.clone(), above: 0.0 }, MARK_SPREAD)).collect()
    };
    let mut seen: Vec<(Seen, f64)> = match condition {
        Condition::Afloat => marks(),
        Condition::Under => {
            vec![(Seen::Residual(0.0), RESIDUAL_SPREAD), (Seen::Trim(0.0), ANGLE_SPREAD)]
        }
    };
    seen.push((Seen::List(0.0), ANGLE_SPREAD));
    let observation = |(seen, spread): (Seen, f64)| {
        let value = seen.in_pose(pose, residual);
        let seen = match seen {
            Seen::WaterAtMark { mark, .. } => Seen::WaterAtMark { mark, above: value },
            Seen::List(_) => Seen::List(value),
            Seen::Trim(_) => Seen::Trim(value),
            Seen::Residual(_) => Seen::Residual(value),
        };
        Observation { seen, spread }
    };
    let observations = seen.into_iter().map(observation).collect();
    Reading {
        condition,
        water_density: POOL,
        aboard: Vec::new(),
        observations,
        ..Reading::default()
    }
}

/// Does a step to the real boat: with a cube where water comes to it, which only "inside" keeps out.
pub(crate) fn execute(real: &mut Real, step: &Step, density: f64) {
    match step {
        Step::Add(w) => {
            let side = (w.mass.value / density).cbrt();
            let cube = Solid::Box { size: [side; 3], centre: w.at() };
            let solid = (w.place.name != "inside").then_some(cube);
            let part = Part::weight("weight", w.mass.value, w.at());
            real.boat.parts.push(Part { solid, ..part });
        }
        // It was aboard: what the ledger has wrong becomes so much less.
        Step::TakeOff(w) => {
            let mass = w.mass.value * w.counts;
            real.mass -= mass;
            real.moment -= w.at().vector() * mass;
        }
        Step::Shift { mass, forward, to_port } => {
            real.moment += Vector3::new(forward.value, to_port.value, 0.0) * *mass;
        }
    }
}
