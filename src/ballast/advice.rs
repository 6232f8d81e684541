//! One move: what to add, take off or shift, and how the boat lies after it.

use super::aim::{AT_THE_MARK, LEVEL};
use super::forecast::{Forecast, forecast};
use super::need::Need;
use super::target::Target;
use super::weight::{Piece, Weight, rounded};
use crate::boat::{Mark, Place};
use crate::fit::{Estimate, Fit, Lean, Unknown};
use crate::float::{Basin, BoatError, FloatModel};
use crate::frame::{Pose, Position};
use crate::geometry::Mesh;
use crate::reading::Condition;
use crate::unit::{DEGREE, MILLIMETRE};
use nalgebra::Vector3;
use std::sync::Arc;

/// What the builder is ready to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Remedy {
    /// Put weight at a place, or take it off there.
    Weight {
        /// Where.
        place: Place,
        /// Density of the weight's material, kg/m³: in the wet it displaces.
        density: f64,
    },
    /// Shift something that is aboard.
    Shift {
        /// Its mass less what it displaces where it lies, kg.
        mass: f64,
    },
}

/// One thing to do, in figures that can be cut and measured.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// Put a weight on.
    Add(Weight),
    /// Take a weight off.
    TakeOff(Weight),
    /// Move a weight.
    Shift {
        /// What is moved, kg.
        mass: f64,
        /// Forward, metres; negative aft.
        forward: Estimate,
        /// To port, metres; negative to starboard.
        to_port: Estimate,
    },
}

/// Why there is something to do, or nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// Everything is within what can be read.
    LeaveIt,
    /// Do the steps.
    Do,
    /// What was to be shifted is too light: it would have to leave the boat. The least mass that
    /// could do it, kg.
    ShiftMore {
        /// Least mass, kg.
        least: f64,
    },
    /// Foam was to go where it does not lift: above the water, or inside something watertight. It
    /// only adds its weight there.
    NoLift,
    /// The boat is top-heavy; no weight to one side will cure it. Lowering weight by this moment
    /// (kg·m, mass times height) brings the stiffness back to a tenth of the beam.
    Lower {
        /// Mass times height, kg·m.
        moment: f64,
    },
    /// The boat lies far over, more than weight a little off centre explains: something moved,
    /// water came in, or it is top-heavy. No weight to one side. If nothing else is found, lowering
    /// weight by this moment (kg·m) brings the stiffness to a tenth of the beam; zero if it should
    /// have that already.
    LiesOver {
        /// Mass times height, kg·m.
        moment: f64,
    },
    /// It is right at its marks, but its tanks are too small to take it under: weight would only
    /// put it below its marks. Or air is trapped in them.
    TankTooSmall {
        /// Missing tank volume, m³.
        lacking: f64,
    },
    /// It leans, and nothing tells yet whether it lists or lolls: read what would.
    LeanUntold,
    /// Angles come from a phone that is not zeroed, and are too small to trust: zero it first.
    ZeroFirst,
    /// The tank volume is needed first: the fill may make up for the boat being heavy.
    TankUntold,
}

/// What to do, and what comes of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Advice {
    /// Whether to act.
    pub verdict: Verdict,
    /// What to do, in order; empty when nothing.
    pub steps: Vec<Step>,
    /// What the reading did not tell.
    pub untold: Vec<Unknown>,
    /// What the boat lacks.
    pub need: Need,
    /// Which of mass, moment along and moment across need correcting.
    pub matters: [bool; 3],
    /// Mass that it lacks and a shift cannot supply, kg; negative for too much.
    pub mass_left: Option<f64>,
    /// How it lies by itself now.
    pub now: Forecast,
    /// How it will lie after the steps as rounded.
    pub after: Forecast,
}

/// A weight to be shifted when no part is named: the least of these that has room, kg.
const HANDY_WEIGHTS: [f64; 6] = [0.05, 0.1, 0.2, 0.5, 1.0, 2.0];
/// Stiffness aimed at when a boat is top-heavy, as a share of the beam: common practice, no source.
const STIFF_ENOUGH: f64 = 0.1;
/// The room of a shape that carries ballast, as a share of the largest shape's. Common practice, no source.
const CARRIES: f64 = 0.1;
/// Heel beyond which a boat counts as lying over, not as listing, radians. Common practice, no
/// source.
pub(crate) const LIES_OVER: f64 = 20.0 * DEGREE;

/// What to do about a boat as it was found.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive, or when more would be taken off than there is.
pub fn advise(
    fit: &Fit,
    basin: Basin,
    target: Target,
    marks: &[Mark],
    remedy: &Remedy,
) -> Result<Advice, BoatError> {
    let condition = match target {
        Target::AtTheMarks(_) => Condition::Afloat,
        Target::Under(_) => Condition::Under,
    };
    let z = match remedy {
        Remedy::Weight { place, .. } => place.z,
        Remedy::Shift { .. } => 0.0,
    };
    let mut need = Need::of(fit, target, basin.density, z)?.told_part().without_noise();
    // Weight to one side makes a loll worse: none while it may be one.
    let is_untold = condition == Condition::Afloat && fit.lean == Lean::ListOrLoll;
    if is_untold || fit.lay_over {
        need.moment[1] = 0.0;
    }
    let now = forecast(&fit.found, basin, condition, Some(fit.pose), marks)?;
    let matters = need.matters(allowed(fit, target, &now, basin, marks));
    let lies_over = condition == Condition::Afloat && fit.pose.heel().abs() > LIES_OVER;
    let (verdict, steps) = if fit.lean == Lean::Loll {
        (Verdict::Lower { moment: lacking_height(fit, basin)? }, Vec::new())
    } else if lies_over {
        (Verdict::LiesOver { moment: may_lack_height(fit, basin)? }, Vec::new())
    } else if matters == [false; 3] {
        (if is_untold { Verdict::LeanUntold } else { Verdict::LeaveIt }, Vec::new())
    } else if let Some(least) = too_light_to_shift(fit, &need, remedy) {
        (Verdict::ShiftMore { least }, Vec::new())
    } else {
        let steps = steps(fit, &need, matters, remedy, (target, basin.density));
        if steps.is_empty() {
            (if is_untold { Verdict::LeanUntold } else { Verdict::LeaveIt }, steps)
        } else if steps.iter().any(Step::lifts_nothing) {
            (Verdict::NoLift, Vec::new())
        } else {
            (Verdict::Do, steps)
        }
    };
    let done = done_to(&fit.found, &steps)?;
    // Released upright at its target: where it settles from there is where it will lie.
    let near = if steps.is_empty() { Some(now.pose) } else { target.pose() };
    let after = forecast(&done, basin, condition, near, marks)?;
    let by_shifting = matches!(remedy, Remedy::Shift { .. });
    let mass_left =
        (by_shifting && matters[0] && fit.lean != Lean::Loll && !lies_over).then_some(need.mass);
    Ok(Advice { verdict, steps, untold: fit.untold.clone(), need, matters, mass_left, now, after })
}

pub(super) fn done_to(boat: &FloatModel, steps: &[Step]) -> Result<FloatModel, BoatError> {
    steps.iter().try_fold(boat.clone(), |boat, step| step.done_to(&boat))
}

impl Advice {
    /// A boat after the steps.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when more is taken off than there is.
    pub fn done_to(&self, boat: &FloatModel) -> Result<FloatModel, BoatError> {
        done_to(boat, &self.steps)
    }

    /// The same, with no steps until something else is known.
    #[must_use]
    pub fn waits_for(self, verdict: Verdict) -> Self {
        let after = self.now.clone();
        Self { verdict, steps: Vec::new(), after, mass_left: None, ..self }
    }
}

/// The moment (kg·m) by which weight must be lowered for enough stiffness.
fn lacking_height(fit: &Fit, basin: Basin) -> Result<f64, BoatError> {
    let tolerance = crate::float::Tolerance::FINE;
    let gm = crate::float::upright_stiffness(&fit.found, basin, None, &tolerance)?.0.across;
    let lacking = STIFF_ENOUGH * fit.found.bounds().size().y - gm;
    Ok(lacking * fit.found.mass())
}

/// The same, at least zero, where its centre of gravity may lie higher than found by its ±.
fn may_lack_height(fit: &Fit, basin: Basin) -> Result<f64, BoatError> {
    let [_, _, height] = fit.offset;
    Ok((lacking_height(fit, basin)? + height.spread * fit.found.bare().mass).max(0.0))
}

/// Tolerances of mass (kg) and of the moments along and across (kg·m): the water [`AT_THE_MARK`]
/// off, in the mean and at the ends, and a lean of [`LEVEL`].
fn allowed(fit: &Fit, target: Target, now: &Forecast, basin: Basin, marks: &[Mark]) -> [f64; 3] {
    let turning =
        |metacentric_height: f64, by: f64| fit.found.mass() * metacentric_height.max(0.0) * by;
    let Some(pose) = target.pose() else {
        let level = |metacentric_height: f64| turning(metacentric_height, LEVEL);
        return [0.0, level(now.stiffness.along), level(now.stiffness.across)];
    };
    let (aft, fore) = marks.iter().fold((0.0_f64, 0.0_f64), |(aft, fore), mark| {
        (aft.min(mark.at.x()), fore.max(mark.at.x()))
    });
    let reach = (fore - aft) / 2.0;
    // Marks at one place tell no trim: then it is judged as the list is.
    let trim = if reach > AT_THE_MARK { (AT_THE_MARK / reach).min(LEVEL) } else { LEVEL };
    [
        mass_at_the_marks(&fit.found, pose, basin.density),
        turning(now.stiffness.along, trim),
        turning(now.stiffness.across, LEVEL),
    ]
}

/// The mass (kg) that puts the water off the marks by the tolerance, in the mean.
pub(super) fn mass_at_the_marks(boat: &FloatModel, at_the_marks: Pose, density: f64) -> f64 {
    density * boat.wet(at_the_marks).waterplane.area * AT_THE_MARK
}

pub(super) fn steps(
    fit: &Fit,
    need: &Need,
    [mass_matters, ..]: [bool; 3],
    remedy: &Remedy,
    (target, density): (Target, f64),
) -> Vec<Step> {
    match remedy {
        Remedy::Shift { mass } => shift(need, *mass).into_iter().collect(),
        Remedy::Weight { place, density: material } => {
            let piece = Piece { place, material: *material, water: density, target };
            if mass_matters {
                let weight = Weight::of(&fit.found, need, &piece);
                if has_room(&fit.found, weight.x.value, weight.y.value) {
                    return vec![step(need.mass, weight)];
                }
            }
            // The moment is too large for the mass: shift what is aboard, and add what is still
            // lacking where it turns nothing.
            let mut steps: Vec<Step> = shift(need, handy_weight(fit, need)).into_iter().collect();
            if mass_matters {
                let still = Need { moment: [0.0; 2], ..*need };
                steps.push(step(need.mass, Weight::of(&fit.found, &still, &piece)));
            }
            steps
        }
    }
}

/// Foam lifts: it is added where the boat should be lighter.
fn step(mass: f64, weight: Weight) -> Step {
    if mass * weight.counts >= 0.0 { Step::Add(weight) } else { Step::TakeOff(weight) }
}

/// The shift that gives the moments; none when it rounds to nothing.
pub(super) fn shift(need: &Need, mass: f64) -> Option<Step> {
    let way = |k: usize| {
        let by = rounded(need.moment[k] / mass, MILLIMETRE);
        Estimate::new(by, need.spread(k + 1) / mass)
    };
    let (forward, to_port) = (way(0), way(1));
    let moves = forward.value.abs().max(to_port.value.abs()) > MILLIMETRE / 2.0;
    moves.then_some(Step::Shift { mass, forward, to_port })
}

/// The least mass whose shift stays aboard, if what is to be shifted is lighter.
fn too_light_to_shift(fit: &Fit, need: &Need, remedy: &Remedy) -> Option<f64> {
    let Remedy::Shift { mass } = remedy else { return None };
    let size = fit.found.bounds().size();
    let least = (need.moment[0].abs() / size.x).max(need.moment[1].abs() / size.y);
    (least > *mass).then_some(least)
}

/// A weight heavy enough that its shift stays within a third of the boat.
fn handy_weight(fit: &Fit, need: &Need) -> f64 {
    let size = fit.found.bounds().size();
    let fits = |mass: &&f64| {
        (need.moment[0] / **mass).abs() < size.x / 3.0
            && (need.moment[1] / **mass).abs() < size.y / 3.0
    };
    let [.., heaviest] = HANDY_WEIGHTS;
    HANDY_WEIGHTS.iter().find(fits).copied().unwrap_or(heaviest)
}

/// True when a place lies over or under a shape of the boat that may carry ballast: its hull, flooded or dry, or
/// a part of it. Planes and fins carry none.
pub(super) fn has_room(boat: &FloatModel, x: f64, y: f64) -> bool {
    let room = |solid: &Arc<Mesh>| solid.bounds().size().product();
    let solids = boat.solids();
    let largest = solids.iter().map(room).fold(0.0, f64::max);
    let mut carriers = solids.iter().filter(|solid| room(solid) > CARRIES * largest);
    carriers.any(|solid| solid.stands_over(x, y))
}

impl Step {
    /// A share of this step: of the weight, or of the way that it is shifted. To what can be cut and measured.
    #[must_use]
    pub fn part(&self, share: f64) -> Self {
        let of = |whole: Estimate, unit: f64| {
            Estimate::new(rounded(whole.value * share, unit), whole.spread * share)
        };
        let lighter = |w: &Weight| Weight { mass: of(w.mass, w.cut()), ..w.clone() };
        match self {
            Self::Add(w) => Self::Add(lighter(w)),
            Self::TakeOff(w) => Self::TakeOff(lighter(w)),
            Self::Shift { mass, forward, to_port } => Self::Shift {
                mass: *mass,
                forward: of(*forward, MILLIMETRE),
                to_port: of(*to_port, MILLIMETRE),
            },
        }
    }

    /// Whether it is foam at a place where it does not lift.
    fn lifts_nothing(&self) -> bool {
        match self {
            Self::Add(w) | Self::TakeOff(w) => w.lifts_nothing(),
            Self::Shift { .. } => false,
        }
    }

    /// The boat after this step.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when more is taken off than there is.
    pub fn done_to(&self, model: &FloatModel) -> Result<FloatModel, BoatError> {
        match self {
            Self::Add(w) => w.put_on(model),
            Self::TakeOff(w) => model.with_weight(-w.mass.value * w.counts, w.at()),
            Self::Shift { mass, forward, to_port } => {
                let by = Vector3::new(forward.value, to_port.value, 0.0);
                model
                    .with_weight(*mass, Position::from_vector(by))?
                    .with_weight(-mass, Position::ORIGIN)
            }
        }
    }
}
