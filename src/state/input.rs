//! What is wrong with typed figures, in words. No browser in here.

use crate::words::speech::speech;
use crate::words::{self, t};
use trimwright::answer::{Field, Unreadable, WrongFigure, read_water};
use trimwright::diary::WaterDraft;
use trimwright::unit::{Celsius, Decimal, Unit, write_plain};
use trimwright::water::Water;

/// What is wrong with a field of the reading, in words.
pub(crate) type FieldProblem = (Field, String);

/// What is wrong with a figure, in words.
pub(super) fn wrong_words(wrong: &Unreadable) -> FieldProblem {
    let words = match &wrong.why {
        WrongFigure::Number(problem) => words::number::number(problem),
        WrongFigure::Water(problem) => words::water::water(problem),
        WrongFigure::BeyondFull(takes) => {
            t!("reading.beyond_full", takes = speech().liquid(*takes))
        }
        WrongFigure::LongerThanToFull(lasts) => {
            t!("reading.longer_than_to_full", time = speech().written(Unit::SECONDS, *lasts, 1))
        }
        WrongFigure::NoFloodTime => t!("reading.no_flood_time"),
    };
    (wrong.field.clone(), words)
}

/// The water's density, kg/m³, and the water in words.
pub(crate) fn parse_water(
    draft: &WaterDraft,
    decimal: Decimal,
) -> Result<(f64, String), FieldProblem> {
    let (water, density) = read_water(draft).map_err(|wrong| wrong_words(&wrong))?;
    let figure = |value: f64| decimal.with_mark(&write_plain(value));
    let words = match water {
        Water::Fresh(Celsius(t)) => t!("water.fresh", temperature = figure(t)),
        Water::Sea { salinity, temperature: Celsius(t) } => {
            t!("water.sea", salinity = figure(salinity), temperature = figure(t))
        }
        Water::Measured(density) => format!("{} kg/m³", figure(density)),
    };
    Ok((density, words))
}
