//! The form of a boat of six numbers: where it begins, and the boat that it makes. No browser in here.

use super::doubt::{BOAT, Doubt};
use super::form::{FieldKey, FormProblem, FormReader, LONGEST, Noted, Texts, exact};
use super::made::Datum;
use crate::words::{self, t};
use trimwright::boat::QuickBoatError;
use trimwright::diary::{FormTexts, QuickRecord};
use trimwright::unit::{NumberError, Unit, Units, read_number_within};

/// The greatest breadth, depth and mass of a quick boat, metres and kilograms: slips beyond them.
const BROADEST: f64 = 3.0;
const HEAVIEST: f64 = 500.0;
/// The most that its tank takes, m³: likewise.
const MOST_TANK: f64 = 0.5;

/// Its figures, as they are typed. What the tank takes, and where the marks are, may stay empty.
const FIGURES: [FieldKey; 8] =
    ["length", "beam", "depth", "waterline", "mass", "takes", "bow-mark", "stern-mark"];
/// How full its ends are where nothing was chosen, a share of length times beam.
const USUAL_FULLNESS: f64 = 0.75;

/// The form as it begins.
pub(super) fn begun(units: Units) -> Texts {
    let texts = Texts::new(units)
        .with("name", t!("boats.my_boat"))
        .with("fullness", USUAL_FULLNESS.to_string());
    FIGURES.into_iter().fold(texts, |texts, key| texts.with(key, ""))
}

/// The form with what was typed in it before; what was not is as at the beginning.
pub(super) fn taken_up(typed: &FormTexts, units: Units) -> Texts {
    let mut form = begun(units);
    for (key, text) in form.iter_mut() {
        if let Some(typed) = typed.get(key) {
            text.clone_from(typed);
        }
    }
    form
}

/// How full its ends are.
pub(crate) fn fullness(form: &Texts) -> f64 {
    form.get("fullness").parse().unwrap_or(USUAL_FULLNESS)
}

/// The doubt about the length: no boat of six numbers is so small.
pub(crate) fn length_doubt(form: &Texts) -> Option<Doubt> {
    form.doubt("length", BOAT)
}

/// The boat that the form makes in water of a density, kg/m³: its numbers, checked one by one and together.
pub(super) fn read_quick(form: &Texts, density: f64) -> Result<QuickRecord, Vec<FormProblem>> {
    let mut reader = FormReader::new(form, Datum::MIDSHIP);
    let record = numbers(&mut reader, density);
    let record = reader.finish(record)?;
    match record.numbers().boat("", density) {
        Ok(_) => Ok(record),
        Err(problem) => Err(vec![quick_problem(&problem, form.units)]),
    }
}

fn numbers(reader: &mut FormReader<'_>, density: f64) -> Result<QuickRecord, Noted> {
    let form = reader.texts;
    let (in_length, in_mass) = (form.units.length_unit(), form.units.mass_unit());
    let length = reader.usual_size("length", BOAT);
    let [beam, depth, waterline] =
        ["beam", "depth", "waterline"].map(|key| reader.more_than_zero(key, BROADEST, in_length));
    let mass = reader.more_than_zero("mass", HEAVIEST, in_mass);
    let mut optional = |key: FieldKey, most: f64, unit: Unit| {
        may_be_empty(form.get(key), most, unit).map_err(|words| {
            reader.problem(key, words);
            Noted
        })
    };
    let takes = optional("takes", MOST_TANK, form.units.liquid_unit());
    let [bow, stern] = ["bow-mark", "stern-mark"].map(|key| optional(key, LONGEST, in_length));
    Ok(QuickRecord {
        length_m: length?,
        beam_m: beam?,
        depth_m: depth?,
        mass_kg: mass?,
        waterline_m: waterline?,
        fullness: fullness(form),
        water_density_kg_m3: density,
        tank_m3: takes?,
        bow_mark_m: bow?,
        stern_mark_m: stern?,
        names: words::given::names_of_six(),
        extra: serde_json::Map::new(),
    })
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
fn quick_problem(problem: &QuickBoatError, units: Units) -> FormProblem {
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
    use trimwright::unit::{Decimal, Length, Mass};

    fn typed<const N: usize>(figures: [(FieldKey, &str); N]) -> Texts {
        let form = begun(Units::METRIC);
        figures.into_iter().fold(form, |form, (key, text)| form.with(key, text))
    }

    #[test]
    fn a_form_with_gaps_names_every_gap() {
        let problems = read_quick(&typed([("length", "900")]), 998.2).expect_err("four gaps");
        assert_eq!(problems.len(), 4, "{problems:?}");
    }

    #[test]
    fn a_length_in_metres_is_asked_for() {
        let problems = read_quick(&typed([("length", "0.9")]), 998.2).expect_err("less than 1 mm");
        let asked = "0.9\u{202f}mm: did you mean 900\u{202f}mm?".to_owned();
        assert_eq!(problems.first(), Some(&("length", asked)), "beside its field");
    }

    #[test]
    fn six_numbers_go_over_to_other_units_and_come_back() {
        let sizes = [("length", "914.4"), ("beam", "101.6"), ("depth", "127")];
        let metric = typed(sizes).with("waterline", "63,5").with("mass", "abc");
        let mut form = metric.clone();
        form.turn_to(Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Comma });
        let texts = ["length", "beam", "depth", "waterline", "mass"].map(|key| form.get(key));
        assert_eq!(texts, ["36", "4", "5", "2,5", "abc"], "in inches");
        form.set("mass", "100");
        let record = read_quick(&form, 998.2).expect("a boat");
        let got = [record.length_m, record.beam_m, record.waterline_m, record.mass_kg];
        for (got, expected) in got.into_iter().zip([0.9144, 0.1016, 0.0635, 2.834_952]) {
            assert!((got - expected).abs() < 1e-6, "{record:?}");
        }
        form.set("mass", "abc");
        form.turn_to(Units::METRIC);
        assert_eq!(form, metric.with("waterline", "63.5"), "and back");
    }

    #[test]
    fn what_was_typed_is_taken_up_and_nothing_else() {
        let before = [("beam", "120"), ("fullness", "0.9"), ("waits", "yes")];
        let before = before.map(|(key, text)| (key.to_owned(), text.to_owned())).into_iter();
        let form = taken_up(&before.collect(), Units::METRIC);
        assert_eq!(form, typed([("beam", "120"), ("fullness", "0.9")]), "the fields of the form");
        assert_eq!(
            (fullness(&form), fullness(&Texts::default())),
            (0.9, 0.75),
            "usual if not told"
        );
    }
}
