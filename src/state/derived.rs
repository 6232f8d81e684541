//! Everything that follows from the diary: the boat in hand, its model, the reading, the answer.

use super::input::{Field, FieldProblem, parse_fill, parse_reading, parse_water};
use super::made::{Datum, MadeParts};
use crate::words::speech::{language_of, units_of};
use crate::words::{self, Language, speak_language, t};
use leptos::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;
use trimwright::ballast::{
    Advice, Forecast, Outlook, Remedy, Target, UnderAim, Whole, advise, forecast, outlook,
};
use trimwright::boat::{Boat, can_be_shifted};
use trimwright::diary::{BoatRecord, ConditionRecord, Diary, Draft};
use trimwright::fit::{Fit, ModelSpread, back_solve};
use trimwright::float::{Basin, BoatError, FloatModel};
use trimwright::frame::Pose;
use trimwright::geometry::Fineness;
use trimwright::material::LEAD;
use trimwright::reading::{Condition, Reading};
use trimwright::unit::{GRAM, Units, read_number_within};

/// Density of fresh water of 20 °C, kg/m³, where the water in hand does not matter or is not known.
/// Source: Tanaka et al. 2001, Metrologia 38:301.
const POOL_DENSITY: f64 = 998.2067;

/// The boat in hand, ready for calculation.
#[derive(Debug, Clone)]
pub(crate) struct BoatInHand {
    /// Its identity.
    pub(crate) id: String,
    /// The boat.
    pub(crate) boat: Arc<Boat>,
    /// Its model.
    pub(crate) model: FloatModel,
    /// How far the model may be off.
    pub(crate) spread: ModelSpread,
    /// What is right for it under water.
    pub(crate) aim: UnderAim,
    /// Whether it is a quick boat, whose answers are rougher.
    pub(crate) is_quick: bool,
    /// Where lengths are measured from.
    pub(crate) datum: Datum,
    /// The parts that can be shifted.
    pub(crate) movable: Vec<Movable>,
    /// Its parts as made from the ledger, in its order.
    pub(crate) parts: Arc<MadeParts>,
}

/// A reading, what it told, and what to do about it.
#[derive(Debug, Clone)]
pub(crate) struct Advised {
    /// The reading.
    pub(crate) reading: Reading,
    /// How full the tanks were, 0 to 1.
    pub(crate) fill: f64,
    /// What it told.
    pub(crate) fit: Fit,
    /// What to do.
    pub(crate) advice: Advice,
    /// How the boat lies after that, afloat and under.
    pub(crate) after: Whole,
    /// It was right in the other condition, and would not be after that.
    pub(crate) spoils_the_other: bool,
    /// What is to be shifted, if that is what was chosen.
    pub(crate) shifted: Option<Shifted>,
}

/// What the builder chose to shift.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shifted {
    /// The part's name; none for a mere weight.
    pub(crate) part: Option<String>,
    /// What it counts in the water, kg.
    pub(crate) mass: f64,
}

/// What the Pool screen has to say.
#[derive(Debug, Clone)]
pub(crate) enum Answer {
    /// No boat yet.
    NoBoat,
    /// The boat cannot be calculated: why.
    BadBoat(String),
    /// Some fields cannot be read.
    BadFields(Vec<FieldProblem>),
    /// Nothing was read yet; how the model would lie.
    NothingRead(Box<Forecast>),
    /// The reading gives no answer: why.
    Refused(String),
    /// What to do.
    Advised(Box<Advised>),
}

/// Memos over the diary; a `Copy` handle.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Derived {
    /// In which language the settings want it. What holds words follows it.
    pub(crate) language: Memo<Language>,
    /// In which units, and with which mark, the settings want it.
    pub(crate) units: Memo<Units>,
    /// The record of the boat in hand.
    pub(crate) record: Memo<Option<BoatRecord>>,
    /// Its parts, made.
    pub(crate) parts: Memo<Arc<MadeParts>>,
    /// Where its lengths are measured from.
    pub(crate) datum: Memo<Datum>,
    /// What the boat in hand will do as it is described.
    pub(crate) outlook: Memo<Option<Arc<Outlook>>>,
    /// The boat in hand, none, or why it cannot be used.
    pub(crate) boat: Memo<Option<Result<Arc<BoatInHand>, String>>>,
    /// The draft.
    pub(crate) draft: Memo<Draft>,
    /// The water: density and words.
    pub(crate) water: Memo<Result<(f64, String), FieldProblem>>,
    /// Density of the water, kg/m³; of a pool at 20 °C while it cannot be read.
    pub(crate) density: Memo<f64>,
    /// The answer.
    pub(crate) answer: Memo<Arc<Answer>>,
}

impl Derived {
    /// Builds the memos.
    pub(crate) fn new(diary: RwSignal<Diary>) -> Self {
        let language = Memo::new(move |_| {
            let language = diary.with(|d| language_of(&d.settings));
            // Here, so that what follows it is already said in it.
            speak_language(language);
            language
        });
        let units = Memo::new(move |_| diary.with(|d| units_of(&d.settings)));
        // Nothing follows from what is half typed beside the reading.
        let draft =
            Memo::new(move |_| diary.with(|d| Draft { forms: BTreeMap::new(), ..d.draft.clone() }));
        let record = Memo::new(move |_| diary.with(|d| d.boat(&d.draft.boat).cloned()));
        // Models have no equality: what they are made from has, and is compared before.
        let parts = Memo::new_with_compare(
            move |before: Option<&Arc<MadeParts>>| {
                record.with(|r| Arc::new(MadeParts::of(r.as_ref(), before.map(Arc::as_ref))))
            },
            |_, _| true,
        );
        let datum = Memo::new(move |_| {
            record.with(|r| parts.with(|p| r.as_ref().map_or(Datum::MIDSHIP, |r| p.datum(r))))
        });
        let boat = Memo::new_with_compare(
            move |_| {
                language.track();
                let ready = |r: &BoatRecord| ready(r, parts.get(), datum.get());
                record.with(|r| r.as_ref().map(ready))
            },
            |_, _| true,
        );
        let water = Memo::new(move |_| {
            language.track();
            draft.with(|d| parse_water(&d.water, units.get().decimal))
        });
        let density =
            Memo::new(move |_| water.with(|w| w.as_ref().map_or(POOL_DENSITY, |(d, _)| *d)));
        let outlook = Memo::new_with_compare(
            move |before: Option<&Option<Arc<Outlook>>>| {
                let near = before.and_then(|b| b.as_ref()).and_then(|b| steady(b));
                boat.with(|b| look_ahead(b.as_ref()?.as_ref().ok()?, density.get(), near))
            },
            |_, _| true,
        );
        let answer = Memo::new_with_compare(
            move |_| {
                language.track();
                Arc::new(draft.with(|d| answer(d, boat.get().as_ref(), &water.get())))
            },
            |_, _| true,
        );
        Self { language, units, record, parts, datum, outlook, boat, draft, water, density, answer }
    }

    /// How the boat in hand lies by its description, whatever is typed: what cannot be read counts as not
    /// typed.
    pub(crate) fn described(self) -> Option<Forecast> {
        let boat = self.boat.get();
        let hand = boat.as_ref()?.as_ref().ok()?;
        let (draft, density) = (self.draft.get(), self.density.get());
        let fill = parse_fill(&draft).unwrap_or(1.0);
        let model = hand.model.flooded(fill, density).ok()?;
        as_described(&draft, hand, &model, density).ok()
    }

    /// What is wrong with a field, if something is.
    pub(crate) fn problem(self, field: &Field) -> Option<String> {
        let of = |problems: &[FieldProblem]| {
            problems.iter().find(|(f, _)| f == field).map(|(_, text)| text.clone())
        };
        self.water.with(|w| w.as_ref().err().and_then(|p| of(std::slice::from_ref(p)))).or_else(
            || {
                self.answer.with(|a| match a.as_ref() {
                    Answer::BadFields(problems) => of(problems),
                    _ => None,
                })
            },
        )
    }
}

fn ready(
    record: &BoatRecord,
    parts: Arc<MadeParts>,
    datum: Datum,
) -> Result<Arc<BoatInHand>, String> {
    let boat = if record.quick.is_some() {
        record.boat().map_err(|e| words::record::record(&e))?
    } else {
        parts.boat(record)?
    };
    let model = FloatModel::new(&boat, Fineness::WORK).map_err(|e| words::model::boat(&e))?;
    let movable = if record.quick.is_some() {
        Vec::new()
    } else {
        movable(record, &boat, &model, POOL_DENSITY)
    };
    Ok(Arc::new(BoatInHand {
        id: record.id.clone(),
        movable,
        boat: Arc::new(boat),
        model,
        spread: record.spread(),
        aim: record.under_aim(),
        is_quick: record.quick.is_some(),
        datum,
        parts,
    }))
}

/// The pose of a boat that floats on its keel: a good start for one that differs a little.
fn steady(outlook: &Outlook) -> Option<Pose> {
    outlook.afloat.outcome.afloat().filter(|a| a.stiffness.least > 0.0).map(|a| a.pose)
}

fn look_ahead(hand: &BoatInHand, density: f64, near: Option<Pose>) -> Option<Arc<Outlook>> {
    // A pose far over is no start for the next boat: let that one go upright.
    let near = near.filter(|pose| pose.heel().abs() < 0.1 && pose.trim().abs() < 0.1);
    outlook(&hand.model, Basin::deep(density), near, &hand.boat.marks).ok().map(Arc::new)
}

fn answer(
    draft: &Draft,
    boat: Option<&Result<Arc<BoatInHand>, String>>,
    water: &Result<(f64, String), FieldProblem>,
) -> Answer {
    let hand = match boat {
        None => return Answer::NoBoat,
        Some(Err(why)) => return Answer::BadBoat(why.clone()),
        Some(Ok(hand)) => hand,
    };
    let density = match water {
        Ok((density, _)) => *density,
        Err(problem) => return Answer::BadFields(vec![problem.clone()]),
    };
    let (model, fill) = match flooded(draft, hand, density) {
        Ok(found) => found,
        Err(answer) => return answer,
    };
    let reading = match parse_reading(&askable(draft, hand), &hand.boat, density) {
        Err(problems) => return Answer::BadFields(problems),
        Ok(None) => {
            return match as_described(draft, hand, &model, density) {
                Ok(model) => Answer::NothingRead(Box::new(model)),
                Err(problem) => Answer::BadBoat(words::model::boat(&problem)),
            };
        }
        Ok(Some(reading)) => reading,
    };
    let remedy = match remedy(draft, hand) {
        Ok(remedy) => remedy,
        Err(problem) => return Answer::BadFields(vec![problem]),
    };
    let shifted = match remedy {
        Remedy::Shift { mass } => {
            Some(Shifted { part: part_to_shift(draft, hand).map(|m| m.name.clone()), mass })
        }
        Remedy::Weight { .. } => None,
    };
    let answer = advised(hand, (&model, fill), reading, &remedy);
    answer.map_or_else(Answer::Refused, |a| Answer::Advised(Box::new(Advised { shifted, ..a })))
}

/// How a boat lies by its description in the state of the draft.
fn as_described(
    draft: &Draft,
    hand: &BoatInHand,
    model: &FloatModel,
    density: f64,
) -> Result<Forecast, BoatError> {
    forecast(model, Basin::deep(density), condition_of(draft), None, &hand.boat.marks)
}

/// The boat's model with its tanks as the draft says, and how full they are.
fn flooded(draft: &Draft, hand: &BoatInHand, density: f64) -> Result<(FloatModel, f64), Answer> {
    let fill = parse_fill(draft).map_err(|problem| Answer::BadFields(vec![problem]))?;
    let model = hand.model.flooded(fill, density);
    model.map(|m| (m, fill)).map_err(|problem| Answer::BadBoat(words::model::boat(&problem)))
}

/// The draft without what this boat's model can say nothing about: six numbers do not tell how
/// stiff a boat is under water.
fn askable(draft: &Draft, hand: &BoatInHand) -> Draft {
    let mut draft = draft.clone();
    if hand.is_quick && draft.condition == ConditionRecord::Under {
        draft.list.clear();
        draft.trim.clear();
    }
    draft
}

fn condition_of(draft: &Draft) -> Condition {
    match draft.condition {
        ConditionRecord::Afloat => Condition::Afloat,
        ConditionRecord::Under => Condition::Under,
    }
}

/// A part that can be shifted, and what it counts in the water.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Movable {
    /// The part's name.
    pub(crate) name: String,
    /// Its mass less what it displaces, kg.
    pub(crate) counts: f64,
}

/// The parts of a boat that can be shifted and are worth it: those that weigh ten grams more than they
/// displace. What has a wall is a hull or a housing.
fn movable(record: &BoatRecord, boat: &Boat, model: &FloatModel, density: f64) -> Vec<Movable> {
    const WORTH: f64 = 10.0 * GRAM;
    let hollow = |name: &str| record.parts.iter().any(|p| p.name == name && p.wall.is_some());
    let mut solids = model.solids().iter();
    let can = can_be_shifted(boat, model.solids());
    let parts = boat.parts_aboard().zip(can).map(|(part, can)| {
        let mesh = part.solid.as_ref().and_then(|_| solids.next());
        let counts = part.mass - density * mesh.map_or(0.0, |m| m.volume());
        (can && !hollow(&part.name), Movable { name: part.name.clone(), counts })
    });
    parts.filter(|(can, m)| *can && m.counts > WORTH).map(|(_, m)| m).collect()
}

/// The part that is to be shifted. One that can't be, or is not aboard any more, is not chosen.
fn part_to_shift<'a>(draft: &Draft, hand: &'a BoatInHand) -> Option<&'a Movable> {
    hand.movable.iter().find(|m| m.name == draft.shift_part)
}

/// What the builder is ready to do: shift what is aboard, or weight at the chosen place.
fn remedy(draft: &Draft, hand: &BoatInHand) -> Result<Remedy, FieldProblem> {
    if let Some(part) = part_to_shift(draft, hand) {
        return Ok(Remedy::Shift { mass: part.counts });
    }
    if !draft.shift.trim().is_empty() {
        let unit = Units::from(draft.units).mass_unit();
        let (least, most) = (unit.least(GRAM), unit.limit(hand.model.mass()));
        return match read_number_within(&draft.shift, least, most) {
            Ok(typed) => Ok(Remedy::Shift { mass: unit.si(typed) }),
            Err(problem) => Err((Field::Shift, words::number::number(&problem))),
        };
    }
    let places = &hand.boat.places;
    let chosen = places.iter().find(|p| p.name == draft.place).or(places.first());
    let place = chosen.cloned().unwrap_or(trimwright::boat::Place {
        name: t!("reading.inside"),
        z: 0.0,
        medium: trimwright::boat::Medium::Dry,
    });
    Ok(Remedy::Weight { place, density: LEAD.density })
}

fn advised(
    hand: &BoatInHand,
    (model, fill): (&FloatModel, f64),
    reading: Reading,
    remedy: &Remedy,
) -> Result<Advised, String> {
    let marks = &hand.boat.marks;
    let fit = back_solve(model, &reading, marks, hand.spread).map_err(|e| words::fit::fit(&e))?;
    let target = match reading.condition {
        Condition::Under => Target::Under(hand.aim),
        Condition::Afloat => Target::at_the_marks(marks).ok_or_else(|| t!("fit.no_marks"))?,
    };
    let basin = Basin::deep(reading.water_density);
    let advice = advise(&fit, basin, target, marks, remedy).map_err(|e| words::model::boat(&e))?;
    let spread = fit.mass_error.spread;
    let whole = |boat: &FloatModel| {
        Whole::of(boat, basin, hand.aim, marks, spread).map_err(|e| words::model::boat(&e))
    };
    let done = advice.done_to(&fit.found).map_err(|e| words::model::boat(&e))?;
    let after = whole(&done)?;
    let other = match reading.condition {
        Condition::Afloat => Condition::Under,
        Condition::Under => Condition::Afloat,
    };
    let spoils_the_other =
        !advice.steps.is_empty() && !after.is_right(other) && whole(&fit.found)?.is_right(other);
    Ok(Advised { reading, fill, fit, advice, after, spoils_the_other, shifted: None })
}
