//! The chance that a boat with a plan on it meets its aim, given what is known of the boat.

use super::for_aim::AimPlan;
use super::of_aim::Aimed;
use super::planned::StateAfter;
use super::state::{Lies, PlanState};
use super::task::PlanError;
use crate::ballast::aim::{AT_THE_MARK, LEVEL, UnderAim};
use crate::ballast::both::ConditionFits;
use crate::fit::{Covariance, Errors, Fit};
use crate::float::{Basin, FloatModel, N_ERRORS, sensitivity};
use crate::reading::{RESIDUAL_SPREAD, Seen};
use std::f64::consts::PI;

/// A figure of the boat: what it is, how it changes with the boat's errors, and between what it should be.
struct Figure {
    value: f64,
    slopes: Errors,
    limits: [f64; 2],
}

/// Points of the sample: its error is about a hundredth.
const POINTS: u32 = 4096;
/// Evenly spread uniform numbers that are needed for five normal ones, which come in pairs.
const UNIFORM: usize = 6;
/// The root of x⁷ = x + 1, by which points in six dimensions are spread evenly.
/// Source: M. Roberts, 2018, "The unreasonable effectiveness of quasirandom sequences" (from memory, not seen); the
/// digits follow from the equation.
const SPREAD_BY: f64 = 1.112_775_684_278_705_5;

/// The chance (0 to 1) that all figures of the aim are within it, where the boat differs from what was found by errors
/// that are normal with the covariance of what was found, and figures answer to them to first order; what GM on the
/// way answers to is only weight. None where the boat is indifferent in a state.
///
/// # Errors
/// [`PlanError`] when a piece cannot be made.
pub fn chance(
    made: &AimPlan,
    aimed: &Aimed<'_>,
    found: ConditionFits<'_>,
) -> Result<Option<f64>, PlanError> {
    let mut figures: [Vec<Figure>; 2] = [Vec::new(), Vec::new()];
    for (state, after) in made.task.states.iter().zip(&made.plan.after) {
        let is_under = state.lies == Lies::Under;
        let fit = if is_under { found.under } else { found.afloat };
        let laden = made.plan.loading.done_to(&state.boat, &made.task)?;
        let boat = state.filled_of(&laden, &after.fills)?;
        let Some(own) = figures_of(state, after, &boat, aimed, fit) else { return Ok(None) };
        figures[usize::from(is_under)].extend(own);
    }
    let [afloat, under] = figures;
    let [one, other] = [found.afloat.covariance, found.under.covariance];
    if one == other {
        let all: Vec<Figure> = afloat.into_iter().chain(under).collect();
        return Ok(Some(share_within(&all, &one)));
    }
    Ok(Some(share_within(&afloat, &one) * share_within(&under, &other)))
}

fn figures_of(
    state: &PlanState,
    after: &StateAfter,
    boat: &FloatModel,
    aimed: &Aimed<'_>,
    fit: &Fit,
) -> Option<Vec<Figure>> {
    let bare = fit.found.bare();
    let at_least = |least: f64| [least, f64::INFINITY];
    // Weight higher by so much takes its moment from GM and BG; weight more acts at its height over the whole's.
    let up = after.pose.up();
    let height = up.dot(&(bare.centre - boat.centre_of_gravity(up).vector()));
    let stiff = |value: f64, least: f64| Figure {
        value,
        slopes: Errors::from([-height, 0.0, 0.0, -bare.mass, 0.0]) / boat.mass(),
        limits: at_least(least),
    };
    let least = aimed.aim.least;
    if let Lies::OnTheWay(_) = state.lies {
        let floats = after.residual < 0.0;
        let gm = stiff(after.stiffness.across, least.gm);
        return Some(if floats { vec![gm] } else { Vec::new() });
    }
    let is_under = state.lies == Lies::Under;
    let basin = Basin::deep(state.density);
    let answers = sensitivity(boat, basin, after.pose, is_under, bare)?;
    let figure = |seen: &Seen, limits: [f64; 2]| Figure {
        value: seen.in_pose(after.pose, after.residual),
        slopes: Errors::from(seen.slopes(after.pose, &answers)),
        limits,
    };
    let mut figures = vec![figure(&Seen::List(0.0), [-LEVEL, LEVEL])];
    if !is_under {
        for mark in aimed.marks {
            let seen = Seen::WaterAtMark { mark: mark.clone(), above: 0.0 };
            figures.push(figure(&seen, [-AT_THE_MARK, AT_THE_MARK]));
        }
        figures.push(stiff(after.stiffness.across, least.gm));
        return Some(figures);
    }
    figures.push(figure(&Seen::Trim(0.0), [-LEVEL, LEVEL]));
    figures.push(stiff(after.bg?, least.bg));
    let residual = figure(&Seen::Residual(0.0), [0.0; 2]);
    figures.push(match (aimed.aim.under, after.fills.first()) {
        (UnderAim::AnyAmount { least, most }, Some(share)) => {
            let takes = boat.usable_volume() * state.density;
            Figure { value: *share, slopes: residual.slopes / -takes, limits: [least, most] }
        }
        // Neutral as it is: as nearly as it can be read.
        (UnderAim::AnyAmount { .. }, None) => {
            Figure { limits: [-RESIDUAL_SPREAD, RESIDUAL_SPREAD], ..residual }
        }
        (UnderAim::AllOrNothing { lightest, heaviest }, _) => {
            let limits = [
                lightest.min(heaviest - RESIDUAL_SPREAD),
                heaviest.max(lightest + RESIDUAL_SPREAD),
            ];
            Figure { limits, ..residual }
        }
    });
    Some(figures)
}

/// The share of evenly spread points of a normal distribution at which all figures are within their limits.
fn share_within(figures: &[Figure], covariance: &Covariance) -> f64 {
    let Some(root) = root_of(covariance) else { return f64::NAN };
    let slopes: Vec<Errors> = figures.iter().map(|f| root.transpose() * f.slopes).collect();
    let is_met = |point: &Errors| {
        figures.iter().zip(&slopes).all(|(figure, slopes)| {
            let value = figure.value + slopes.dot(point);
            figure.limits[0] <= value && value <= figure.limits[1]
        })
    };
    let met = (1..=POINTS).filter(|k| is_met(&normal(*k))).count();
    met as f64 / f64::from(POINTS)
}

/// A matrix whose product with its own transpose is the covariance; none for one that is no covariance.
fn root_of(covariance: &Covariance) -> Option<Covariance> {
    let spreads = covariance.diagonal().map(|variance| variance.max(0.0).sqrt());
    if spreads.iter().any(|s| !s.is_finite()) {
        return None;
    }
    // In units of the spreads, and a little apart from what cannot be parted: errors of nothing have no spread.
    let unit = spreads.map(|s| if s > 0.0 { s } else { 1.0 });
    let correlation =
        covariance.component_div(&(unit * unit.transpose())) + Covariance::identity() * 1e-9;
    Some(Covariance::from_diagonal(&unit) * correlation.cholesky()?.l())
}

/// The point of this number, of independent normal numbers: Box and Muller's pairs of evenly spread ones.
fn normal(k: u32) -> Errors {
    let mut uniform = [0.0; UNIFORM];
    let mut step = 1.0;
    for one in &mut uniform {
        step /= SPREAD_BY;
        *one = (0.5 + f64::from(k) * step).fract();
    }
    let mut point = [0.0; N_ERRORS];
    for (n, one) in point.iter_mut().enumerate() {
        let pair = n / 2 * 2;
        let far = (-2.0 * (1.0 - uniform[pair]).ln()).sqrt();
        let angle = 2.0 * PI * uniform[pair + 1];
        *one = far * if n % 2 == 0 { angle.cos() } else { angle.sin() };
    }
    Errors::from(point)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figure(slopes: [f64; 5], limits: [f64; 2]) -> Figure {
        Figure { value: 0.0, slopes: Errors::from(slopes), limits }
    }

    #[test]
    fn the_share_within_is_that_of_the_normal_distribution() {
        // Closed form: within one standard deviation erf(1/√2) = 0.6827, of two independent ones its square; of one
        // and its double, where the double decides, erf(1/(2√2)) = 0.3829.
        let covariance = Covariance::from_diagonal(&Errors::from([4.0, 1e-6, 1.0, 1.0, 0.0]));
        let one = || figure([0.5, 0.0, 0.0, 0.0, 0.0], [-1.0, 1.0]);
        let other = figure([0.0, 1e3, 0.0, 0.0, 0.0], [-1.0, 1.0]);
        let double = figure([1.0, 0.0, 0.0, 0.0, 0.0], [-1.0, 1.0]);
        let got = share_within(&[one()], &covariance);
        assert!((got - 0.6827).abs() < 0.01, "one: {got}");
        let got = share_within(&[one(), other], &covariance);
        assert!((got - 0.6827 * 0.6827).abs() < 0.01, "two: {got}");
        let got = share_within(&[one(), double], &covariance);
        assert!((got - 0.3829).abs() < 0.01, "one and its double: {got}");
    }

    #[test]
    fn the_points_are_spread_by_the_root_of_its_equation() {
        let x = SPREAD_BY;
        assert!((x.powi(7) - x - 1.0).abs() < 1e-12, "{}", x.powi(7) - x - 1.0);
    }
}
