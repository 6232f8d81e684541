//! From typed text to a reading: every problem is named with its field. No browser in here.

use std::collections::BTreeMap;
use trimwright::boat::{Boat, Mark};
use trimwright::diary::{ConditionRecord, Draft, QuickRecord, WaterDraft, WaterKind};
use trimwright::frame::Position;
use trimwright::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, PHONE_MASS, RESIDUAL_SPREAD,
    Reading, Seen,
};
use trimwright::unit::{
    Celsius, DEGREE, GRAM, MILLIMETRE, NumberError, read_number, read_number_within,
};
use trimwright::water::Water;

/// A field that can be typed in.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Field {
    /// Water at a mark.
    Mark(String),
    /// List.
    List,
    /// Trim.
    Trim,
    /// Residual weight.
    Residual,
    /// How full the tanks are.
    Fill,
    /// What is to be shifted.
    Shift,
    /// Water temperature.
    Temperature,
    /// Salinity.
    Salinity,
    /// Measured density.
    Density,
    /// One of the quick boat's fields, by its name.
    Quick(&'static str),
}

/// What is wrong with a field, in words.
pub(crate) type FieldProblem = (Field, String);

/// Collects values and problems while fields are read.
#[derive(Default)]
struct Reader {
    problems: Vec<FieldProblem>,
}

impl Reader {
    /// The number in a field that may be empty, within limits.
    fn optional(&mut self, field: Field, text: &str, low: f64, high: f64) -> Option<f64> {
        if text.trim().is_empty() {
            return None;
        }
        self.required(field, text, low, high)
    }

    fn required(&mut self, field: Field, text: &str, low: f64, high: f64) -> Option<f64> {
        match read_number_within(text, low, high) {
            Ok(value) => Some(value),
            Err(problem) => {
                self.problems.push((field, problem.to_string()));
                None
            }
        }
    }
}

/// The water's density, kg/m³, and the water in words.
pub(crate) fn parse_water(draft: &WaterDraft) -> Result<(f64, String), FieldProblem> {
    let number = |field: Field, text: &str| {
        read_number(text).map_err(|problem| (field, problem.to_string()))
    };
    let (water, field, words) = match draft.kind {
        WaterKind::Fresh => {
            let t = number(Field::Temperature, &draft.temperature)?;
            (Water::Fresh(Celsius(t)), Field::Temperature, format!("fresh {t} °C"))
        }
        WaterKind::Sea => {
            let t = number(Field::Temperature, &draft.temperature)?;
            let salinity = number(Field::Salinity, &draft.salinity)?;
            let water = Water::Sea { salinity, temperature: Celsius(t) };
            let field =
                if (0.0..=42.0).contains(&salinity) { Field::Temperature } else { Field::Salinity };
            (water, field, format!("sea {salinity} g/kg, {t} °C"))
        }
        WaterKind::Measured => {
            let density = number(Field::Density, &draft.density)?;
            (Water::Measured(density), Field::Density, format!("{density} kg/m³"))
        }
    };
    let density = water.density().map_err(|problem| (field, problem.to_string()))?;
    Ok((density, words))
}

/// How full the tanks are, 0 to 1: empty afloat; under, as typed, and full if nothing is.
pub(crate) fn parse_fill(draft: &Draft) -> Result<f64, FieldProblem> {
    if draft.condition == ConditionRecord::Afloat {
        return Ok(0.0);
    }
    if draft.fill.trim().is_empty() {
        return Ok(1.0);
    }
    let percent = read_number_within(&draft.fill, 0.0, 100.0);
    percent.map(|p| p / 100.0).map_err(|problem| (Field::Fill, problem.to_string()))
}

/// The reading that the draft holds, if every field that is filled in can be read. A draft with
/// no figure gives none.
pub(crate) fn parse_reading(
    draft: &Draft,
    boat: &Boat,
    water_density: f64,
) -> Result<Option<Reading>, Vec<FieldProblem>> {
    let mut reader = Reader::default();
    let mut observations = Vec::new();
    let afloat = draft.condition == ConditionRecord::Afloat;
    if afloat {
        observations.extend(marks(&mut reader, &draft.marks, &boat.marks));
    } else if let Some(grams) =
        reader.optional(Field::Residual, &draft.residual, 0.0, most_residual(boat))
    {
        let signed = if draft.residual_light { -grams } else { grams };
        observations
            .push(Observation { seen: Seen::Residual(signed * GRAM), spread: RESIDUAL_SPREAD });
    }
    if let Some(degrees) = reader.optional(Field::List, &draft.list, 0.0, 89.0) {
        let signed = if draft.list_to_port { -degrees } else { degrees };
        observations.push(Observation { seen: Seen::List(signed * DEGREE), spread: ANGLE_SPREAD });
    }
    if let Some(degrees) = reader.optional(Field::Trim, &draft.trim, 0.0, 89.0) {
        let signed = if draft.trim_by_stern { -degrees } else { degrees };
        observations.push(Observation { seen: Seen::Trim(signed * DEGREE), spread: ANGLE_SPREAD });
    }
    if !reader.problems.is_empty() {
        return Err(reader.problems);
    }
    if observations.is_empty() {
        return Ok(None);
    }
    let condition = if afloat { Condition::Afloat } else { Condition::Under };
    let aboard = if draft.phone_aboard && afloat { vec![phone_on_deck(boat)] } else { Vec::new() };
    Ok(Some(Reading { condition, water_density, aboard, observations }))
}

/// Grams beyond which a residual weight is a slip: half of what the boat weighs.
fn most_residual(boat: &Boat) -> f64 {
    let mass: f64 = boat.parts_aboard().map(|p| p.mass).sum();
    (mass / GRAM / 2.0).round()
}

fn marks(
    reader: &mut Reader,
    typed: &BTreeMap<String, String>,
    marks: &[Mark],
) -> Vec<Observation> {
    let mut seen = Vec::new();
    for mark in marks {
        let Some(text) = typed.get(&mark.name) else { continue };
        let field = Field::Mark(mark.name.clone());
        // The sign is the side's; what was typed is the rest.
        let digits = text.trim_start_matches(['-', '\u{2212}']);
        let side = if digits.len() < text.len() { -1.0 } else { 1.0 };
        if let Some(mm) = reader.optional(field, digits, 0.0, 500.0) {
            let above = side * mm * MILLIMETRE;
            let seen_here = Seen::WaterAtMark { mark: mark.clone(), above };
            seen.push(Observation { seen: seen_here, spread: MARK_SPREAD });
        }
    }
    seen
}

/// The phone lies amidships at the height of the highest place for weight.
fn phone_on_deck(boat: &Boat) -> Aboard {
    let z = boat.places.iter().map(|p| p.z).fold(0.0, f64::max);
    Aboard { name: "phone".to_owned(), mass: PHONE_MASS, at: Position::new(0.0, 0.0, z) }
}

/// The quick boat's form, as typed: millimetres and grams.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct QuickForm {
    pub(crate) name: String,
    pub(crate) length: String,
    pub(crate) beam: String,
    pub(crate) depth: String,
    pub(crate) waterline: String,
    pub(crate) mass: String,
    pub(crate) fullness: f64,
}

impl Default for QuickForm {
    fn default() -> Self {
        Self {
            name: "My boat".to_owned(),
            length: String::new(),
            beam: String::new(),
            depth: String::new(),
            waterline: String::new(),
            mass: String::new(),
            fullness: 0.75,
        }
    }
}

impl QuickForm {
    /// The six numbers, checked one by one and together.
    pub(crate) fn parse(&self, water_density: f64) -> Result<QuickRecord, Vec<FieldProblem>> {
        let mut reader = Reader::default();
        let mut number = |name: &'static str, text: &str, high: f64, unit: f64| {
            let value = match read_number(text) {
                Ok(v) if v <= 0.0 => Err("it must be more than zero".to_owned()),
                Ok(v) if v > high => {
                    Err(NumberError::OutOfRange { value: v, low: 0.0, high }.to_string())
                }
                other => other.map_err(|problem| problem.to_string()),
            };
            value
                .map_err(|text| reader.problems.push((Field::Quick(name), text)))
                .ok()
                .map(|v| v * unit)
        };
        let length = number("length", &self.length, 10_000.0, MILLIMETRE);
        let beam = number("beam", &self.beam, 3_000.0, MILLIMETRE);
        let depth = number("depth", &self.depth, 3_000.0, MILLIMETRE);
        let waterline = number("waterline", &self.waterline, 3_000.0, MILLIMETRE);
        let mass = number("mass", &self.mass, 500_000.0, GRAM);
        let (Some(length_m), Some(beam_m), Some(depth_m), Some(waterline_m), Some(mass_kg)) =
            (length, beam, depth, waterline, mass)
        else {
            return Err(reader.problems);
        };
        let record = QuickRecord {
            length_m,
            beam_m,
            depth_m,
            mass_kg,
            waterline_m,
            fullness: self.fullness,
            water_density_kg_m3: water_density,
            extra: serde_json::Map::new(),
        };
        match record.numbers().boat(self.name.trim(), water_density) {
            Ok(_) => Ok(record),
            Err(problem) => Err(vec![quick_problem(&problem)]),
        }
    }
}

/// Names the field that a problem belongs to, in the form's own units.
fn quick_problem(problem: &trimwright::boat::QuickBoatError) -> FieldProblem {
    use trimwright::boat::QuickBoatError as E;
    let grams = |kg: &f64| format!("{:.0} g", kg / GRAM);
    match problem {
        E::TooHeavy { most } => (
            Field::Quick("mass"),
            format!(
                "a hull of this size carries at most {} at this waterline: check mass, sizes and waterline",
                grams(most)
            ),
        ),
        E::TooLight { least } => (
            Field::Quick("mass"),
            format!(
                "a hull of this size weighs at least {} at this waterline: check mass, sizes and waterline",
                grams(least)
            ),
        ),
        E::WaterlineTooHigh { .. } => {
            (Field::Quick("waterline"), "the waterline must lie below the deck".to_owned())
        }
        other => (Field::Quick("length"), other.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::demo_boat;

    fn draft(figures: &[(&str, &str)]) -> Draft {
        let marks = figures.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        Draft { marks, ..Draft::default() }
    }

    #[test]
    fn an_empty_draft_is_no_reading_and_no_problem() {
        let boat = demo_boat().expect("fixed sizes");
        assert_eq!(parse_reading(&Draft::default(), &boat, 998.2), Ok(None), "nothing typed");
    }

    #[test]
    fn a_comma_divides_decimals_and_sides_give_signs() {
        let boat = demo_boat().expect("fixed sizes");
        let mut typed = draft(&[("bow", "-7,5")]);
        typed.list = "3,2".to_owned();
        typed.list_to_port = true;
        let reading = parse_reading(&typed, &boat, 998.2).expect("good").expect("two figures");
        let values: Vec<f64> = reading.observations.iter().map(|o| o.seen.value()).collect();
        assert!((values[0] + 0.0075).abs() < 1e-12, "7.5 mm below: {values:?}");
        assert!((values[1] + 3.2 * DEGREE).abs() < 1e-12, "3.2° to port: {values:?}");
    }

    #[test]
    fn each_bad_field_is_named() {
        let boat = demo_boat().expect("fixed sizes");
        let mut typed = draft(&[("bow", "abc"), ("stern", "3")]);
        typed.list = "120".to_owned();
        let problems = parse_reading(&typed, &boat, 998.2).expect_err("two bad fields");
        let fields: Vec<&Field> = problems.iter().map(|(field, _)| field).collect();
        assert_eq!(fields, [&Field::Mark("bow".to_owned()), &Field::List], "{problems:?}");
    }

    #[test]
    fn a_form_with_gaps_names_every_gap() {
        let form = QuickForm { length: "900".to_owned(), ..QuickForm::default() };
        let problems = form.parse(998.2).expect_err("four gaps");
        assert_eq!(problems.len(), 4, "{problems:?}");
    }
}
