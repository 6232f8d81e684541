//! What is typed at the pool's edge, read: every figure that is wrong is named with its field.

use super::fill::read_fill;
use super::own::Own;
use super::phone::phone_place;
use super::ready_boat::{Movable, ReadyBoat};
use super::weight::read_weight;
use super::wrong::{Field, Unreadable};
use crate::ballast::Remedy;
use crate::boat::{Boat, Mark};
use crate::diary::{ConditionRecord, Draft, WaterDraft, WaterKind, figure_name};
use crate::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, PHONE_PLACED, RESIDUAL_SPREAD,
    Reading, Seen, UNZEROED_SPREAD,
};
use crate::unit::{Celsius, DEGREE, GRAM, Units, read_number, read_number_within};
use crate::water::{Water, WaterError};

/// What was read of a boat and what its builder is ready to do about it.
#[derive(Debug, Clone, PartialEq)]
pub struct AdviceRequest {
    /// What was seen.
    pub reading: Reading,
    /// How full the tanks were, 0 (blown) to 1 (full).
    pub fill: f64,
    /// What may be done.
    pub remedy: Remedy,
    /// The part that is to be shifted, if one was chosen.
    pub part: Option<String>,
}

/// Collects what is wrong while fields are read.
#[derive(Default)]
struct TypedReader {
    wrong: Vec<Unreadable>,
}

impl TypedReader {
    /// The number in a field that may be empty, within limits.
    fn optional(&mut self, field: Field, text: &str, low: f64, high: f64) -> Option<f64> {
        if text.trim().is_empty() {
            return None;
        }
        match read_number_within(text, low, high) {
            Ok(value) => Some(value),
            Err(why) => {
                self.wrong.push(Unreadable::new(field, why));
                None
            }
        }
    }
}

/// The water that is typed, with its density, kg/m³.
///
/// # Errors
/// [`Unreadable`] when a figure is not a number, or not possible for water.
pub fn read_water(draft: &WaterDraft) -> Result<(Water, f64), Unreadable> {
    let number =
        |field: Field, text: &str| read_number(text).map_err(|why| Unreadable::new(field, why));
    let temperature = || number(Field::Temperature, &draft.temperature).map(Celsius);
    let (water, field) = match draft.kind {
        WaterKind::Fresh => (Water::Fresh(temperature()?), Field::Temperature),
        WaterKind::Sea => {
            let temperature = temperature()?;
            let salinity = number(Field::Salinity, &draft.salinity)?;
            (Water::Sea { salinity, temperature }, Field::Salinity)
        }
        WaterKind::Measured => {
            (Water::Measured(number(Field::Density, &draft.density)?), Field::Density)
        }
    };
    let density = water.density().map_err(|why| {
        let field =
            if matches!(why, WaterError::Temperature(_)) { Field::Temperature } else { field };
        Unreadable::new(field, why)
    })?;
    Ok((water, density))
}

/// What is typed for a boat in water of `density` (kg/m³). None when no figure is.
///
/// # Errors
/// All fields that are filled in and cannot be read.
pub fn read_typed(
    draft: &Draft,
    hand: &ReadyBoat,
    density: f64,
    own: Own<'_>,
) -> Result<Option<AdviceRequest>, Vec<Unreadable>> {
    let fill = read_fill(draft, hand).map_err(|wrong| vec![wrong])?;
    let Some(reading) = read_reading(draft, hand, density, own)? else { return Ok(None) };
    asked(draft, hand, own, (reading, fill)).map(Some)
}

/// A reading, and how full the tanks were, with what the builder is ready to do about it.
///
/// # Errors
/// The weight to shift, when it cannot be read.
pub(super) fn asked(
    draft: &Draft,
    hand: &ReadyBoat,
    own: Own<'_>,
    (reading, fill): (Reading, f64),
) -> Result<AdviceRequest, Vec<Unreadable>> {
    let remedy = read_remedy(draft, hand, own).map_err(|wrong| vec![wrong])?;
    let part = part_to_shift(draft, hand).map(|part| part.name.clone());
    Ok(AdviceRequest { reading, fill, remedy, part })
}

fn read_reading(
    draft: &Draft,
    hand: &ReadyBoat,
    density: f64,
    own: Own<'_>,
) -> Result<Option<Reading>, Vec<Unreadable>> {
    let mut reader = TypedReader::default();
    let mut observations = Vec::new();
    let (afloat, boat) = (draft.condition == ConditionRecord::Afloat, &hand.boat);
    if afloat {
        observations.extend(marks(&mut reader, draft, &boat.marks));
    } else {
        observations.extend(residual(&mut reader, draft, boat));
    }
    observations.extend(angles(&mut reader, draft, own));
    let weight = read_weight(draft, hand, own).unwrap_or_else(|wrong| {
        reader.wrong.extend(wrong);
        None
    });
    if !reader.wrong.is_empty() {
        return Err(reader.wrong);
    }
    let condition = if afloat { Condition::Afloat } else { Condition::Under };
    let aboard = phone_place(draft, hand).map(|at| Aboard {
        name: own.phone.to_owned(),
        mass: own.phone_mass,
        at,
        off: PHONE_PLACED,
        solid: None,
    });
    let aboard = aboard.into_iter().chain(weight).collect();
    let is_aside = |o: &Observation| draft.aside.contains(&figure_name(&o.seen));
    let (aside, observations): (Vec<_>, Vec<_>) = observations.into_iter().partition(is_aside);
    if observations.is_empty() {
        return Ok(None);
    }
    let comes_back = draft.comes_back.filter(|_| afloat);
    let water_density = density;
    Ok(Some(Reading { condition, water_density, aboard, observations, aside, comes_back }))
}

/// List and trim, by the phone while it lies aboard; otherwise somebody has measured them as well.
fn angles(reader: &mut TypedReader, draft: &Draft, own: Own<'_>) -> Vec<Observation> {
    type AsSeen = fn(f64) -> Seen;
    let fields: [(Field, &str, bool, AsSeen); 2] = [
        (Field::List, &draft.list, draft.list_to_port, Seen::List),
        (Field::Trim, &draft.trim, draft.trim_by_stern, Seen::Trim),
    ];
    let is_rough = draft.phone_aboard && !own.is_zeroed;
    let spread = if is_rough { UNZEROED_SPREAD } else { ANGLE_SPREAD };
    let mut seen = Vec::new();
    for (field, text, is_negative, make) in fields {
        if let Some(degrees) = reader.optional(field, text, 0.0, 89.0) {
            let signed = if is_negative { -degrees } else { degrees };
            seen.push(Observation { seen: make(signed * DEGREE), spread });
        }
    }
    seen
}

/// A residual weight beyond this is a typing slip: half the boat's mass.
fn residual(reader: &mut TypedReader, draft: &Draft, boat: &Boat) -> Option<Observation> {
    let unit = Units::from(draft.units).mass_unit();
    let most = boat.parts_aboard().map(|p| p.mass).sum::<f64>() / 2.0;
    let mass = reader.optional(Field::Residual, &draft.residual, 0.0, unit.limit(most))?;
    let signed = unit.si(if draft.residual_light { -mass } else { mass });
    Some(Observation { seen: Seen::Residual(signed), spread: RESIDUAL_SPREAD })
}

/// The farthest from a mark that water is taken to be, metres.
const FARTHEST: f64 = 0.5;

fn marks(reader: &mut TypedReader, draft: &Draft, marks: &[Mark]) -> Vec<Observation> {
    let unit = Units::from(draft.units).length_unit();
    let mut seen = Vec::new();
    for mark in marks {
        let Some(text) = draft.marks.get(&mark.name) else { continue };
        let field = Field::Mark(mark.name.clone());
        // The sign is the side's; what was typed is the rest.
        let digits = text.trim_start_matches(['-', '\u{2212}']);
        let side = if digits.len() < text.len() { -1.0 } else { 1.0 };
        if let Some(typed) = reader.optional(field, digits, 0.0, unit.limit(FARTHEST)) {
            let above = side * unit.si(typed);
            let seen_here = Seen::WaterAtMark { mark: mark.clone(), above };
            seen.push(Observation { seen: seen_here, spread: MARK_SPREAD });
        }
    }
    seen
}

/// The part that is to be shifted. One that can't be, or is not aboard any more, is not chosen.
fn part_to_shift<'a>(draft: &Draft, hand: &'a ReadyBoat) -> Option<&'a Movable> {
    hand.movable.iter().find(|m| m.name == draft.shift_part)
}

/// What the builder is ready to do: shift what is aboard, or weight at the chosen place.
///
/// # Errors
/// [`Unreadable`] when the weight to shift cannot be read.
fn read_remedy(draft: &Draft, hand: &ReadyBoat, own: Own<'_>) -> Result<Remedy, Unreadable> {
    if let Some(part) = part_to_shift(draft, hand) {
        return Ok(Remedy::Shift { mass: part.counts });
    }
    if !draft.shift.trim().is_empty() {
        let unit = Units::from(draft.units).mass_unit();
        let (least, most) = (unit.least(GRAM), unit.limit(hand.model.mass()));
        return match read_number_within(&draft.shift, least, most) {
            Ok(typed) => Ok(Remedy::Shift { mass: unit.si(typed) }),
            Err(why) => Err(Unreadable::new(Field::Shift, why)),
        };
    }
    let place = hand.place(&draft.place, own.inside);
    Ok(Remedy::Weight { place, density: draft.material.material().density })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::demo_boat;
    use crate::diary::{BoatRecord, LengthUnit, MassUnit, UnitsRecord};
    use crate::unit::Decimal;

    const OWN: Own<'_> = Own {
        phone_mass: 0.2,
        is_zeroed: true,
        phone: "phone",
        inside: "inside",
        weight: "weight",
    };
    const OF_INCHES: UnitsRecord = UnitsRecord { length: LengthUnit::Inch, mass: MassUnit::Ounce };

    fn demo() -> ReadyBoat {
        let boat = demo_boat().expect("fixed sizes");
        ReadyBoat::of(&BoatRecord::ledger("it", &boat)).expect("a boat")
    }

    fn read(draft: &Draft, hand: &ReadyBoat) -> Result<Option<Reading>, Vec<Unreadable>> {
        Ok(read_typed(draft, hand, 998.2, OWN)?.map(|asked| asked.reading))
    }

    fn draft(figures: &[(&str, &str)]) -> Draft {
        let marks = figures.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        Draft { marks, ..Draft::default() }
    }

    #[test]
    fn an_empty_draft_is_no_reading_and_no_problem() {
        let hand = demo();
        assert_eq!(read(&Draft::default(), &hand), Ok(None), "nothing typed");
    }

    #[test]
    fn a_comma_divides_decimals_and_sides_give_signs() {
        let hand = demo();
        let mut typed = draft(&[("bow", "-7,5")]);
        typed.list = "3,2".to_owned();
        typed.list_to_port = true;
        let reading = read(&typed, &hand).expect("good").expect("two figures");
        let values: Vec<f64> = reading.observations.iter().map(|o| o.seen.value()).collect();
        assert!((values[0] + 0.0075).abs() < 1e-12, "7.5 mm below: {values:?}");
        assert!((values[1] + 3.2 * DEGREE).abs() < 1e-12, "3.2° to port: {values:?}");
    }

    #[test]
    fn each_bad_field_is_named() {
        let hand = demo();
        let mut typed = draft(&[("bow", "abc"), ("stern", "3")]);
        typed.list = "120".to_owned();
        let problems = read(&typed, &hand).expect_err("two bad fields");
        let fields: Vec<&Field> = problems.iter().map(|wrong| &wrong.field).collect();
        assert_eq!(fields, [&Field::Mark("bow".to_owned()), &Field::List], "{problems:?}");
    }

    #[test]
    fn figures_in_inches_and_ounces_are_those_in_millimetres_and_grams() {
        let hand = demo();
        let mut typed = draft(&[("bow", "-1.5"), ("stern", "0,1")]);
        typed.units = OF_INCHES;
        let mut under = Draft { condition: ConditionRecord::Under, ..typed.clone() };
        under.residual = "2".to_owned();
        under.residual_light = true;
        let values = |typed: &Draft| {
            let reading = read(typed, &hand).expect("good").expect("figures");
            reading.observations.iter().map(|o| o.seen.value()).collect::<Vec<_>>()
        };
        let mut seen = values(&typed);
        seen.extend(values(&under));
        let mut metric = typed.clone();
        metric.turn_to_units(UnitsRecord::default(), Decimal::Point);
        under.turn_to_units(UnitsRecord::default(), Decimal::Point);
        let mut again = values(&metric);
        again.extend(values(&under));
        for (k, expected) in [0.00254, -0.0381, -0.056_699].into_iter().enumerate() {
            assert!((seen[k] - expected).abs() < 1e-6, "{expected}: {seen:?}");
            assert!((again[k] - expected).abs() < 5e-6, "gone over to mm and g: {again:?}");
        }
    }

    #[test]
    fn a_limit_is_told_in_the_units_that_are_typed() {
        let hand = demo();
        let typed = Draft { units: OF_INCHES, ..draft(&[("bow", "20")]) };
        let problems = read(&typed, &hand).expect_err("beyond half a metre");
        assert!(problems[0].to_string().contains("19.68"), "in inches: {problems:?}");
    }
}
