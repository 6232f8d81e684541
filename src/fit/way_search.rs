//! The search for the errors with which a boat leans on its way as it was seen.
//!
//! Unknowns: offset to port and height, each over its spread before anything was seen. Whatever
//! was tried before, each boat is let go from the heel that was seen, so that of two attitudes the
//! one on that side is found and the sum of squares is a function of the unknowns alone.

use super::sighting::{Lever, PreparedSighting};
use crate::float::{Basin, FloatModel, Tolerance, UncertainWeight, sensitivity, settle_from};
use crate::frame::Pose;
use crate::pause::{Pause, pause};
use crate::reading::Seen;
use nalgebra::{Matrix2, Vector2, Vector3};
use std::f64::consts::{PI, TAU};

/// Heights to start from, in spreads: near a loll the way down the sum of squares can end early.
const START_HEIGHTS: [f64; 7] = [0.0, -1.0, 1.0, -2.0, 2.0, -4.0, 4.0];
/// How often the spreads are made again.
const PASSES: u32 = 3;
/// Sightings of which it is tried whether the others agree without them.
const MOST_SUSPECTS: usize = 6;
/// Boats that one descent may try.
const MOST_STEPS: u32 = 80;
/// Step at which a descent is at its end, in spreads: far below anything that matters.
const LEAST_STEP: f64 = 1e-9;
/// Least share of a sighting that counts as not drawn to itself.
const LEAST_FREE: f64 = 1e-6;
/// Share of the rise expected at the edge of a spread below which that is too narrow.
const TOO_FLAT: f64 = 0.5;
/// By how much a spread that is too narrow is widened at a time, and how often at the most.
const WIDER: f64 = 1.5;
const MOST_WIDER: u32 = 60;

/// A boat that was tried.
#[derive(Debug, Clone)]
pub(super) struct TriedBoat {
    /// Offset and height, in their spreads.
    pub(super) unknowns: Vector2<f64>,
    /// How it lies at each sighting's fill.
    pub(super) poses: Vec<Pose>,
    /// Heel less heel seen, over its spread.
    pub(super) misfits: Vec<f64>,
    /// Derivatives of the misfits by the unknowns.
    slopes: Vec<Vector2<f64>>,
    /// Sum of squares of misfits and unknowns.
    objective: f64,
}

pub(super) struct Search<'a> {
    pub(super) sightings: Vec<PreparedSighting>,
    pub(super) basin: Basin,
    /// Mass of the boat whose centre of gravity is looked for, kg.
    pub(super) blown_mass: f64,
    /// Spreads of offset and height before anything was seen, metres.
    pub(super) before: Vector2<f64>,
    /// A sighting left out.
    pub(super) left_out: Option<usize>,
    /// Limit of the search for the centre of gravity, metres.
    pub(super) farthest: f64,
    /// Asked before each boat that is tried.
    pub(super) due: Pause<'a>,
}

impl Search<'_> {
    /// The moment of the errors at any fill, kg·m.
    pub(super) fn moment(&self, unknowns: Vector2<f64>) -> Vector3<f64> {
        let errors = unknowns.component_mul(&self.before) * self.blown_mass;
        Vector3::new(0.0, errors.x, errors.y)
    }

    /// As [`Self::evaluate`], after a pause if one is due.
    async fn tried(&self, unknowns: Vector2<f64>) -> Option<TriedBoat> {
        pause(self.due).await;
        self.evaluate(unknowns)
    }

    /// The boat with these errors at every sighting's fill; none where it cannot be.
    fn evaluate(&self, unknowns: Vector2<f64>) -> Option<TriedBoat> {
        // Also false when it is not a number.
        let near = unknowns.component_mul(&self.before).norm() < self.farthest;
        if !near {
            return None;
        }
        let moment = self.moment(unknowns);
        let n_seen = self.sightings.len();
        let mut found = TriedBoat {
            unknowns,
            poses: Vec::with_capacity(n_seen),
            misfits: Vec::with_capacity(n_seen),
            slopes: Vec::with_capacity(n_seen),
            objective: unknowns.norm_squared(),
        };
        for (which, sighting) in self.sightings.iter().enumerate() {
            let counts = if self.left_out == Some(which) { 0.0 } else { 1.0 };
            let boat = sighting.model.with_moment(moment).ok()?;
            let (pose, slope) = self.at_rest(&boat, sighting.start)?;
            let misfit = counts * turn_between(sighting.seen.heel, pose.heel()) / sighting.spread;
            found.objective += misfit * misfit;
            found.poses.push(pose);
            found.misfits.push(misfit);
            found.slopes.push(slope * counts / sighting.spread);
        }
        found.objective.is_finite().then_some(found)
    }

    /// How a boat lies when let go in a pose, and how its heel answers to the unknowns.
    fn at_rest(&self, boat: &FloatModel, start: Pose) -> Option<(Pose, Vector2<f64>)> {
        let outcome = settle_from(boat, self.basin, start, &Tolerance::FINE).ok()?;
        let (pose, under) = (outcome.pose(), outcome.submerged().is_some());
        let uncertain = UncertainWeight { mass: self.blown_mass, centre: Vector3::zeros() };
        // A boat indifferent in heel tells nothing of its centre of gravity.
        let slope = sensitivity(boat, self.basin, pose, under, uncertain).map_or_else(
            Vector2::zeros,
            |sensitivity| {
                let [_, _, by_offset, by_height] = Seen::List(0.0).slopes(pose, &sensitivity);
                Vector2::new(by_offset, by_height).component_mul(&self.before)
            },
        );
        slope.iter().all(|s| s.is_finite()).then_some((pose, slope))
    }

    /// The best boat. The spreads of the heels are made again from the boat found with the last
    /// ones, since how much a fill matters depends on the boat.
    pub(super) async fn solve(&mut self) -> Option<TriedBoat> {
        for sighting in &mut self.sightings {
            sighting.spread = sighting.seen.heel_spread;
        }
        let mut found = self.best_from_all_starts().await?;
        for _ in 1..PASSES {
            self.spread_by_fill(&found).await;
            found = self.descend(self.tried(found.unknowns).await?).await;
        }
        Some(found)
    }

    /// The sighting without which the others agree best, of those that are odd at first sight, and
    /// how far it is, in its spread, from what they say. The misfits alone would often blame
    /// another: a wrong sighting draws the answer to itself.
    pub(super) async fn culprit(&mut self, found: &TriedBoat) -> Option<(usize, f64)> {
        let mut best: Option<(f64, usize, f64)> = None;
        for which in found.oddest().into_iter().take(MOST_SUSPECTS) {
            self.left_out = Some(which);
            let Some(without) = self.solve().await else { continue };
            let (Some(sighting), Some(pose)) =
                (self.sightings.get(which), without.poses.get(which))
            else {
                continue;
            };
            let off = turn_between(sighting.seen.heel, pose.heel()).abs() / sighting.spread;
            if best.is_none_or(|(least, ..)| without.objective < least) {
                best = Some((without.objective, which, off));
            }
        }
        self.left_out = None;
        best.map(|(_, which, off)| (which, off))
    }

    /// The best boat with these spreads, from the best of several starts.
    async fn best_from_all_starts(&self) -> Option<TriedBoat> {
        let mut starts = vec![Vector2::zeros()];
        starts.extend(self.balanced());
        for height in START_HEIGHTS {
            starts.push(Vector2::new(0.0, height));
            starts.push(Vector2::new(self.balanced_at(height), height));
        }
        let mut tried = Vec::with_capacity(starts.len());
        for unknowns in starts {
            tried.extend(self.tried(unknowns).await);
        }
        let best = tried.into_iter().min_by(|a, b| a.objective.total_cmp(&b.objective))?;
        Some(self.descend(best).await)
    }

    /// The lever's slopes by the unknowns and its value, each over its spread.
    fn levers(&self) -> impl Iterator<Item = (Vector2<f64>, f64)> {
        let counted = self.sightings.iter().enumerate().filter(|(k, _)| self.left_out != Some(*k));
        counted.map(|(_, sighting)| {
            let Lever { at, slope, spread } = sighting.lever;
            (slope.component_mul(&self.before) / spread, at / spread)
        })
    }

    /// The errors with which the boat is best in balance at the heels seen, stable or not. This is
    /// linear, so it is a start that no bend in the way leads astray.
    fn balanced(&self) -> Option<Vector2<f64>> {
        let (mut normal, mut right) = (Matrix2::identity(), Vector2::zeros());
        for (slope, at) in self.levers() {
            normal += slope * slope.transpose();
            right -= slope * at;
        }
        Some(normal.try_inverse()? * right)
    }

    /// The same with the height given: the offset.
    fn balanced_at(&self, height: f64) -> f64 {
        let (mut normal, mut right) = (1.0, 0.0);
        for (slope, at) in self.levers() {
            normal += slope.x * slope.x;
            right -= slope.x * (at + slope.y * height);
        }
        right / normal
    }

    /// Levenberg–Marquardt from a start, with the exact Jacobian; each step lowers the sum of
    /// squares. Where the heel has a bend the steps only become shorter.
    async fn descend(&self, start: TriedBoat) -> TriedBoat {
        let mut found = start;
        let mut damping = 1e-3;
        for _ in 0..MOST_STEPS {
            let step = found.step(damping);
            if step.is_some_and(|step| step.norm() < LEAST_STEP) {
                break;
            }
            let next = match step {
                Some(step) => self.tried(found.unknowns + step).await,
                None => None,
            };
            match next {
                Some(next) if next.objective < found.objective => {
                    found = next;
                    damping = (damping / 5.0).max(1e-6);
                }
                _ => damping *= 8.0,
            }
        }
        found
    }

    /// Gives each heel the spread that it has with that of its fill, for a boat like this.
    async fn spread_by_fill(&mut self, found: &TriedBoat) {
        let moment = self.moment(found.unknowns);
        let heel_at = |boat: &FloatModel, pose: Pose| {
            let boat = boat.with_moment(moment).ok()?;
            let outcome = settle_from(&boat, self.basin, pose, &Tolerance::FINE).ok()?;
            Some(outcome.pose().heel())
        };
        let by_fill = |sighting: &PreparedSighting, pose: Pose| {
            let [(less, emptier), (more, fuller)] = &sighting.ends;
            let apart = more - less;
            if apart <= 0.0 {
                return 0.0;
            }
            match (heel_at(emptier, pose), heel_at(fuller, pose)) {
                (Some(a), Some(b)) => turn_between(a, b) / apart * sighting.seen.fill_spread,
                _ => 0.0,
            }
        };
        let mut spreads = Vec::with_capacity(self.sightings.len());
        for (sighting, &pose) in self.sightings.iter().zip(&found.poses) {
            pause(self.due).await;
            spreads.push(sighting.seen.heel_spread.hypot(by_fill(sighting, pose)));
        }
        for (sighting, spread) in self.sightings.iter_mut().zip(spreads) {
            sighting.spread = spread;
        }
    }

    /// Covariance of offset and height, m²: first order, and along each of its axes at least as
    /// wide, to either side, as one must go for the sum of squares to rise by one. At the edge of
    /// a loll the first order alone would be too sure.
    pub(super) async fn covariance(&self, found: &TriedBoat) -> Option<Matrix2<f64>> {
        let information = found.information();
        if !information.iter().all(|i| i.is_finite()) {
            return None;
        }
        let eigen = information.symmetric_eigen();
        let mut covariance = Matrix2::zeros();
        for (value, axis) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
            // The prior's share is one; rounding beside a very steep slope can lose it.
            let spread = 1.0 / value.max(1.0).sqrt();
            let mut wide: f64 = 1.0;
            for edge in [axis * spread, -axis * spread] {
                wide = wide.max(self.widened(found, edge).await);
            }
            covariance += axis * axis.transpose() * (wide * spread).powi(2);
        }
        let unit = Matrix2::from_diagonal(&self.before);
        let covariance = unit * covariance * unit;
        covariance.iter().all(|c| c.is_finite()).then_some(covariance)
    }

    /// How many times as far one must go for the sum of squares to rise by one.
    async fn widened(&self, found: &TriedBoat, edge: Vector2<f64>) -> f64 {
        let rise = async |times: f64| {
            let there = self.tried(found.unknowns + edge * times).await;
            there.map_or(f64::INFINITY, |there| there.objective - found.objective)
        };
        let mut times = 1.0;
        if rise(times).await > TOO_FLAT {
            return times;
        }
        for _ in 0..MOST_WIDER {
            times *= WIDER;
            if rise(times).await > 1.0 {
                break;
            }
        }
        times
    }
}

impl TriedBoat {
    /// `JᵀJ` with the prior's share.
    fn information(&self) -> Matrix2<f64> {
        self.slopes.iter().fold(Matrix2::identity(), |sum, slope| sum + slope * slope.transpose())
    }

    /// The sightings, those first that the others disagree with most, first order: by the misfit
    /// over what of it is free, `r / √(1 − h)` with h the sighting's leverage.
    fn oddest(&self) -> Vec<usize> {
        let covariance = self.information().try_inverse().unwrap_or_else(Matrix2::zeros);
        let odd = self.slopes.iter().zip(&self.misfits).map(|(slope, misfit)| {
            let free = 1.0 - slope.dot(&(covariance * slope));
            misfit * misfit / free.max(LEAST_FREE)
        });
        let mut odd: Vec<(usize, f64)> = odd.enumerate().collect();
        odd.sort_by(|a, b| b.1.total_cmp(&a.1));
        odd.into_iter().map(|(which, _)| which).collect()
    }

    /// The damped step towards the least sum of squares. The damping is in spreads: one sharp
    /// sighting leaves a narrow valley, along which the step must stay long.
    fn step(&self, damping: f64) -> Option<Vector2<f64>> {
        let information = self.information();
        let damped = information + Matrix2::identity() * damping;
        let slopes = self.slopes.iter().zip(&self.misfits);
        let gradient = slopes.fold(self.unknowns, |sum, (slope, misfit)| sum + slope * *misfit);
        let step = -(damped.try_inverse()? * gradient);
        step.iter().all(|s| s.is_finite()).then_some(step)
    }
}

/// The turn from one heel to another the short way, radians.
fn turn_between(from: f64, to: f64) -> f64 {
    let turn = to - from;
    if turn.abs() > PI { turn - TAU.copysign(turn) } else { turn }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Boat, Housing, Part, Tank};
    use crate::fit::LeanSeen;
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    /// A box that lists and trims a little, with a tank that takes it under.
    fn boat() -> FloatModel {
        let solid =
            |size: [f64; 3], z: f64| Solid::Box { size, centre: Position::new(0.0, 0.0, z) };
        let centre = Position::new(0.01, 0.001, 0.03);
        let tank = Tank {
            housing: Housing::InsideAPart,
            ..Tank::new("tank", solid([0.4, 0.1, 0.06], 0.05))
        };
        let boat = Boat {
            parts: vec![Part::solid("hull", 7.9, centre, solid([1.0, 0.1, 0.1], 0.05))],
            tanks: vec![tank],
            ..Boat::default()
        };
        FloatModel::new(&boat, Fineness::WORK).expect("a good boat")
    }

    #[test]
    fn slopes_agree_with_finite_differences_afloat_and_hanging() {
        let model = boat();
        let filled = |fill: f64| model.with_fill(0, fill);
        let basin = Basin::deep(1000.0);
        let sighting = |fill: f64| {
            let seen = LeanSeen { fill, heel: 0.1, heel_spread: 0.05, fill_spread: 0.0 };
            PreparedSighting::of(&filled, basin, seen, model.mass()).expect("a sighting")
        };
        let search = Search {
            sightings: [0.0, 0.3, 0.6, 1.0].map(sighting).into(),
            basin,
            blown_mass: model.mass(),
            before: Vector2::new(5e-3, 2e-3),
            left_out: None,
            farthest: 1.0,
            due: &|| None,
        };
        let at = Vector2::new(-0.4, 0.5);
        let found = search.evaluate(at).expect("it floats or hangs");
        let step = 1e-5;
        for k in 0..2 {
            let mut by = Vector2::zeros();
            by[k] = step;
            let [less, more] = [at - by, at + by].map(|u| search.evaluate(u).expect("near by"));
            for (which, slope) in found.slopes.iter().enumerate() {
                // Central differences: off by the square of the step and by rounding over it.
                let difference = (more.misfits[which] - less.misfits[which]) / (2.0 * step);
                let off = (slope[k] - difference).abs();
                assert!(off < 1e-5 * slope.norm(), "sighting {which}, unknown {k}: {off}");
                assert!(slope[k].abs() > 1e-3, "sighting {which}, unknown {k}: {slope}");
            }
        }
    }

    #[test]
    fn a_turn_goes_the_short_way() {
        for (from, to, turn) in [(0.1, 0.3, 0.2), (3.0, -3.0, TAU - 6.0), (-3.0, 3.0, 6.0 - TAU)] {
            let got = turn_between(from, to);
            assert!((got - turn).abs() < 1e-12, "from {from} to {to}: {got}, not {turn}");
        }
    }
}
