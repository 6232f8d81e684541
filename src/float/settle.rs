//! Descends to a minimum of energy: Newton's method with a trust region, exact Hessian, bounded.
//!
//! Three unknowns: rise, and turns about the two horizontal axes of the world. Each step minimises
//! the quadratic model inside a ball (Moré & Sorensen 1983, SIAM J. Sci. Stat. Comput. 4:553, by
//! eigenvectors, since the matrix is 3 × 3); it leaves saddle points along their downhill axis.

use super::balance::{Balance, Support};
use super::heave::heave;
use super::model::FloatModel;
use super::problem::BoatError;
use crate::frame::Pose;
use nalgebra::{Matrix3, SymmetricEigen, Vector3};

/// Budget and tolerances of a descent.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerance {
    /// Greatest excess of weight over buoyancy, as a share of the weight.
    pub force: f64,
    /// Greatest distance of the centres of gravity and buoyancy from one vertical, metres.
    pub lever: f64,
    /// Poses that may be tried.
    pub evaluations: u32,
    /// First step allowed, radians (or boat lengths of rise, scaled by volume).
    pub first_step: f64,
}

impl Tolerance {
    /// Far below anything that can be read at a pool.
    pub const FINE: Self = Self { force: 1e-11, lever: 1e-11, evaluations: 200, first_step: 0.15 };
}

/// Why a descent stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopReason {
    /// Force and lever are within the tolerance, and the attitude is stable or neutral.
    Converged,
    /// No step lowers the energy any more: as close as the digits allow.
    Stalled,
    /// The budget of evaluations is used up.
    OutOfBudget,
}

/// How a descent went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Report {
    /// Why it stopped.
    pub stop: StopReason,
    /// Poses tried.
    pub evaluations: u32,
}

/// Which ways the boat may turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Freedom {
    /// Heel and trim.
    Free,
    /// Trim only: the heel is held.
    TrimOnly,
}

/// Where a descent ended.
#[derive(Debug, Clone, Copy)]
pub(super) struct DescentResult {
    pub(super) pose: Pose,
    pub(super) balance: Balance,
    pub(super) report: Report,
}

/// Excess of weight or buoyancy, as a share of the weight, that is met by heaving first.
const FAR_OFF: f64 = 0.05;
/// Largest step, radians.
const WIDEST_STEP: f64 = 0.4;
/// Curvature below which a balanced pose is a saddle, as a share of weight times scale.
const SADDLE: f64 = 1e-8;
/// Energy differences below this share of weight times scale are rounding.
const ENERGY_NOISE: f64 = 4e-15;

/// A millionth of the weight and a micrometre: a descent that stops short of its tolerance
/// (rounding, a kink in the waterplane) but within these counts as at rest.
const AS_GOOD_AS_BALANCED: Tolerance = Tolerance { force: 1e-6, lever: 1e-6, ..Tolerance::FINE };

/// Lets the boat come to rest from `start`.
///
/// # Errors
/// [`BoatError::Unsettled`] when it does not within the budget.
pub(super) fn settle(
    model: &FloatModel,
    density: f64,
    start: Pose,
    support: Support,
    freedom: Freedom,
    tolerance: &Tolerance,
) -> Result<DescentResult, BoatError> {
    let scale = model.scale();
    let unit_energy = model.mass() * scale;
    let mut surfaces = model.surfaces();
    let mut evaluate = |pose: Pose| Balance::near(model, density, pose, support, &mut surfaces);
    let mut pose = start;
    let mut balance = evaluate(pose);
    let mut evaluations = 1;
    if support == Support::Afloat && balance.by_height.abs() > FAR_OFF * balance.mass {
        // So far from its height that a step could capsize it: let it heave first, without turning.
        pose = heave(model, density, pose.up());
        balance = evaluate(pose);
        evaluations += 1;
    }
    let mut quadratic = Quadratic::of(&balance, pose, scale, unit_energy, support, freedom);
    let mut radius = tolerance.first_step;
    let stop = loop {
        let balanced = quadratic.is_balanced(tolerance, scale);
        if balanced && quadratic.least_curvature() > -SADDLE {
            break StopReason::Converged;
        }
        if evaluations >= tolerance.evaluations {
            break StopReason::OutOfBudget;
        }
        let step = if balanced { quadratic.downhill_axis(radius) } else { quadratic.step(radius) };
        let next_pose = pose.moved(step[0] * scale, step[1], step[2]);
        let next = evaluate(next_pose);
        evaluations += 1;
        let next_quadratic = Quadratic::of(&next, next_pose, scale, unit_energy, support, freedom);
        let gained = (balance.energy - next.energy) / unit_energy;
        let promised = quadratic.promised(&step);
        let in_the_noise = promised.abs() < ENERGY_NOISE * energy_size(&balance, pose, unit_energy);
        let flatter = next_quadratic.gradient.norm() < quadratic.gradient.norm();
        let better = if in_the_noise { flatter } else { gained > 1e-4 * promised };
        if better {
            pose = next_pose;
            balance = next;
            quadratic = next_quadratic;
            if gained > 0.75 * promised {
                radius = (radius * 2.0).min(WIDEST_STEP);
            }
        } else {
            radius = 0.25 * step.norm();
            if radius < 1e-14 {
                break StopReason::Stalled;
            }
        }
    };
    let is_at_rest = stop == StopReason::Converged
        || quadratic.is_balanced(&AS_GOOD_AS_BALANCED, scale)
            && quadratic.least_curvature() > -SADDLE;
    let settled = DescentResult { pose, balance, report: Report { stop, evaluations } };
    is_at_rest.then_some(settled).ok_or(BoatError::Unsettled(evaluations))
}

/// Size of the terms that cancel in the energy, in units of weight times scale.
fn energy_size(balance: &Balance, pose: Pose, unit_energy: f64) -> f64 {
    let height = pose.height().abs() * balance.mass;
    (1.0 + (balance.weight_moment.norm() + height) / unit_energy).max(1.0)
}

/// Gradient and Hessian in the three unknowns, without dimension.
struct Quadratic {
    gradient: Vector3<f64>,
    eigen: SymmetricEigen<f64, nalgebra::Const<3>>,
    hessian: Matrix3<f64>,
}

impl Quadratic {
    fn of(
        balance: &Balance,
        pose: Pose,
        scale: f64,
        unit_energy: f64,
        support: Support,
        freedom: Freedom,
    ) -> Self {
        // Rise in units of the boat's scale.
        let (mut gradient, mut hessian) = (balance.gradient(pose), balance.hessian(pose));
        gradient[0] *= scale;
        for k in 0..3 {
            hessian[(0, k)] *= scale;
            hessian[(k, 0)] *= scale;
        }
        gradient /= unit_energy;
        hessian /= unit_energy;
        // What is held has no gradient and a stiffness that asks for no step.
        if support == Support::Held {
            hold(0, &mut gradient, &mut hessian);
        }
        if freedom == Freedom::TrimOnly {
            hold(1, &mut gradient, &mut hessian);
        }
        Self { gradient, eigen: SymmetricEigen::new(hessian), hessian }
    }

    fn is_balanced(&self, tolerance: &Tolerance, scale: f64) -> bool {
        let lever = self.gradient[1].hypot(self.gradient[2]) * scale;
        self.gradient[0].abs() <= tolerance.force && lever <= tolerance.lever
    }

    fn least_curvature(&self) -> f64 {
        self.eigen.eigenvalues.min()
    }

    /// The step along the axis of least curvature: to starboard down, or bow down, by choice.
    fn downhill_axis(&self, radius: f64) -> Vector3<f64> {
        let axis = self.eigen.eigenvectors.column(self.eigen.eigenvalues.imin()).into_owned();
        let sign = if axis[1].abs() > 1e-6 * axis[2].abs() { axis[1] } else { axis[2] };
        axis * radius.min(0.05).copysign(sign)
    }

    /// The minimiser of the quadratic inside a ball.
    fn step(&self, radius: f64) -> Vector3<f64> {
        let along = self.eigen.eigenvectors.transpose() * self.gradient;
        let values = &self.eigen.eigenvalues;
        let least = values.min();
        let at = |shift: f64| {
            let scaled =
                along.zip_map(values, |g, v| if g == 0.0 { 0.0 } else { -g / (v + shift) });
            self.eigen.eigenvectors * scaled
        };
        if least > 0.0 {
            let newton = at(0.0);
            if newton.norm() <= radius {
                return newton;
            }
        }
        // The shift that makes the step as long as the radius lies in this bracket.
        let floor = (-least).max(0.0);
        let (mut low, mut high) = (floor, floor + along.norm() / radius + f64::MIN_POSITIVE);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            // Where the shift takes all curvature away there is no step, and its length is no number.
            if at(middle).norm() <= radius {
                high = middle;
            } else {
                low = middle;
            }
        }
        let step = at(high);
        let missing = radius * radius - step.norm_squared();
        if least < 0.0 && missing > 0.01 * radius * radius {
            // No slope along the downhill axis: go along it for the rest of the radius.
            return step + self.downhill_axis(1.0).normalize() * missing.sqrt();
        }
        step
    }

    /// Fall of energy that the quadratic promises for a step.
    fn promised(&self, step: &Vector3<f64>) -> f64 {
        -(self.gradient.dot(step) + 0.5 * step.dot(&(self.hessian * step)))
    }
}

fn hold(which: usize, gradient: &mut Vector3<f64>, hessian: &mut Matrix3<f64>) {
    gradient[which] = 0.0;
    for other in 0..3 {
        hessian[(which, other)] = 0.0;
        hessian[(other, which)] = 0.0;
    }
    hessian[(which, which)] = 1.0;
}
