//! The answer: what a reading told, what to do about it, and how the boat lies after that both ways.

use super::fill::read_fill;
use super::hand::Hand;
use super::typed::{Asked, Own, read_typed, read_water};
use super::wrong::Unreadable;
use crate::ballast::{Advice, Forecast, Remedy, Target, Whole, advise, forecast};
use crate::diary::Draft;
use crate::fit::{Fit, FitError, back_solve};
use crate::float::{Basin, BoatError, FloatModel};
use crate::reading::{Condition, FILL_SPREAD, Reading, Seen};

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

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Refusal {
    /// The reading does not fit the boat.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// The boat cannot be calculated.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// The boat has no marks to be brought to.
    #[error("the boat has no marks: give it one at least, on its design waterline")]
    NoMarks,
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
    /// What to do.
    pub advice: Advice,
    /// How the boat lies after that, afloat and under.
    pub after: Whole,
    /// It was right in the other condition, and would not be after that.
    pub spoils_the_other: bool,
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
    /// The condition in which the boat was not read.
    pub fn other(&self) -> Condition {
        match self.reading.condition {
            Condition::Afloat => Condition::Under,
            Condition::Under => Condition::Afloat,
        }
    }
}

/// Answers what is typed for a boat.
pub fn answer(hand: &Hand, draft: &Draft, own: Own<'_>) -> Answer {
    let density = match read_water(&draft.water) {
        Ok((_, density)) => density,
        Err(wrong) => return Answer::BadFields(vec![wrong]),
    };
    match read_typed(draft, hand, density, own) {
        Err(wrong) => Answer::BadFields(wrong),
        Ok(Some(asked)) => {
            look_at(hand, asked).map_or_else(Answer::Refused, |a| Answer::Advised(Box::new(a)))
        }
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
/// [`BoatError`] for water that is not one.
pub fn as_described(hand: &Hand, draft: &Draft, density: f64) -> Result<Forecast, BoatError> {
    let fill = read_fill(draft, hand).unwrap_or(1.0);
    let model = hand.model.flooded(fill, density)?;
    forecast(&model, Basin::deep(density), draft.condition.into(), None, &hand.boat.marks)
}

/// The reading with the ± of a tank that was partly full in that of the weight under water: so much water
/// more or less was aboard.
fn with_fill_spread(hand: &Hand, mut reading: Reading, fill: f64) -> Result<Reading, BoatError> {
    if fill <= 0.0 || fill >= 1.0 {
        return Ok(reading);
    }
    let mass = |share: f64| Ok(hand.model.flooded(share, reading.water_density)?.mass());
    let of_water = FILL_SPREAD * (mass(1.0)? - mass(0.0)?);
    for observation in &mut reading.observations {
        if let Seen::Residual(_) = observation.seen {
            observation.spread = observation.spread.hypot(of_water);
        }
    }
    Ok(reading)
}

/// Looks at a reading: how far the boat is off, what to do about it, and what comes of that.
///
/// # Errors
/// [`Refusal`] when the reading fits no such boat, or the boat cannot be calculated.
pub fn look_at(hand: &Hand, asked: Asked) -> Result<Advised, Refusal> {
    let Asked { reading, fill, remedy, part } = asked;
    let reading = with_fill_spread(hand, reading, fill)?;
    let marks = &hand.boat.marks;
    let model = hand.model.flooded(fill, reading.water_density)?;
    let fit = back_solve(&model, &reading, marks, hand.spread)?;
    let target = match reading.condition {
        Condition::Under => Target::Under(hand.aim),
        Condition::Afloat => Target::at_the_marks(marks).ok_or(Refusal::NoMarks)?,
    };
    let basin = Basin::deep(reading.water_density);
    let advice = advise(&fit, basin, target, marks, &remedy)?;
    let spread = fit.mass_error.spread;
    let whole = |boat: &FloatModel, afloat| Whole::of(boat, basin, hand.aim, marks, spread, afloat);
    // Read afloat with its tanks blown, the advice foretells just that.
    let is_foretold = reading.condition == Condition::Afloat && fill <= 0.0;
    let afloat = is_foretold.then(|| advice.after.clone());
    let after = whole(&advice.done_to(&fit.found)?, afloat)?;
    let shifted = match remedy {
        Remedy::Shift { mass } => Some(Shifted { part, mass }),
        Remedy::Weight { .. } => None,
    };
    let acts = !advice.steps.is_empty();
    let mut advised =
        Advised { reading, fill, fit, advice, after, spoils_the_other: false, shifted };
    let other = advised.other();
    advised.spoils_the_other =
        acts && !advised.after.is_right(other) && whole(&advised.fit.found, None)?.is_right(other);
    Ok(advised)
}
