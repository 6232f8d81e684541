//! Advice that is right in both conditions, for when that from one reading would spoil the other.

use super::advice::{Advice, Remedy, Step, Verdict, advise, done_to, mass_at_the_marks, steps};
use super::aim::Aim;
use super::both_conditions::BothConditions;
use super::forecast::Forecast;
use super::need::Need;
use super::target::Target;
use crate::boat::{Mark, Medium, Place};
use crate::fit::Fit;
use crate::float::{Basin, BoatError, FloatModel};
use crate::reading::Condition;
use crate::unit::GRAM;

/// What was found of a boat in each condition; the same fit twice where it was read in one only.
#[derive(Debug, Clone, Copy)]
pub struct ConditionFits<'a> {
    /// Afloat.
    pub afloat: &'a Fit,
    /// Under water.
    pub under: &'a Fit,
}

impl<'a> ConditionFits<'a> {
    /// Where `fit` was found in one condition, and `other`, if it is known, in the other one.
    pub fn of(condition: Condition, fit: &'a Fit, other: Option<&'a Fit>) -> Self {
        let other = other.unwrap_or(fit);
        match condition {
            Condition::Afloat => Self { afloat: fit, under: other },
            Condition::Under => Self { afloat: other, under: fit },
        }
    }

    /// What was found in a condition.
    pub fn in_condition(&self, condition: Condition) -> &'a Fit {
        match condition {
            Condition::Afloat => self.afloat,
            Condition::Under => self.under,
        }
    }

    /// The spread of the difference between what it lacks at its marks and under water, kg: that of what it displaces
    /// between the two.
    fn spread_between(&self, target: Target, density: f64) -> f64 {
        let Some(pose) = target.pose() else { return 0.0 };
        let found = &self.under.found;
        let between = found.described_volume(None) - found.described_volume(Some(pose));
        self.under.displaces.spread * density * between
    }

    /// The boat as it was found afloat, and under, after some steps.
    ///
    /// # Errors
    /// [`BoatError::NoMass`] when more is taken off than there is.
    pub fn after(&self, steps: &[Step]) -> Result<[FloatModel; 2], BoatError> {
        Ok([done_to(&self.afloat.found, steps)?, done_to(&self.under.found, steps)?])
    }
}

/// What serves both conditions, or why nothing does.
#[derive(Debug, Clone, PartialEq)]
pub enum ForBoth {
    /// These steps: weight for the marks, and foam above the waterline, which lifts only under water.
    Steps(Vec<Step>),
    /// The boat is at its marks after these steps (none if it is there), and its tanks take too little to
    /// bring it under as the aim has it: so much, m³.
    TankTooSmall {
        /// What is to be done for the marks.
        steps: Vec<Step>,
        /// What the tanks lack, m³.
        lacking: f64,
    },
}

impl ForBoth {
    /// What is to be done.
    pub fn steps(&self) -> &[Step] {
        match self {
            Self::Steps(steps) | Self::TankTooSmall { steps, .. } => steps,
        }
    }
}

impl Advice {
    /// The same advice with these steps in place of its own, because they serve both conditions;
    /// `after` is how the boat lies then.
    #[must_use]
    pub fn replaced(self, for_both: ForBoth, after: Forecast) -> Self {
        let (verdict, steps) = match for_both {
            ForBoth::TankTooSmall { steps, lacking } if steps.is_empty() => {
                (Verdict::TankTooSmall { lacking }, steps)
            }
            ForBoth::Steps(steps) | ForBoth::TankTooSmall { steps, .. } => {
                (if steps.is_empty() { Verdict::LeaveIt } else { Verdict::Do }, steps)
            }
        };
        Self { verdict, steps, after, mass_left: None, ..self }
    }
}

/// What is right for a boat both ways, and what there is to bring it there.
#[derive(Debug, Clone, Copy)]
pub struct Demand<'a> {
    /// The water.
    pub basin: Basin,
    /// What is right under water.
    pub aim: Aim,
    /// The marks that are right afloat.
    pub marks: &'a [Mark],
    /// Places for weight.
    pub places: &'a [Place],
    /// Density of the foam that there is, kg/m³.
    pub foam: f64,
}

/// What makes a boat right both ways: one weight, if one serves both within what may be left at the marks and
/// what the tanks can take. Otherwise what `remedy` does for the marks, and foam above the waterline for what is
/// too heavy under water: it lifts only there, so that one does not spoil the other.
///
/// None when that does not make it right, as when it lies over, or no place for weight is above the waterline.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive, or when more would be taken off than there is.
pub fn for_both(
    found: ConditionFits<'_>,
    demand: &Demand<'_>,
    remedy: &Remedy,
) -> Result<Option<ForBoth>, BoatError> {
    let Demand { basin, aim, marks, .. } = *demand;
    let Some(target) = Target::at_the_marks(marks) else { return Ok(None) };
    let afloat = advise(found.afloat, basin, target, marks, remedy)?;
    if !can_be_followed(&afloat) {
        return Ok(None);
    }
    let serves = |steps: Vec<Step>| -> Result<Option<ForBoth>, BoatError> {
        let [boat, diver] = found.after(&steps)?;
        let spread = found.under.residual_spread(basin.density);
        let whole = BothConditions::of([&boat, &diver], basin, aim, marks, spread, None)?;
        Ok(whole.is_right_both().then_some(ForBoth::Steps(steps)))
    };
    match masses(found, demand, target, &afloat)? {
        Masses::One(mass) => serves(one_weight(found.afloat, &afloat, mass, remedy, target, basin)),
        Masses::TooLightUnder(lacking) => Ok(Some(ForBoth::TankTooSmall {
            steps: afloat.steps,
            lacking: lacking / basin.density,
        })),
        Masses::TooHeavyUnder => {
            let Some(place) = above_the_water(demand.places, target) else { return Ok(None) };
            let [_, diver] = found.after(&afloat.steps)?;
            let diver = Fit { found: diver, ..found.under.clone() };
            let foam = Remedy::Weight { place, density: demand.foam };
            let still = advise(&diver, basin, Target::Under(aim.under), marks, &foam)?;
            if !can_be_followed(&still) {
                return Ok(None);
            }
            serves([afloat.steps, still.steps].concat())
        }
    }
}

/// What may be added so that both conditions are right.
enum Masses {
    /// So much, kg; negative to take off.
    One(f64),
    /// At its marks it is lighter under water than its aim allows, by so much, kg.
    TooLightUnder(f64),
    /// At its marks it is heavier under water than its aim allows.
    TooHeavyUnder,
}

fn masses(
    found: ConditionFits<'_>,
    demand: &Demand<'_>,
    target: Target,
    afloat: &Advice,
) -> Result<Masses, BoatError> {
    let Demand { basin, aim, .. } = *demand;
    let may_be_left = target
        .pose()
        .map_or(0.0, |pose| mass_at_the_marks(&found.afloat.found, pose, basin.density));
    let at_the_marks = [afloat.need.mass - may_be_left, afloat.need.mass + may_be_left];
    let under = aim.under.takes(&found.under.found, basin.density)?;
    let (low, high) = (at_the_marks[0].max(under[0]), at_the_marks[1].min(under[1]));
    let spread = found.spread_between(target, basin.density);
    // Ranges that miss each other by no more than the figures' spread count as meeting.
    Ok(if high - low > -2.0 * spread {
        let margin = (2.0 * spread).min((high - low).abs() / 2.0);
        let (low, high) = (low.min(high) + margin, low.max(high) - margin);
        Masses::One(0.0_f64.clamp(low.min(high), low.max(high)))
    } else if under[0] > at_the_marks[1] {
        Masses::TooLightUnder(under[0] - at_the_marks[1])
    } else {
        Masses::TooHeavyUnder
    })
}

/// One weight of this mass, with the moments that the marks ask for.
fn one_weight(
    fit: &Fit,
    afloat: &Advice,
    mass: f64,
    remedy: &Remedy,
    target: Target,
    basin: Basin,
) -> Vec<Step> {
    let matters = [mass.abs() >= GRAM, afloat.matters[1], afloat.matters[2]];
    if matters == [false; 3] {
        return Vec::new();
    }
    let need = Need { mass, ..afloat.need };
    steps(fit, &need, matters, remedy, (target, basin.density))
}

fn can_be_followed(advice: &Advice) -> bool {
    matches!(advice.verdict, Verdict::LeaveIt | Verdict::Do)
}

/// The lowest place for weight that is above the water when the boat is at its marks. Water comes to it under
/// water, whatever it is called: foam that stays dry lifts nothing.
pub(super) fn above_the_water(places: &[Place], target: Target) -> Option<Place> {
    let pose = target.pose()?;
    let water = pose.water_height_at(0.0, 0.0);
    let above = places.iter().filter(|place| place.z > water);
    let lowest = above.min_by(|a, b| a.z.total_cmp(&b.z))?;
    Some(Place { medium: Medium::Wet, ..lowest.clone() })
}
