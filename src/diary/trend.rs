//! How one boat lay, session after session.

use super::closing::EntryPlace;
use super::found_record::UnknownRecord;
use super::reading_record::{ConditionRecord, FiguresRecord, ReadingRecord};
use super::session_record::SessionRecord;
use crate::fit::Estimate;
use crate::reading::{ANGLE_SPREAD, MARK_SPREAD, RESIDUAL_SPREAD};
use crate::unit::DEGREE;

/// What is followed from session to session.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// List, degrees, positive to starboard.
    List,
    /// Trim, degrees, positive bow down.
    Trim,
    /// The water at the mark that is farthest from it, metres above the mark.
    Waterline,
    /// Residual mass under water, kg, positive heavy.
    Residual,
    /// The boat's mass as found, kg.
    Mass,
    /// Its centre of gravity forward of the model's as found, metres.
    Forward,
    /// Its centre of gravity to port of the model's as found, metres.
    ToPort,
}

/// How the boat lay at the end of one session: its last reading in one condition.
#[derive(Debug, Clone, PartialEq)]
pub struct TrendRow {
    /// The reading.
    pub place: EntryPlace,
    /// It lay as it should.
    pub good: bool,
    /// The figures include something aboard, of unknown effect.
    pub laden: bool,
    list: Option<Estimate>,
    trim: Option<Estimate>,
    waterline: Option<Estimate>,
    residual: Option<Estimate>,
    mass: Option<Estimate>,
    forward: Option<Estimate>,
    to_port: Option<Estimate>,
}

/// One boat in one condition, session after session, as they come.
#[derive(Debug, Clone, PartialEq)]
pub struct Trend {
    boat: String,
    condition: ConditionRecord,
    /// The sessions in which it was read, in the order in which they came.
    pub rows: Vec<TrendRow>,
}

/// One point of a series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrendPoint<'a> {
    /// The session and reading that it is from.
    pub row: &'a TrendRow,
    /// The value with its spread, in the unit of the [`Quantity`]. The spread itself is a trend too:
    /// of how well the boat is known.
    pub estimate: Estimate,
}

impl Trend {
    /// No session yet of a boat, by its identity, in a condition.
    pub fn new(boat: impl Into<String>, condition: ConditionRecord) -> Self {
        Self { boat: boat.into(), condition, rows: Vec::new() }
    }

    /// Takes the next session in the order of time; those of other boats, and those without a reading
    /// in this condition, are passed over.
    pub fn add(&mut self, session: &SessionRecord) {
        if session.boat != self.boat {
            return;
        }
        let here = |reading: &ReadingRecord| reading.condition == self.condition;
        let last = session.readings().rev().find(|(_, reading)| here(reading));
        self.rows.extend(last.map(|(entry, reading)| {
            let place = EntryPlace {
                session: session.id.clone(),
                entry: entry.id.clone(),
                at: entry.at.clone(),
            };
            TrendRow::of(place, reading)
        }));
    }
}

impl TrendRow {
    fn of(place: EntryPlace, reading: &ReadingRecord) -> Self {
        let alone = reading.figures();
        let laden = alone.is_none();
        let figures = alone.unwrap_or_else(|| reading.as_read());
        let read = |value: Option<f64>, spread| value.map(|value| Estimate::new(value, spread));
        let found = reading.found.as_ref();
        let told = |unknown| found.filter(|found| !found.untold.contains(&unknown));
        Self {
            place,
            good: reading.good,
            laden,
            list: read(figures.list_deg, ANGLE_SPREAD / DEGREE),
            trim: read(figures.trim_deg, ANGLE_SPREAD / DEGREE),
            waterline: read(worst_mark(&figures), MARK_SPREAD),
            residual: read(figures.residual_kg, RESIDUAL_SPREAD),
            mass: told(UnknownRecord::Mass).map(|found| Estimate::from(&found.mass_kg)),
            forward: told(UnknownRecord::Along).map(|found| Estimate::from(&found.forward_m)),
            to_port: told(UnknownRecord::Across).map(|found| Estimate::from(&found.to_port_m)),
        }
    }

    /// A quantity with its spread, if it was read or found.
    pub fn estimate(&self, quantity: Quantity) -> Option<Estimate> {
        match quantity {
            Quantity::List => self.list,
            Quantity::Trim => self.trim,
            Quantity::Waterline => self.waterline,
            Quantity::Residual => self.residual,
            Quantity::Mass => self.mass,
            Quantity::Forward => self.forward,
            Quantity::ToPort => self.to_port,
        }
    }
}

/// The water at the mark that is farthest from it.
fn worst_mark(figures: &FiguresRecord) -> Option<f64> {
    let above = figures.marks.iter().map(|mark| mark.above_m);
    above.max_by(|a, b| a.abs().total_cmp(&b.abs()))
}
