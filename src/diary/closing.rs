//! Predictions, each closed by the reading that followed.

use super::found_record::{EstimateRecord, ForetoldRecord};
use super::reading_record::{ConditionRecord, FiguresRecord, MarkReading, ReadingRecord};
use super::session_record::{DoneRecord, Entry, EntryRecord, SessionRecord};
use crate::ballast::LEVEL;
use crate::fit::Estimate;
use crate::reading::{ANGLE_SPREAD, MARK_SPREAD, RESIDUAL_SPREAD};
use crate::unit::DEGREE;
use std::collections::HashMap;

/// Which figure was predicted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Figure {
    /// List, degrees, positive to starboard.
    List,
    /// Trim, degrees, positive bow down.
    Trim,
    /// Residual mass under water, kg, positive heavy.
    Residual,
    /// The water at the mark of this name, metres above it.
    Mark(String),
}

/// One figure that was predicted and then read, in the unit of its [`Figure`].
#[derive(Debug, Clone, PartialEq)]
pub struct ClosedFigure {
    /// Which.
    pub figure: Figure,
    /// The predicted value.
    pub foretold: Estimate,
    /// What was read, without what lay aboard for the reading, with the spread of such readings as it was stated
    /// with the advice; with its own if it was read more roughly.
    pub got: Estimate,
}

impl ClosedFigure {
    /// How much higher the reading was than the prediction.
    pub fn difference(&self) -> f64 {
        self.got.value - self.foretold.value
    }

    /// Expected spread of the difference, one standard deviation: the ± by which it is judged, and
    /// which is shown.
    pub fn spread(&self) -> f64 {
        self.got.spread.hypot(self.foretold.spread)
    }

    /// True when the difference is within two of its spreads; none if they are so wide that a boat
    /// which is not level would pass too.
    pub fn came_true(&self) -> Option<bool> {
        let too_rough = match self.figure {
            Figure::List | Figure::Trim => self.spread() > LEVEL / DEGREE,
            Figure::Residual | Figure::Mark(_) => false,
        };
        (!too_rough).then(|| self.difference().abs() <= 2.0 * self.spread())
    }
}

/// Whether the advice was followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Followed {
    /// It was noted as done.
    Done,
    /// Nothing was to be done.
    NothingToDo,
    /// Nobody noted whether it was done.
    NotKnown,
}

/// Why the reading that followed cannot judge a prediction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotComparable {
    /// It was in other water.
    Water,
    /// The tanks were at another fill.
    Fill,
    /// Something lay aboard, and its effect is not known.
    Aboard,
    /// Something else was done to the boat besides, or in place of it.
    OtherSteps,
    /// Nothing was to be done, and yet the boat's description was changed.
    Boat,
    /// It has the same figures to the last digit although something was done: perhaps nobody read
    /// again.
    SameFigures,
}

/// Where a reading stands in the diary.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryPlace {
    /// The session's identity.
    pub session: String,
    /// The entry's identity in it.
    pub entry: String,
    /// When it was, ISO 8601 in UTC.
    pub at: String,
}

/// An advice and the reading of the same boat in the same condition that followed.
#[derive(Debug, Clone, PartialEq)]
pub struct Closing {
    /// The boat's identity.
    pub boat: String,
    /// At the surface or under.
    pub condition: ConditionRecord,
    /// The reading after which it was foretold.
    pub advice: EntryPlace,
    /// The reading that followed.
    pub reading: EntryPlace,
    /// Whether the advice was followed.
    pub followed: Followed,
    /// Why the two cannot be compared; empty if they can.
    pub unlike: Vec<NotComparable>,
    /// The figures that were foretold and then read; none if the two have none in common.
    pub figures: Vec<ClosedFigure>,
}

impl Closing {
    /// True when the reading can judge what was foretold.
    pub fn is_fair(&self) -> bool {
        self.unlike.is_empty()
    }

    /// Whether all came true; none if there is nothing to judge.
    pub fn came_true(&self) -> Option<bool> {
        let mut judged = self.figures.iter().filter_map(ClosedFigure::came_true).peekable();
        let any = self.is_fair() && judged.peek().is_some();
        any.then(|| judged.all(|came_true| came_true))
    }
}

/// Water whose densities differ by less is the same water, kg/m³: a boat that draws 0.2 m rises by a
/// fifth of [`MARK_SPREAD`].
const SAME_WATER: f64 = 1.0;
/// Fills that differ by less are the same.
const SAME_FILL: f64 = 0.005;
/// A mark that moved by less is at the same place, metres.
const SAME_PLACE: f64 = 0.5e-3;

/// Closes what was foretold while the sessions of the diary, of any boats, are walked in the order of
/// time, a few at a time or all at once: what one leaves open, a later one of the same boat closes.
#[derive(Debug, Clone, Default)]
pub struct Closings {
    open: HashMap<String, Vec<Open>>,
}

/// Closes what was foretold in these sessions, which are in the order of time.
pub fn closings<'a>(sessions: impl IntoIterator<Item = &'a SessionRecord>) -> Vec<Closing> {
    let mut all = Closings::default();
    sessions.into_iter().flat_map(|session| all.add(session)).collect()
}

impl Closings {
    /// Takes the next session and gives what its readings close.
    pub fn add(&mut self, session: &SessionRecord) -> Vec<Closing> {
        let open = self.open.entry(session.boat.clone()).or_default();
        let mut closed = Vec::new();
        let mut last = None;
        for entry in &session.entries {
            match &entry.what {
                Entry::Done(done) => {
                    note(open, &session.id, done);
                    last = last.map(|kept| Last { done_since: true, ..kept });
                }
                Entry::Run(_) => last = None,
                Entry::NewBoat(_) => {
                    // Nothing was foretold of this one.
                    open.clear();
                    last = None;
                }
                Entry::Reading(reading) => {
                    closed.extend(take_reading(open, session, (entry, reading), last));
                    last = Some(Last { entry, reading, done_since: false });
                }
                _ => {}
            }
        }
        closed
    }
}

/// The last reading, with nothing after it but what was done.
#[derive(Clone, Copy)]
struct Last<'a> {
    entry: &'a EntryRecord,
    reading: &'a ReadingRecord,
    done_since: bool,
}

/// Takes the next reading of a session; what it closes.
fn take_reading(
    open: &mut Vec<Open>,
    session: &SessionRecord,
    (entry, reading): (&EntryRecord, &ReadingRecord),
    last: Option<Last<'_>>,
) -> Option<Closing> {
    if let Some(kept) = last.filter(|l| !l.done_since && l.reading.is_same(reading)) {
        // The same reading, kept twice: files of older apps have such copies.
        if let Some(first) = open.iter_mut().find(|o| o.is_of(&session.id, &kept.entry.id)) {
            first.copies.push(entry.id.clone());
        }
        return None;
    }
    let here = open.iter().position(|o| o.condition == reading.condition);
    let closed = here.map(|at| {
        let mut closed = open.remove(at).closed_by(session, entry, reading);
        let again = last.is_some_and(|l| l.reading.says_the_same(reading));
        closed.unlike.extend(again.then_some(NotComparable::SameFigures));
        closed
    });
    open.extend(Open::of(session, entry, reading));
    closed
}

/// A prediction that no reading has closed yet. Those of a boat are in the order of time.
#[derive(Debug, Clone)]
struct Open {
    place: EntryPlace,
    /// Entries of the same session that hold the same reading once more.
    copies: Vec<String>,
    condition: ConditionRecord,
    foretold: ForetoldRecord,
    density: f64,
    fill: f64,
    state: String,
    marks: Vec<MarkReading>,
    done: bool,
    done_otherwise: bool,
}

/// Notes on each prediction of the boat that something was done.
fn note(open: &mut [Open], session: &str, done: &DoneRecord) {
    let last = open.len();
    for (k, foretold) in open.iter_mut().enumerate() {
        // What is noted without saying for which advice was for the last one.
        let its_own = if done.after.is_empty() {
            k + 1 == last
        } else {
            foretold.is_of(session, &done.after)
        };
        if its_own && !foretold.foretold.as_it_is && !done.otherwise {
            foretold.done = true;
        } else {
            foretold.done_otherwise = true;
        }
    }
}

impl Open {
    fn of(session: &SessionRecord, entry: &EntryRecord, reading: &ReadingRecord) -> Option<Self> {
        Some(Self {
            place: place(session, entry),
            copies: Vec::new(),
            condition: reading.condition,
            foretold: reading.foretold.clone()?,
            density: reading.water_density_kg_m3,
            fill: reading.fill,
            state: reading.state.clone(),
            marks: reading.marks.clone(),
            done: false,
            done_otherwise: false,
        })
    }

    /// True when it was foretold in that entry of a session, or in a copy of it.
    fn is_of(&self, session: &str, entry: &str) -> bool {
        let in_it = self.place.entry == entry || self.copies.iter().any(|copy| copy == entry);
        in_it && self.place.session == session
    }

    fn closed_by(
        self,
        session: &SessionRecord,
        entry: &EntryRecord,
        reading: &ReadingRecord,
    ) -> Closing {
        let followed = match (self.done, self.foretold.as_it_is) {
            (true, _) => Followed::Done,
            (false, true) => Followed::NothingToDo,
            (false, false) => Followed::NotKnown,
        };
        let alone = reading.figures();
        let unlike = self.unlike(reading, alone.is_some());
        let got = alone.unwrap_or_else(|| reading.as_read());
        let figures = self.figures(reading, &got);
        let Self { place: advice, condition, .. } = self;
        let boat = session.boat.clone();
        Closing {
            boat,
            condition,
            advice,
            reading: place(session, entry),
            followed,
            unlike,
            figures,
        }
    }

    fn unlike(&self, reading: &ReadingRecord, alone: bool) -> Vec<NotComparable> {
        let states_known = !self.state.is_empty() && !reading.state.is_empty();
        // After steps that were done, a description that changed is the ballast being entered.
        let boat = self.foretold.as_it_is && states_known && self.state != reading.state;
        let reasons = [
            (differ(reading.water_density_kg_m3, self.density, SAME_WATER), NotComparable::Water),
            (differ(reading.fill, self.fill, SAME_FILL), NotComparable::Fill),
            (!alone, NotComparable::Aboard),
            (self.done_otherwise, NotComparable::OtherSteps),
            (boat, NotComparable::Boat),
        ];
        reasons.into_iter().filter_map(|(holds, reason)| holds.then_some(reason)).collect()
    }

    fn figures(&self, reading: &ReadingRecord, got: &FiguresRecord) -> Vec<ClosedFigure> {
        let ForetoldRecord { list_deg, trim_deg, residual_kg, marks, .. } = &self.foretold;
        let by_water = self.by_other_water(reading);
        let residual_got = got.residual_kg.filter(|_| by_water.is_some());
        let residual_spread = RESIDUAL_SPREAD.hypot(by_water.unwrap_or_default());
        let own = reading.angle_spread_deg.unwrap_or_default();
        let angle = own.max(ANGLE_SPREAD / DEGREE);
        let mut figures = Vec::new();
        let mut add = |figure, foretold: Option<&EstimateRecord>, got: Option<f64>, spread| {
            let (Some(foretold), Some(value)) = (foretold, got) else { return };
            let got = Estimate::new(value, spread);
            figures.push(ClosedFigure { figure, foretold: foretold.into(), got });
        };
        add(Figure::List, list_deg.as_ref(), got.list_deg, angle);
        add(Figure::Trim, trim_deg.as_ref(), got.trim_deg, angle);
        add(Figure::Residual, residual_kg.as_ref(), residual_got, residual_spread);
        for mark in marks {
            let read = got.marks.iter().find(|m| m.name == mark.name);
            let here = read.filter(|read| self.has_not_moved(read)).map(|read| read.above_m);
            add(Figure::Mark(mark.name.clone()), Some(&mark.above_m), here, MARK_SPREAD);
        }
        figures
    }

    /// How much the residual mass may differ because of the water, kg: at most the difference in
    /// weight of the displaced water. None if that is not known.
    fn by_other_water(&self, reading: &ReadingRecord) -> Option<f64> {
        let heavier = (reading.water_density_kg_m3 / self.density - 1.0).abs();
        let mass = reading.found.as_ref().map(|found| heavier * found.mass_kg.value.abs());
        mass.or((heavier == 0.0).then_some(0.0))
    }

    fn has_not_moved(&self, mark: &MarkReading) -> bool {
        let before = self.marks.iter().find(|m| m.name == mark.name);
        before.is_none_or(|before| {
            let moved = before.at_m.iter().zip(mark.at_m).map(|(from, to)| (to - from).abs());
            moved.fold(0.0, f64::max) < SAME_PLACE
        })
    }
}

/// True when two figures are farther apart than `by`, or one is not a number.
fn differ(a: f64, b: f64, by: f64) -> bool {
    let near = (a - b).abs() <= by;
    !near
}

fn place(session: &SessionRecord, entry: &EntryRecord) -> EntryPlace {
    EntryPlace { session: session.id.clone(), entry: entry.id.clone(), at: entry.at.clone() }
}
