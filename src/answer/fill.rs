//! How full the tanks are, as typed: in per cent, by volume, or by the time that they flooded. What comes of
//! it is always a share.

use super::ready_boat::ReadyBoat;
use super::wrong::{Field, Unreadable, WrongFigure};
use crate::diary::{ConditionRecord, Draft, FillUnit};
use crate::unit::{Decimal, NumberError, Unit, Units, read_number, read_number_within};

/// Fills closer than this count as the same when written in another unit, as a share: far finer
/// than [`crate::reading::FILL_SPREAD`], and coarse enough that a figure comes back as it was
/// typed.
const BLUR: f64 = 1e-4;
/// Decimals of such a figure at the most.
const MOST_DECIMALS: usize = 3;

/// In what the fill of this boat's tanks can be typed; nothing without tanks.
pub fn fill_units(hand: &ReadyBoat) -> Vec<FillUnit> {
    let units = [FillUnit::Percent, FillUnit::Volume, FillUnit::Seconds];
    let has_tanks = hand.model.n_tanks() > 0;
    let can = |unit: &FillUnit| has_tanks && scale(hand, *unit, Units::METRIC).is_some();
    units.into_iter().filter(can).collect()
}

/// A unit of the fill, and what full tanks have of it beyond blown ones, in SI; none where the boat does not
/// say.
fn scale(hand: &ReadyBoat, unit: FillUnit, units: Units) -> Option<(Unit, f64)> {
    match unit {
        FillUnit::Percent => Some((Unit::PERCENT, 1.0)),
        FillUnit::Volume => Some((units.liquid_unit(), hand.model.usable_volume())),
        FillUnit::Seconds => hand.floods.as_ref().map(|floods| (Unit::SECONDS, floods.lasts())),
    }
}

/// How full the tanks are, 0 to 1: empty afloat; under, as typed, and full if nothing is.
///
/// # Errors
/// [`Unreadable`] when it is no fill that these tanks can have.
pub fn read_fill(draft: &Draft, hand: &ReadyBoat) -> Result<f64, Unreadable> {
    if draft.condition == ConditionRecord::Afloat {
        return Ok(0.0);
    }
    if draft.fill.trim().is_empty() || hand.model.n_tanks() == 0 {
        return Ok(1.0);
    }
    read_share(draft, hand).map_err(|why| Unreadable::new(Field::Fill, why))
}

/// The share that is typed. A figure that is full when it is written as full tanks are, is full.
fn read_share(draft: &Draft, hand: &ReadyBoat) -> Result<f64, WrongFigure> {
    let (text, fill_in) = (&draft.fill, draft.fill_in);
    if fill_in == FillUnit::Percent {
        return Ok(read_number_within(text, 0.0, 100.0)? / 100.0);
    }
    let (unit, full) = scale(hand, fill_in, draft.units.into()).ok_or(WrongFigure::NoFloodTime)?;
    let value = read_number(text)?;
    if value < 0.0 {
        return Err(NumberError::OutOfRange { value, low: 0.0, high: unit.limit(full) }.into());
    }
    let typed = unit.si(value);
    let is_full = typed > 0.0 && (typed - full).abs() <= unit.coarse_step() / 2.0;
    match (fill_in, &hand.floods) {
        _ if is_full => Ok(1.0),
        (FillUnit::Seconds, _) if typed > full => Err(WrongFigure::LongerThanToFull(full)),
        (FillUnit::Seconds, Some(floods)) => Ok(floods.fill(typed)),
        _ if typed > full => Err(WrongFigure::BeyondFull(full)),
        _ if full > 0.0 => Ok(typed / full),
        _ => Ok(0.0),
    }
}

/// Types a fill (a share, 0 to 1) in the unit of a draft; in per cent where the boat does not have that unit.
pub fn set_fill(draft: &mut Draft, hand: &ReadyBoat, share: f64, decimal: Decimal) {
    let (unit, full) = scale(hand, draft.fill_in, draft.units.into()).unwrap_or_else(|| {
        draft.fill_in = FillUnit::Percent;
        (Unit::PERCENT, 1.0)
    });
    let amount = match (draft.fill_in, &hand.floods) {
        (FillUnit::Seconds, Some(floods)) => floods.time_of(share),
        _ => share * full,
    };
    // With as few digits as tell it.
    for decimals in 0..=MOST_DECIMALS {
        draft.fill = decimal.write_short(unit.of(amount), decimals);
        if read_share(draft, hand).is_ok_and(|read| (read - share).abs() <= BLUR) {
            break;
        }
    }
}

/// Goes over to another unit of the fill: what stands typed is written in it. What cannot be read stays as
/// it was typed.
pub fn turn_fill(draft: &mut Draft, hand: &ReadyBoat, to: FillUnit, decimal: Decimal) {
    let typed = read_share(draft, hand);
    draft.fill_in = to;
    if let Ok(share) = typed {
        set_fill(draft, hand, share, decimal);
    }
}
