//! How probable it is that a boat that leans lolls.

use super::found::Fit;
use super::joint::FitError;
use super::known::{Errors, KnownErrors};
use super::lean::{Lean, UPRIGHT};
use super::sighting::{Sighting, WetSighting};
use super::start::{Balance, in_units};
use crate::float::{Basin, Tolerance, UncertainWeight, settle_from, upright_stiffness};
use crate::frame::Pose;
use crate::reading::Condition;
use nalgebra::{Matrix4, Vector4};

/// Heights tried to each side, and how far, in spreads.
const HEIGHTS: i32 = 48;
const FARTHEST: f64 = 4.0;
/// How often the heights are halved to find where a boat begins to stay on its other side.
const HALVINGS: u32 = 10;

/// Which kind of lean the boat as it was found has, and how probable it is that it lolls; under water it hangs, and
/// is never top-heavy.
pub(super) fn lean(
    wet: &WetSighting,
    fit: &Fit,
    sightings: &[Sighting],
    known: &KnownErrors,
) -> Result<(Lean, f64), FitError> {
    if fit.pose.heel().abs() <= UPRIGHT {
        return Ok((Lean::Upright, 0.0));
    }
    if wet.reading.condition == Condition::Under {
        return Ok((Lean::List, 0.0));
    }
    let basin = Basin::deep(wet.reading.water_density);
    let upright = upright_stiffness(&fit.found, basin, Some(fit.pose), &Tolerance::FINE)?;
    let by_height = wet.model.bare().mass / fit.found.mass();
    let gm = Line { at: upright.0.across, slope: -by_height };
    // Where the heights cannot be told apart, the boat as found decides.
    let lolls = Heights { fit, sightings, known, wet }
        .share_with_negative(gm)
        .unwrap_or(if gm.at < 0.0 { 1.0 } else { 0.0 });
    Ok((Lean::by_chance(lolls), lolls))
}

/// GM by how much higher the centre of gravity is than found.
#[derive(Clone, Copy)]
struct Line {
    at: f64,
    slope: f64,
}

/// The heights that the centre of gravity may have.
///
/// At each of them the other errors are those that fit best, in balance in the poses that were seen, which is
/// linear. The probability of a height is that of the best fit, times the room that is left to the other errors
/// there (Laplace's approximation of the integral over them): a boat that hardly holds itself at the heel seen must
/// have its weight just so. A height at which one of the poses is not stable is impossible.
struct Heights<'a> {
    fit: &'a Fit,
    sightings: &'a [Sighting],
    known: &'a KnownErrors,
    /// The reading that the lean is of.
    wet: &'a WetSighting,
}

impl Heights<'_> {
    /// The probability that GM is negative.
    fn share_with_negative(&self, gm: Line) -> Option<f64> {
        let found = self.fit.known();
        let (before, after) = (self.known.spreads()[3], found.spreads()[3]);
        let (expected, here) = (self.known.errors[3], found.errors[3]);
        let steps = (-HEIGHTS..=HEIGHTS).map(|k| f64::from(k) / f64::from(HEIGHTS) * FARTHEST);
        // Those that were likely before, and those that are likely now: the latter may be close together.
        let all = steps.flat_map(|by| [expected + by * before, here + by * after]);
        let mut heights: Vec<f64> = all.collect();
        heights.sort_by(f64::total_cmp);
        let equations = self.equations(&found)?;
        let ends = [heights.first()? - here, heights.last()? - here];
        let possible = self.possible(&equations, &found, ends);
        let chance = |height: &f64| {
            let higher = height - here;
            let (log, _) = equations.chance(higher)?;
            let is_possible = possible[0] <= higher && higher <= possible[1];
            Some((higher, if is_possible { log } else { f64::NEG_INFINITY }))
        };
        let terms: Vec<(f64, f64)> = heights.iter().map(chance).collect::<Option<_>>()?;
        let most = terms.iter().map(|(_, log)| *log).fold(f64::NEG_INFINITY, f64::max);
        if !most.is_finite() {
            return None;
        }
        let (mut all, mut negative) = (0.0, 0.0);
        for pair in terms.windows(2) {
            let [(a, log_a), (b, log_b)] = pair else { continue };
            let chance = (b - a) * f64::midpoint((log_a - most).exp(), (log_b - most).exp());
            all += chance;
            if gm.at + gm.slope * f64::midpoint(*a, *b) < 0.0 {
                negative += chance;
            }
        }
        (all > 0.0).then(|| negative / all)
    }

    fn equations(&self, found: &KnownErrors) -> Option<Equations> {
        let mut rows = Vec::new();
        for sighting in self.sightings {
            match sighting {
                Sighting::Wet(wet) => {
                    let bare = wet.model.bare();
                    rows.extend(wet.balances(&found.errors)?.into_iter().map(|row| (bare, row)));
                }
                Sighting::Dry(dry) => {
                    let figures = dry.figures_at(&found.errors);
                    let balances = dry.balances().into_iter().zip(figures.off.iter());
                    rows.extend(
                        balances.map(|(row, off)| (dry.boat, Balance { off: *off, ..row })),
                    );
                }
            }
        }
        let unit = self.known.spreads();
        let from = (found.errors - self.known.errors).component_div(&unit);
        Some(Equations { rows, unit, from, information: self.known.information()? })
    }

    /// The heights, from the one found, at which the boat does what it did when it was pushed over to its other
    /// side: the higher its weight, the sooner it stays there.
    fn possible(&self, equations: &Equations, found: &KnownErrors, ends: [f64; 2]) -> [f64; 2] {
        let Some(comes_back) = self.wet.reading.comes_back else { return ends };
        let [mut low, mut high] = ends;
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(low, high);
            if self.stays_over(equations, found, middle) {
                high = middle;
            } else {
                low = middle;
            }
        }
        if comes_back { [ends[0], low] } else { [high, ends[1]] }
    }

    /// Whether the boat, so much higher than found and otherwise as fits best, stays on its other side. One that
    /// cannot be has none.
    fn stays_over(&self, equations: &Equations, found: &KnownErrors, higher: f64) -> bool {
        let Some((_, errors)) = equations.chance(higher) else { return false };
        let boat = self.wet.model.with_errors(&(found.errors + errors).into());
        let Some(laden) = boat.ok().and_then(|boat| self.wet.laden(boat)) else { return false };
        let pose = self.fit.pose;
        let over = Pose::from_angles(pose.height(), -pose.heel(), pose.trim());
        let basin = Basin::deep(self.wet.reading.water_density);
        let there = settle_from(&laden, basin, over, &Tolerance::FINE);
        // Where it comes back, it does so past upright.
        there.is_ok_and(|there| there.pose().heel() * pose.heel() < 0.0)
    }
}

impl Equations {
    /// The logarithm of the probability of a height, less a constant, minus infinity if it is impossible; and how far
    /// the errors are then from those found.
    fn chance(&self, higher: f64) -> Option<(f64, Errors)> {
        const HEIGHT: usize = 3;
        let Self { rows, unit, from, information } = self;
        let mut normal = *information;
        let mut right = -(information * from);
        let mut square = from.dot(&(information * from));
        for (bare, row) in rows {
            let spread = match row.heel {
                None => row.spread,
                Some([angle, stiffness]) => {
                    let left = stiffness - bare.mass * higher;
                    if left <= 0.0 {
                        return Some((f64::NEG_INFINITY, Errors::zeros()));
                    }
                    angle * left
                }
            };
            let slopes = in_units(*bare, unit, &row.slopes) / spread;
            let off = row.off / spread;
            normal += slopes * slopes.transpose();
            right -= slopes * off;
            square += off * off;
        }
        // The height is given; the others follow it.
        let step = higher / unit[HEIGHT];
        let others = [0, 1, 2, 4];
        let square = square - 2.0 * right[HEIGHT] * step + normal[(HEIGHT, HEIGHT)] * step * step;
        let own = Matrix4::from_fn(|i, j| normal[(others[i], others[j])]);
        let pull = Vector4::from_fn(|i, _| right[others[i]] - normal[(others[i], HEIGHT)] * step);
        let factor = own.cholesky()?;
        let step_of_others = factor.solve(&pull);
        let left = square - pull.dot(&step_of_others);
        let log_room = factor.l_dirty().diagonal().iter().map(|d| d.abs().ln()).sum::<f64>();
        let mut errors = Errors::zeros();
        errors[HEIGHT] = higher;
        for (k, by) in others.iter().zip(step_of_others.iter()) {
            errors[*k] = by * unit[*k];
        }
        Some((-0.5 * left - log_room, errors))
    }
}

struct Equations {
    rows: Vec<(UncertainWeight, Balance)>,
    unit: Errors,
    /// How far the boat found is from what was known, in units.
    from: Errors,
    information: super::known::Covariance,
}
