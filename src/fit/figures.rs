//! What a boat with some errors shows in a state, set against what was seen.

use super::estimate::Estimate;
use super::known::Errors;
use super::sighting::{DrySighting, Sighting, WetSighting};
use crate::boat::QuickBoat;
use crate::float::{
    Basin, BoatErrors, FloatModel, N_ERRORS, Push, Sensitivity, Tolerance, at_rest, push_of_fill,
};
use crate::frame::Pose;
use crate::reading::Aboard;
use nalgebra::{DMatrix, DVector, Unit, Vector3};
use std::f64::consts::{PI, TAU};

/// Equilibria of the fit: a thousandth of the smallest spread, and quicker than the finest.
const TOLERANCE: Tolerance = Tolerance { force: 1e-9, lever: 1e-9, ..Tolerance::FINE };
/// Share of the volume that stays above water however heavy the boat is tried.
const LEAST_RESERVE: f64 = 1e-4;
/// A turn beyond which the first order says little, radians.
const FAR_TURN: f64 = 0.2;
/// Heel from which a boat may have more than one attitude, so that it is let go where it was seen, radians.
const LEANS: f64 = 0.05;

/// A boat at rest.
#[derive(Debug, Clone)]
pub(super) struct BoatAtRest {
    errors: Errors,
    pub(super) pose: Pose,
    pub(super) residual: f64,
    pub(super) sensitivity: Sensitivity,
}

/// The figures of one state.
#[derive(Debug, Clone)]
pub(super) struct StateFigures {
    /// Each as it is with these errors, less what was seen.
    pub(super) off: DVector<f64>,
    /// Its slopes by the errors: a row each.
    pub(super) slopes: DMatrix<f64>,
    /// How the boat lay; none on the bench.
    pub(super) at_rest: Option<BoatAtRest>,
}

impl Sighting {
    /// The figures with some errors; `before` are those of a boat nearly the same. None where the boat cannot be
    /// so, or is indifferent.
    pub(super) fn figures(
        &self,
        errors: &Errors,
        before: Option<&StateFigures>,
    ) -> Option<StateFigures> {
        match self {
            Self::Wet(wet) => wet.figures(errors, before),
            Self::Dry(dry) => Some(dry.figures_at(errors)),
        }
    }

    /// The covariance of the figures: their own spreads, and what the tanks and what lay aboard leave open, which
    /// they share.
    pub(super) fn noise(&self, figures: &StateFigures) -> DMatrix<f64> {
        match (self, &figures.at_rest) {
            (Self::Wet(wet), Some(at_rest)) => wet.noise(at_rest),
            (Self::Wet(wet), None) => wet.own_noise(),
            (Self::Dry(dry), _) => dry.noise(),
        }
    }
}

/// What a boat is changed to; none where it cannot be so.
pub(super) type Changing<'a> = &'a dyn Fn(FloatModel) -> Option<FloatModel>;

impl WetSighting {
    fn figures(&self, errors: &Errors, before: Option<&StateFigures>) -> Option<StateFigures> {
        self.figures_of(errors, before.and_then(|b| b.at_rest.as_ref()), &Some)
    }

    /// The same of a boat that has changed since it was described.
    pub(super) fn figures_of(
        &self,
        errors: &Errors,
        before: Option<&BoatAtRest>,
        changed: Changing<'_>,
    ) -> Option<StateFigures> {
        let at_rest = self.at_rest(errors, before, changed)?;
        let seen = &self.reading.observations;
        let changes = at_rest.sensitivity.changes();
        let off = seen.iter().map(|o| {
            let shown = o.seen.in_pose(at_rest.pose, at_rest.residual);
            turned(shown - o.seen.value(), o.seen.is_angle())
        });
        let off = DVector::from_iterator(seen.len(), off);
        let slope = |row: usize, k: usize| {
            seen.get(row).map_or(0.0, |o| o.seen.change(at_rest.pose, &changes[k]))
        };
        let slopes = DMatrix::from_fn(seen.len(), changes.len(), slope);
        Some(StateFigures { off, slopes, at_rest: Some(at_rest) })
    }

    fn at_rest(
        &self,
        errors: &Errors,
        before: Option<&BoatAtRest>,
        changed: Changing<'_>,
    ) -> Option<BoatAtRest> {
        let Self { model, reading, .. } = self;
        let (density, is_under) = (reading.water_density, self.is_under());
        let basin = Basin::deep(density);
        let aboard: f64 = reading.aboard.iter().map(|a| a.mass).sum();
        let mut tried = BoatErrors::from(*errors);
        if !is_under {
            let carried = density * model.total_volume() * (1.0 + tried.displaces);
            tried.mass = tried.mass.min(carried * (1.0 - LEAST_RESERVE) - model.mass() - aboard);
        }
        let boat = changed(model.with_errors(&tried).ok()?)?;
        let laden = self.laden(boat.clone())?;
        let start = if is_under {
            Pose::upright(0.0)
        } else {
            before
                .filter(|b| b.pose.heel().abs() < LEANS)
                .map_or_else(|| self.seen_pose(&laden).0, |b| b.towards(errors))
        };
        let (pose, sensitivity) = at_rest(&laden, basin, start, is_under, boat.bare(), &TOLERANCE)?;
        let residual = laden.residual_mass(density);
        Some(BoatAtRest { errors: *errors, pose, residual, sensitivity })
    }

    /// A boat with what lay aboard.
    pub(super) fn laden(&self, boat: FloatModel) -> Option<FloatModel> {
        self.reading.aboard.iter().try_fold(boat, |boat, a| a.on(&boat).ok())
    }

    fn own_noise(&self) -> DMatrix<f64> {
        let variances = self.reading.observations.iter().map(|o| o.spread * o.spread);
        let n = self.reading.observations.len();
        DMatrix::from_diagonal(&DVector::from_iterator(n, variances))
    }

    pub(super) fn noise(&self, at_rest: &BoatAtRest) -> DMatrix<f64> {
        let mut noise = self.own_noise();
        for push in self.pushes(at_rest.pose) {
            let by = self.moves(at_rest, &push);
            noise += &by * by.transpose();
        }
        noise
    }

    /// How the figures change by a push.
    pub(super) fn moves(&self, at_rest: &BoatAtRest, push: &Push) -> DVector<f64> {
        let change = at_rest.sensitivity.by(push);
        let seen = &self.reading.observations;
        let by = seen.iter().map(|o| o.seen.change(at_rest.pose, &change));
        DVector::from_iterator(seen.len(), by)
    }

    /// What one standard deviation of each thing that is not exact about the state does to the boat.
    fn pushes(&self, pose: Pose) -> Vec<Push> {
        let density = self.reading.water_density;
        let astray = self.reading.aboard.iter().filter(|a| a.off > 0.0).flat_map(|a: &Aboard| {
            [Vector3::x(), Vector3::y()].map(|by| Push { mass: 0.0, moment: by * (a.mass * a.off) })
        });
        let mut pushes: Vec<Push> = astray.collect();
        // Beyond what was told of it, each state of such a boat is of a shape that is open besides the one share.
        if self.model.is_of_assumed_shape() && !self.is_under() {
            let more = self.model.described_wet(pose) * density;
            let own = more.first_moment * QuickBoat::STATE_SPREAD;
            let off = QuickBoat::FLOTATION_SPREAD * self.model.bounds().size().x * more.volume;
            let sinks = QuickBoat::STATE_SPREAD * more.volume;
            pushes.extend([
                Push { mass: sinks, moment: Vector3::z() * own.z },
                Push { mass: 0.0, moment: Vector3::x() * own.x },
                Push { mass: 0.0, moment: Vector3::y() * own.y },
                Push { mass: 0.0, moment: Vector3::x() * off },
            ]);
        }
        if let Some(fill) = self.fill.filter(|fill| fill.spread > 0.0) {
            let ends = [fill.share - fill.spread, fill.share + fill.spread];
            let ends = ends.map(|share| share.clamp(0.0, 1.0));
            let between = push_of_fill(&self.model, density, pose, ends);
            let spreads = (ends[1] - ends[0]) / fill.spread;
            if let Ok(push) = between
                && spreads > 0.0
            {
                let (mass, moment) = (push.mass / spreads, push.moment / spreads);
                pushes.push(Push { mass, moment });
            }
        }
        pushes
    }
}

impl DrySighting {
    pub(super) fn figures_at(&self, errors: &Errors) -> StateFigures {
        let tried = BoatErrors::from(*errors);
        let (mass, centre) = (self.boat.mass + tried.mass, self.boat.centre + tried.centre);
        let aboard: f64 = self.aboard.iter().map(|a| a.mass).sum();
        let turning: f64 = self.aboard.iter().map(|a| a.mass * a.at.x()).sum();
        let all = mass + aboard;
        let balances = (mass * centre.x + turning) / all;
        let shown = [
            (self.mass, all, [1.0, 0.0]),
            (self.balance, balances, [(centre.x - balances) / all, mass / all]),
        ];
        let seen = shown.into_iter().filter_map(|(seen, shown, by)| Some((seen?, shown, by)));
        let seen: Vec<_> = seen.collect();
        let off = seen.iter().map(|(seen, shown, _)| shown - seen.value);
        let slope = |row: usize, k: usize| {
            let by = seen.get(row).and_then(|(.., by)| by.get(k));
            by.copied().unwrap_or(0.0)
        };
        StateFigures {
            off: DVector::from_iterator(seen.len(), off),
            slopes: DMatrix::from_fn(seen.len(), N_ERRORS, slope),
            at_rest: None,
        }
    }

    fn noise(&self) -> DMatrix<f64> {
        let variance = |seen: &Estimate| seen.spread * seen.spread;
        let variances = self.mass.iter().chain(&self.balance).map(variance);
        DMatrix::from_diagonal(&DVector::from_vec(variances.collect()))
    }
}

impl BoatAtRest {
    /// Where the boat will lie with other errors, to the first order: a start close to the end.
    fn towards(&self, errors: &Errors) -> Pose {
        let by = errors - self.errors;
        let (mut height, mut up) = (self.pose.height(), self.pose.up().into_inner());
        for (change, by) in self.sensitivity.changes().iter().zip(by.iter()) {
            height += change.rise * by;
            up += change.up * *by;
        }
        let turn = (up - self.pose.up().into_inner()).norm();
        // A long step of a stiff problem has no reliable direction.
        if turn < FAR_TURN { Pose::new(height, Unit::new_normalize(up)) } else { self.pose }
    }
}

/// A difference of angles the short way round.
fn turned(off: f64, is_angle: bool) -> f64 {
    if is_angle && off.abs() > PI { off - TAU.copysign(off) } else { off }
}
