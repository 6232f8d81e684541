//! From typed text to a reading: every problem is named with its field. No browser in here.

use super::form::{LONGEST, exact};
use crate::words::{self, t};
use trimwright::boat::{Boat, Mark, QuickBoatError};
use trimwright::diary::{
    ConditionRecord, Draft, FormTexts, QuickRecord, WaterDraft, WaterKind, turn_form,
};
use trimwright::frame::Position;
use trimwright::reading::{
    ANGLE_SPREAD, Aboard, Condition, MARK_SPREAD, Observation, PHONE_MASS, RESIDUAL_SPREAD,
    Reading, Seen,
};
use trimwright::unit::{
    Celsius, DEGREE, Decimal, NumberError, Unit, Units, read_number, read_number_within,
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
                self.problems.push((field, words::number::number(&problem)));
                None
            }
        }
    }
}

/// The water's density, kg/m³, and the water in words.
pub(crate) fn parse_water(
    draft: &WaterDraft,
    decimal: Decimal,
) -> Result<(f64, String), FieldProblem> {
    let words_of = |value: f64| decimal.mark(&value.to_string());
    let number = |field: Field, text: &str| {
        read_number(text).map_err(|problem| (field, words::number::number(&problem)))
    };
    let (water, field, words) = match draft.kind {
        WaterKind::Fresh => {
            let t = number(Field::Temperature, &draft.temperature)?;
            (
                Water::Fresh(Celsius(t)),
                Field::Temperature,
                t!("water.fresh", temperature = words_of(t)),
            )
        }
        WaterKind::Sea => {
            let t = number(Field::Temperature, &draft.temperature)?;
            let salinity = number(Field::Salinity, &draft.salinity)?;
            let water = Water::Sea { salinity, temperature: Celsius(t) };
            let field =
                if (0.0..=42.0).contains(&salinity) { Field::Temperature } else { Field::Salinity };
            (
                water,
                field,
                t!("water.sea", salinity = words_of(salinity), temperature = words_of(t)),
            )
        }
        WaterKind::Measured => {
            let density = number(Field::Density, &draft.density)?;
            (Water::Measured(density), Field::Density, format!("{} kg/m³", words_of(density)))
        }
    };
    let density = water.density().map_err(|problem| (field, words::water::water(&problem)))?;
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
    percent.map(|p| p / 100.0).map_err(|problem| (Field::Fill, words::number::number(&problem)))
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
    let units = Units::from(draft.units);
    if afloat {
        observations.extend(marks(&mut reader, draft, &boat.marks));
    } else {
        let unit = units.mass_unit();
        let most = unit.limit(most_residual(boat));
        if let Some(mass) = reader.optional(Field::Residual, &draft.residual, 0.0, most) {
            let signed = unit.si(if draft.residual_light { -mass } else { mass });
            observations
                .push(Observation { seen: Seen::Residual(signed), spread: RESIDUAL_SPREAD });
        }
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

/// Beyond this a residual weight is a slip, kilograms: half of what the boat weighs.
fn most_residual(boat: &Boat) -> f64 {
    boat.parts_aboard().map(|p| p.mass).sum::<f64>() / 2.0
}

/// The farthest from a mark that water is taken to be, metres.
const FARTHEST: f64 = 0.5;

fn marks(reader: &mut Reader, draft: &Draft, marks: &[Mark]) -> Vec<Observation> {
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

/// The phone lies amidships at the height of the highest place for weight.
fn phone_on_deck(boat: &Boat) -> Aboard {
    let z = boat.places.iter().map(|p| p.z).fold(0.0, f64::max);
    Aboard { name: t!("reading.phone"), mass: PHONE_MASS, at: Position::new(0.0, 0.0, z) }
}

/// The greatest breadth, depth and mass of a quick boat, metres and kilograms: slips beyond them.
const BROADEST: f64 = 3.0;
const HEAVIEST: f64 = 500.0;

/// The names of the fields of a quick boat's form.
const TEXTS: [&str; 6] = ["name", "length", "beam", "depth", "waterline", "mass"];

/// The quick boat's form, as typed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct QuickForm {
    /// In what lengths and masses are typed.
    pub(crate) units: Units,
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
            units: Units::METRIC,
            name: t!("boats.my_boat"),
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
    /// Its fields by their names: the texts, and how full its ends are.
    pub(super) fn texts(&self) -> FormTexts {
        let texts =
            [&self.name, &self.length, &self.beam, &self.depth, &self.waterline, &self.mass];
        let texts = TEXTS.into_iter().map(str::to_owned).zip(texts.map(String::clone));
        texts.chain([("fullness".to_owned(), self.fullness.to_string())]).collect()
    }

    /// A form with these fields; those that are not there are as at the beginning.
    pub(super) fn of_texts(texts: &FormTexts, units: Units) -> Self {
        let mut form = Self { units, ..Self::default() };
        for (name, text) in TEXTS.into_iter().zip(form.texts_mut()) {
            if let Some(typed) = texts.get(name) {
                text.clone_from(typed);
            }
        }
        if let Some(fullness) = texts.get("fullness").and_then(|text| text.parse().ok()) {
            form.fullness = fullness;
        }
        form
    }

    /// Its texts in the order of [`TEXTS`].
    fn texts_mut(&mut self) -> [&mut String; 6] {
        let Self { name, length, beam, depth, waterline, mass, .. } = self;
        [name, length, beam, depth, waterline, mass]
    }

    /// Goes over to other units.
    pub(super) fn turn_to(&mut self, units: Units) {
        let before = std::mem::replace(&mut self.units, units);
        turn_form(TEXTS.into_iter().zip(self.texts_mut()), [before, units]);
    }

    /// The six numbers, checked one by one and together.
    pub(crate) fn parse(&self, water_density: f64) -> Result<QuickRecord, Vec<FieldProblem>> {
        let mut reader = Reader::default();
        let mut number = |name: &'static str, text: &str, most: f64, unit: Unit| {
            let high = unit.limit(most);
            let value = match read_number(text) {
                Ok(v) if v <= 0.0 => Err(t!("form.more_than_zero")),
                Ok(v) if v > high => Err(words::number::number(&NumberError::OutOfRange {
                    value: v,
                    low: 0.0,
                    high,
                })),
                other => other.map_err(|problem| words::number::number(&problem)),
            };
            value
                .map_err(|text| reader.problems.push((Field::Quick(name), text)))
                .ok()
                .map(|v| exact(unit.si(v)))
        };
        let (in_length, in_mass) = (self.units.length_unit(), self.units.mass_unit());
        let length = number("length", &self.length, LONGEST, in_length);
        let beam = number("beam", &self.beam, BROADEST, in_length);
        let depth = number("depth", &self.depth, BROADEST, in_length);
        let waterline = number("waterline", &self.waterline, BROADEST, in_length);
        let mass = number("mass", &self.mass, HEAVIEST, in_mass);
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
            Err(problem) => Err(vec![quick_problem(&problem, self.units)]),
        }
    }
}

/// Names the field that a problem belongs to, in the form's own units.
fn quick_problem(problem: &QuickBoatError, units: Units) -> FieldProblem {
    let field = match problem {
        QuickBoatError::TooHeavy { .. } | QuickBoatError::TooLight { .. } => "mass",
        QuickBoatError::WaterlineTooHigh { .. } => "waterline",
        _ => "length",
    };
    (Field::Quick(field), words::quick::quick(problem, units))
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::demo_boat;
    use trimwright::diary::{LengthUnit, MassUnit, UnitsRecord};
    use trimwright::unit::{Length, Mass};

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

    const OF_INCHES: UnitsRecord = UnitsRecord { length: LengthUnit::Inch, mass: MassUnit::Ounce };

    #[test]
    fn figures_in_inches_and_ounces_are_those_in_millimetres_and_grams() {
        let boat = demo_boat().expect("fixed sizes");
        let mut typed = draft(&[("bow", "-1.5"), ("stern", "0,1")]);
        typed.units = OF_INCHES;
        let mut under = Draft { condition: ConditionRecord::Under, ..typed.clone() };
        under.residual = "2".to_owned();
        under.residual_light = true;
        let values = |typed: &Draft| {
            let reading = parse_reading(typed, &boat, 998.2).expect("good").expect("figures");
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
        let boat = demo_boat().expect("fixed sizes");
        let typed = Draft { units: OF_INCHES, ..draft(&[("bow", "20")]) };
        let problems = parse_reading(&typed, &boat, 998.2).expect_err("beyond half a metre");
        assert!(problems[0].1.contains("19.68"), "in inches: {problems:?}");
    }

    #[test]
    fn six_numbers_go_over_to_other_units_and_come_back() {
        let metric = QuickForm {
            length: "914.4".to_owned(),
            beam: "101.6".to_owned(),
            depth: "127".to_owned(),
            waterline: "63,5".to_owned(),
            mass: "abc".to_owned(),
            ..QuickForm::default()
        };
        let mut form = metric.clone();
        form.turn_to(Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Comma });
        let texts = [&form.length, &form.beam, &form.depth, &form.waterline, &form.mass];
        assert_eq!(texts, ["36", "4", "5", "2,5", "abc"], "in inches");
        form.mass = "100".to_owned();
        let record = form.parse(998.2).expect("a boat");
        let got = [record.length_m, record.beam_m, record.waterline_m, record.mass_kg];
        for (got, expected) in got.into_iter().zip([0.9144, 0.1016, 0.0635, 2.834_952]) {
            assert!((got - expected).abs() < 1e-6, "{record:?}");
        }
        form.mass = "abc".to_owned();
        form.turn_to(Units::METRIC);
        assert_eq!(form, QuickForm { waterline: "63.5".to_owned(), ..metric }, "and back");
    }
}
