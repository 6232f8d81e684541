//! The answer: what a reading told, what to do about it, and how the boat lies after that both ways.

use super::changed::{Change, Suspect};
use super::evidence::Evidence;
use super::fill::read_fill;
use super::fitted::{Fitted, Refusal, fitted};
use super::own::Own;
use super::ready_boat::ReadyBoat;
use super::typed::{AdviceRequest, read_typed, read_water};
use super::wrong::Unreadable;
use crate::ballast::{
    Advice, BothConditions, ConditionFits, Demand, ForBoth, Forecast, LIES_OVER, Remedy, Step,
    Target, Verdict, advise, for_both, forecast,
};
use crate::diary::Draft;
use crate::fit::{Fit, Sighting, Unknown};
use crate::float::{Basin, BoatError};
use crate::material::FOAM_BOARD;
use crate::pause::Pause;
use crate::reading::{ANGLE_SPREAD, Condition, Observation, Reading, Seen};

/// What there is to say about what is typed.
#[derive(Debug, Clone)]
pub enum Answer {
    /// Some fields cannot be read.
    BadFields(Vec<Unreadable>),
    /// Nothing was read yet; how the boat would lie by its description.
    NothingRead(Box<Forecast>),
    /// There is no answer: why.
    Refused(Refusal),
    /// What to do.
    Advised(Box<Advised>),
}

/// A reading, what it told, and what to do about it.
#[derive(Debug, Clone)]
pub struct Advised {
    /// The reading.
    pub reading: Reading,
    /// How full the tanks were, 0 to 1.
    pub fill: f64,
    /// What it told.
    pub fit: Fit,
    /// It does not go with what was seen in the same condition before: what may have happened. It counts by itself.
    pub changed: Option<Change>,
    /// What a reading in the other condition told of the boat as it is now, if there is one.
    pub other: Option<Fit>,
    /// What to do.
    pub advice: Advice,
    /// How the boat lies after that, afloat and under.
    pub after: BothConditions,
    /// It was right in the other condition, and would not be after that.
    pub spoils_the_other: bool,
    /// What was read in this condition alone would have spoilt the other one: this is what serves both.
    pub for_both: Option<ForBoth>,
    /// What is to be shifted, if that is what was chosen.
    pub shifted: Option<Shifted>,
}

/// What the builder chose to shift.
#[derive(Debug, Clone, PartialEq)]
pub struct Shifted {
    /// The part's name; none for a mere weight.
    pub part: Option<String>,
    /// What it counts in the water, kg.
    pub mass: f64,
}

impl Advised {
    /// What was found of the boat in each condition.
    pub fn fits(&self) -> ConditionFits<'_> {
        ConditionFits::of(self.reading.condition, &self.fit, self.other.as_ref())
    }

    /// True where [`Self::suspects`] are those of another answer too.
    pub fn has_suspects_of(&self, other: &Self) -> bool {
        let (Some(change), Some(before)) = (&self.changed, &other.changed) else { return false };
        change.known == before.known
            && self.fill.total_cmp(&other.fill).is_eq()
            && self.reading == other.reading
    }

    /// What may have happened to a boat that is not the one that was read before, the likeliest first; nothing where
    /// it is. With pauses: all that is tried takes longer than a frame.
    pub async fn suspects(&self, hand: &ReadyBoat, due: Pause<'_>) -> Vec<Suspect> {
        let Some(change) = &self.changed else { return Vec::new() };
        match hand.sighting(self.reading.clone(), self.fill) {
            Ok(Sighting::Wet(wet)) => change.suspects(hand, (&wet, self.fill), due).await,
            Ok(Sighting::Dry(_)) | Err(_) => Vec::new(),
        }
    }
}

/// Answers what is typed for a boat; `evidence` is what was read of it before on the same outing.
pub fn answer(hand: &ReadyBoat, draft: &Draft, own: Own<'_>, evidence: &Evidence) -> Answer {
    let density = match read_water(&draft.water) {
        Ok((_, density)) => density,
        Err(wrong) => return Answer::BadFields(vec![wrong]),
    };
    match read_typed(draft, hand, density, own) {
        Err(wrong) => Answer::BadFields(wrong),
        Ok(Some(asked)) => look_at(hand, asked, evidence)
            .map_or_else(Answer::Refused, |advised| Answer::Advised(Box::new(advised))),
        Ok(None) => match as_described(hand, draft, density) {
            Ok(lies) => Answer::NothingRead(Box::new(lies)),
            Err(why) => Answer::Refused(why.into()),
        },
    }
}

/// How a boat lies by its description in the state of the draft; a fill that cannot be read counts as
/// not typed.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive.
pub fn as_described(hand: &ReadyBoat, draft: &Draft, density: f64) -> Result<Forecast, BoatError> {
    let fill = read_fill(draft, hand).unwrap_or(1.0);
    let model = hand.model.flooded(fill, density)?;
    forecast(&model, Basin::deep(density), draft.condition.into(), None, &hand.boat.marks)
}

/// Looks at a reading: how far the boat is off, what to do about it, and what comes of that. `evidence` is what was
/// read of it before on the same outing; where it was read in the other condition too, nothing is advised that
/// would spoil it there.
///
/// # Errors
/// [`Refusal`] when the reading fits no such boat, or the boat cannot be calculated.
pub fn look_at(
    hand: &ReadyBoat,
    asked: AdviceRequest,
    evidence: &Evidence,
) -> Result<Advised, Refusal> {
    let AdviceRequest { reading, fill, remedy, part } = asked;
    let known = evidence.before(&reading, fill);
    let Fitted { mut fit, differs, changed } = fitted(hand, reading.clone(), fill, known)?;
    fit.lay_over = evidence.lay_over(LIES_OVER);
    let other = evidence.found(hand, reading.condition.other(), &fit, differs);
    let other = if changed.is_some() { None } else { other };
    let marks = &hand.boat.marks;
    let target = match reading.condition {
        Condition::Under => Target::Under(hand.aim.under),
        Condition::Afloat => Target::at_the_marks(marks).ok_or(Refusal::NoMarks)?,
    };
    let basin = Basin::deep(reading.water_density);
    let advice = advise(&fit, basin, target, marks, &remedy)?;
    let tells_mass = !fit.untold.contains(&Unknown::Mass);
    let is_under = reading.condition == Condition::Under;
    let advice = if hand.tank_is_untold && is_under && tells_mass {
        advice.waits_for(Verdict::TankUntold)
    } else if advice.verdict == Verdict::LeaveIt
        && !advice.now.is_level()
        && by_rough_phone(&reading)
    {
        advice.waits_for(Verdict::ZeroFirst)
    } else {
        advice
    };
    let lies = FoundBoat {
        hand,
        basin,
        found: ConditionFits::of(reading.condition, &fit, other.as_ref()),
    };
    // Read afloat with its tanks blown, the advice foretells just that.
    let is_foretold = reading.condition == Condition::Afloat && fill <= 0.0;
    let afloat = is_foretold.then(|| advice.after.clone());
    let after = lies.after(&advice.steps, afloat)?;
    let lower = lies.lacking_height(&after, &advice)?;
    let advice = match lower.filter(|_| is_under && fit.untold.is_empty()) {
        Some(moment) if advice.verdict == Verdict::LeaveIt => {
            advice.waits_for(Verdict::Lower { moment })
        }
        _ => advice,
    };
    let unseen = reading.condition.other();
    let spoils = !advice.steps.is_empty() && !after.is_right(unseen);
    let for_both = if spoils && other.is_some() { lies.for_both(&remedy)? } else { None };
    let (advice, after) = match &for_both {
        Some(serves) => {
            let [boat, diver] = lies.found.after(serves.steps())?;
            let done = if reading.condition == Condition::Afloat { boat } else { diver };
            let lies_then = forecast(&done, basin, reading.condition, target.pose(), marks)?;
            let after = lies.after(serves.steps(), None)?;
            (advice.replaced(serves.clone(), lies_then), after)
        }
        None => (advice, after),
    };
    let spoils_the_other = spoils && for_both.is_none() && lies.after(&[], None)?.is_right(unseen);
    let shifted = match remedy {
        Remedy::Shift { mass } if for_both.is_none() => Some(Shifted { part, mass }),
        Remedy::Shift { .. } | Remedy::Weight { .. } => None,
    };
    Ok(Advised {
        reading,
        fill,
        fit,
        changed,
        other,
        advice,
        after,
        spoils_the_other,
        for_both,
        shifted,
    })
}

/// Whether a phone told an angle before its zero was found.
fn by_rough_phone(reading: &Reading) -> bool {
    let is_rough = |o: &Observation| {
        matches!(o.seen, Seen::List(_) | Seen::Trim(_)) && o.spread > ANGLE_SPREAD
    };
    reading.observations.iter().any(is_rough)
}

/// A boat as it was found, to be put into the water both ways.
struct FoundBoat<'a> {
    hand: &'a ReadyBoat,
    basin: Basin,
    found: ConditionFits<'a>,
}

impl FoundBoat<'_> {
    /// By what moment weight must come lower so that it hangs level after an advice.
    fn lacking_height(
        &self,
        after: &BothConditions,
        advice: &Advice,
    ) -> Result<Option<f64>, BoatError> {
        let [_, diver] = self.found.after(&advice.steps)?;
        after.lacking_height(&diver, self.basin.density)
    }

    fn after(&self, steps: &[Step], afloat: Option<Forecast>) -> Result<BothConditions, BoatError> {
        let [boat, diver] = self.found.after(steps)?;
        let spread = self.found.under.residual_spread(self.basin.density);
        let ReadyBoat { aim, boat: described, .. } = self.hand;
        BothConditions::of([&boat, &diver], self.basin, *aim, &described.marks, spread, afloat)
    }

    fn for_both(&self, remedy: &Remedy) -> Result<Option<ForBoth>, BoatError> {
        let ReadyBoat { aim, boat, .. } = self.hand;
        let demand = Demand {
            basin: self.basin,
            aim: *aim,
            marks: &boat.marks,
            places: &boat.places,
            foam: FOAM_BOARD.density,
        };
        for_both(self.found, &demand, remedy)
    }
}
