//! How a balanced pose answers to small errors of the boat: exact first derivatives from the Hessian of
//! the energy (implicit function theorem).

use super::balance::{Balance, Support};
use super::boat_errors::{N_ERRORS, UncertainWeight};
use super::equilibrium::{Basin, floats};
use super::model::FloatModel;
use super::problem::BoatError;
use super::settle::{DescentResult, Freedom, Tolerance, settle};
use crate::frame::Pose;
use nalgebra::{Matrix3, Vector3};

/// What a small change of a boat does to it in the pose that it has.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Push {
    /// Mass beyond what the water carries, kg.
    pub mass: f64,
    /// Its moment, kg·m.
    pub moment: Vector3<f64>,
}

/// How a pose changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoseChange {
    /// Of the height of the body's origin, metres.
    pub rise: f64,
    /// Of "up" in body axes.
    pub up: Vector3<f64>,
    /// Of the mass beyond what the water carries, kg.
    pub residual: f64,
}

/// How a pose that the boat is balanced in answers to small pushes.
#[derive(Debug, Clone)]
pub struct Sensitivity {
    support: Support,
    turns: [Vector3<f64>; 2],
    inverse: Matrix3<f64>,
    /// What each error of the boat is as a push, in the order of [`BoatErrors`]: per kg, metre, share.
    errors: [Push; N_ERRORS],
    /// The boat's centre of buoyancy, when it is held.
    centre: Vector3<f64>,
}

/// The sensitivity of a pose that the boat is balanced in, afloat or held wholly `under`. None when the boat is
/// indifferent in some direction.
pub fn sensitivity(
    model: &FloatModel,
    basin: Basin,
    pose: Pose,
    under: bool,
    uncertain: UncertainWeight,
) -> Option<Sensitivity> {
    let support = if under { Support::Held } else { Support::Afloat };
    let balance = Balance::at(model, basin.density, pose, support);
    Sensitivity::of(model, &balance, pose, support, uncertain)
}

/// Lets a boat come to rest from a pose, afloat or held wholly `under`: the pose it comes to, and how that answers to
/// small errors of what is `uncertain`. None where it comes to no rest, does not float, or is indifferent in some
/// direction.
pub fn at_rest(
    model: &FloatModel,
    basin: Basin,
    start: Pose,
    under: bool,
    uncertain: UncertainWeight,
    tolerance: &Tolerance,
) -> Option<(Pose, Sensitivity)> {
    let support = if under { Support::Held } else { Support::Afloat };
    basin.check().ok()?;
    if !under && !floats(model, basin) {
        return None;
    }
    let settled = settle(model, basin.density, start, support, Freedom::Free, tolerance).ok()?;
    let DescentResult { pose, balance, .. } = settled;
    Some((pose, Sensitivity::of(model, &balance, pose, support, uncertain)?))
}

/// What the boat's own solids take off its weight for each share that they displace more.
fn carried(model: &FloatModel, balance: &Balance, support: Support) -> Push {
    let (volume, first_moment) = balance.own;
    let (density, mass) = (balance.density, -balance.density * volume);
    if support == Support::Afloat {
        return Push { mass, moment: first_moment * -density };
    }
    // Held, only the place of the buoyancy counts, and what is carried is the boat's mass.
    let centre = model.total_centre().vector();
    let by_place = (first_moment - centre * volume) * (balance.mass / model.total_volume());
    Push { mass, moment: centre * mass - by_place }
}

impl Sensitivity {
    /// Of a pose with its balance.
    fn of(
        model: &FloatModel,
        balance: &Balance,
        pose: Pose,
        support: Support,
        uncertain: UncertainWeight,
    ) -> Option<Self> {
        let mut stiffness = balance.hessian(pose);
        if support == Support::Held {
            // The height is held, and no water is cut that could pull at it.
            stiffness[(0, 0)] = 1.0;
        }
        let UncertainWeight { mass, centre } = uncertain;
        let moved = |by: Vector3<f64>| Push { mass: 0.0, moment: by * mass };
        let answer = Self {
            support,
            turns: pose.axes().turns(),
            inverse: stiffness.try_inverse()?,
            errors: [
                Push { mass: 1.0, moment: centre },
                moved(Vector3::x()),
                moved(Vector3::y()),
                moved(Vector3::z()),
                carried(model, balance, support),
            ],
            centre: model.total_centre().vector(),
        };
        answer.changes().iter().all(PoseChange::is_finite).then_some(answer)
    }

    /// How the pose changes by a push.
    pub fn by(&self, push: &Push) -> PoseChange {
        let (lift, moment) = match self.support {
            Support::Afloat => (push.mass, push.moment),
            // What holds it takes up the difference where the buoyancy acts.
            Support::Held => (0.0, push.moment - self.centre * push.mass),
        };
        let [heel, trim] = self.turns;
        let answer = -(self.inverse * Vector3::new(lift, moment.dot(&heel), moment.dot(&trim)));
        let up = heel * answer[1] + trim * answer[2];
        PoseChange { rise: answer[0], up, residual: push.mass }
    }

    /// How it changes by each error of the boat, in the order of [`BoatErrors`].
    pub fn changes(&self) -> [PoseChange; N_ERRORS] {
        self.errors.map(|push| self.by(&push))
    }
}

impl PoseChange {
    fn is_finite(&self) -> bool {
        self.rise.is_finite() && self.up.iter().all(|c| c.is_finite())
    }
}

/// What a boat weighs more with its tanks filled to one share than to another, in water of `density` (kg/m³), its
/// liquids level in a pose.
///
/// # Errors
/// [`BoatError`] for a share outside 0 to 1, or a density that is not positive.
pub fn push_of_fill(
    model: &FloatModel,
    density: f64,
    pose: Pose,
    [less, more]: [f64; 2],
) -> Result<Push, BoatError> {
    let [emptier, fuller] = [model.flooded(less, density)?, model.flooded(more, density)?];
    Ok(push_between([&emptier, &fuller], pose))
}

/// What a boat weighs more than another that displaces the same, the liquids of both level in a pose.
pub fn push_between([lighter, heavier]: [&FloatModel; 2], pose: Pose) -> Push {
    let moment = |m: &FloatModel| m.weights(pose.up(), &mut m.surfaces()).0;
    Push { mass: heavier.mass() - lighter.mass(), moment: moment(heavier) - moment(lighter) }
}

/// How far a boat is from balance in a pose.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Imbalance {
    /// Mass that the water does not carry, kg; nothing of a boat that is held.
    pub mass: f64,
    /// Moments that heel and trim it, kg·m.
    pub moment: [f64; 2],
    /// The directions in which "up" turns by heel and by trim, in body axes.
    pub turns: [Vector3<f64>; 2],
    /// Stiffness against height (kg/m), heel and trim (kg·m).
    pub stiffness: [f64; 3],
    /// What the boat's own solids take off, for each share that they displace more.
    pub carried: Push,
}

/// How far a boat, afloat or held wholly `under`, is from balance in a pose.
pub fn imbalance(model: &FloatModel, density: f64, pose: Pose, under: bool) -> Imbalance {
    let support = if under { Support::Held } else { Support::Afloat };
    let balance = Balance::at(model, density, pose, support);
    let (gradient, hessian) = (balance.gradient(pose), balance.hessian(pose));
    Imbalance {
        mass: if under { 0.0 } else { gradient[0] },
        moment: [gradient[1], gradient[2]],
        turns: pose.axes().turns(),
        stiffness: [hessian[(0, 0)], hessian[(1, 1)], hessian[(2, 2)]],
        carried: carried(model, &balance, support),
    }
}
