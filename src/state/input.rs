//! What is wrong with typed figures, in words, and the form of six numbers. No browser in here.

use super::doubt::{BOAT, Doubt};
use super::form::{LONGEST, exact};
use crate::words::speech::speech;
use crate::words::{self, t};
use trimwright::answer::{Field, Unreadable, WrongFigure, read_water};
use trimwright::boat::QuickBoatError;
use trimwright::diary::{FormTexts, QuickRecord, WaterDraft, turn_form};
use trimwright::unit::{
    Celsius, Decimal, NumberError, Unit, Units, read_number, read_number_within, write_plain,
};
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
        _ => words::other(),
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

/// The greatest breadth, depth and mass of a quick boat, metres and kilograms: slips beyond them.
const BROADEST: f64 = 3.0;
const HEAVIEST: f64 = 500.0;
/// The most that its tank takes, m³: likewise.
const MOST_TANK: f64 = 0.5;

/// What is wrong with a field of a quick boat's form, by its name, in words.
pub(crate) type QuickProblem = (&'static str, String);

/// The names of the fields of a quick boat's form.
const TEXTS: [&str; 9] =
    ["name", "length", "beam", "depth", "waterline", "mass", "takes", "bow-mark", "stern-mark"];

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
    /// What the tank takes, and where the marks are: these may stay empty.
    pub(crate) takes: String,
    pub(crate) bow_mark: String,
    pub(crate) stern_mark: String,
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
            takes: String::new(),
            bow_mark: String::new(),
            stern_mark: String::new(),
            fullness: 0.75,
        }
    }
}

impl QuickForm {
    /// Its fields by their names: the texts, and how full its ends are.
    pub(super) fn texts(&self) -> FormTexts {
        let texts = [
            &self.name,
            &self.length,
            &self.beam,
            &self.depth,
            &self.waterline,
            &self.mass,
            &self.takes,
            &self.bow_mark,
            &self.stern_mark,
        ];
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
    fn texts_mut(&mut self) -> [&mut String; 9] {
        let Self { name, length, beam, depth, waterline, mass, .. } = self;
        let Self { takes, bow_mark, stern_mark, .. } = self;
        [name, length, beam, depth, waterline, mass, takes, bow_mark, stern_mark]
    }

    /// Goes over to other units.
    pub(super) fn turn_to(&mut self, units: Units) {
        let before = std::mem::replace(&mut self.units, units);
        turn_form(TEXTS.into_iter().zip(self.texts_mut()), [before, units]);
    }

    /// The doubt about the length: no boat of six numbers is so small.
    pub(crate) fn doubt(&self) -> Option<Doubt> {
        Doubt::about(&self.length, self.units, BOAT)
    }

    /// The six numbers, checked one by one and together.
    pub(crate) fn parse(&self, water_density: f64) -> Result<QuickRecord, Vec<QuickProblem>> {
        let mut problems = Vec::new();
        let doubt = self.doubt();
        let mut number = |name: &'static str, text: &str, most: f64, unit: Unit| {
            let high = unit.limit(most);
            let value = match read_number(text) {
                Ok(_) if name == "length" && doubt.is_some() => {
                    Err(doubt.as_ref().map(Doubt::words).unwrap_or_default())
                }
                Ok(v) if v <= 0.0 => Err(t!("form.more_than_zero")),
                Ok(v) if v > high => Err(words::number::number(&NumberError::OutOfRange {
                    value: v,
                    low: 0.0,
                    high,
                })),
                other => other.map_err(|problem| words::number::number(&problem)),
            };
            value.map_err(|text| problems.push((name, text))).ok().map(|v| exact(unit.si(v)))
        };
        let (in_length, in_mass) = (self.units.length_unit(), self.units.mass_unit());
        let length = number("length", &self.length, LONGEST, in_length);
        let beam = number("beam", &self.beam, BROADEST, in_length);
        let depth = number("depth", &self.depth, BROADEST, in_length);
        let waterline = number("waterline", &self.waterline, BROADEST, in_length);
        let mass = number("mass", &self.mass, HEAVIEST, in_mass);
        let mut optional = |name: &'static str, text: &str, most: f64, unit: Unit| {
            may_be_empty(text, most, unit).unwrap_or_else(|text| {
                problems.push((name, text));
                None
            })
        };
        let tank_m3 = optional("takes", &self.takes, MOST_TANK, self.units.liquid_unit());
        let bow_mark_m = optional("bow-mark", &self.bow_mark, LONGEST, in_length);
        let stern_mark_m = optional("stern-mark", &self.stern_mark, LONGEST, in_length);
        let (Some(length_m), Some(beam_m), Some(depth_m), Some(waterline_m), Some(mass_kg)) =
            (length, beam, depth, waterline, mass)
        else {
            return Err(problems);
        };
        if !problems.is_empty() {
            return Err(problems);
        }
        let record = QuickRecord {
            length_m,
            beam_m,
            depth_m,
            mass_kg,
            waterline_m,
            fullness: self.fullness,
            water_density_kg_m3: water_density,
            tank_m3,
            bow_mark_m,
            stern_mark_m,
            names: words::given::names_of_six(),
            extra: serde_json::Map::new(),
        };
        match record.numbers().boat(self.name.trim(), water_density) {
            Ok(_) => Ok(record),
            Err(problem) => Err(vec![quick_problem(&problem, self.units)]),
        }
    }
}

/// A number that may be left out, in SI, from 0 to `most`.
fn may_be_empty(text: &str, most: f64, unit: Unit) -> Result<Option<f64>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let value = read_number_within(text, 0.0, unit.limit(most));
    value.map(|v| Some(exact(unit.si(v)))).map_err(|problem| words::number::number(&problem))
}

/// What the tank of a boat of six numbers takes, m³, as typed beside its weight under water: 0 for no
/// tank.
///
/// # Errors
/// What is wrong with it, in words.
pub(crate) fn read_takes(text: &str, of: &QuickRecord, units: Units) -> Result<f64, String> {
    let typed = may_be_empty(text, MOST_TANK, units.liquid_unit())?;
    let takes = typed.ok_or_else(|| words::number::number(&NumberError::Missing))?;
    let with = QuickRecord { tank_m3: Some(takes), ..of.clone() };
    match with.numbers().boat("", with.water_density_kg_m3) {
        Ok(_) => Ok(takes),
        Err(problem) => Err(words::quick::quick(&problem, units)),
    }
}

/// Names the field that a problem belongs to, in the form's own units.
fn quick_problem(problem: &QuickBoatError, units: Units) -> QuickProblem {
    let field = match problem {
        QuickBoatError::TooHeavy { .. } | QuickBoatError::TooLight { .. } => "mass",
        QuickBoatError::WaterlineTooHigh { .. } => "waterline",
        QuickBoatError::Tank(_) | QuickBoatError::TankTooLarge { .. } => "takes",
        QuickBoatError::MarkAstray { name: "bow" } => "bow-mark",
        QuickBoatError::MarkAstray { .. } => "stern-mark",
        _ => "length",
    };
    (field, words::quick::quick(problem, units))
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::unit::{Length, Mass};

    #[test]
    fn a_form_with_gaps_names_every_gap() {
        let form = QuickForm { length: "900".to_owned(), ..QuickForm::default() };
        let problems = form.parse(998.2).expect_err("four gaps");
        assert_eq!(problems.len(), 4, "{problems:?}");
    }

    #[test]
    fn a_length_in_metres_is_asked_for() {
        let form = QuickForm { length: "0.9".to_owned(), ..QuickForm::default() };
        let problems = form.parse(998.2).expect_err("less than a millimetre");
        let asked = "0.9\u{202f}mm: did you mean 900\u{202f}mm?".to_owned();
        assert_eq!(problems.first(), Some(&("length", asked)), "beside its field");
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
