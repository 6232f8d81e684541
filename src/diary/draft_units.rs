//! What is being typed, converted to other units.

use super::draft::Draft;
use super::draft_choice::FillUnit;
use super::settings::UnitsRecord;
use crate::unit::{Decimal, Unit, Units, read_number};

/// Fields of lengths; each axis of a place is one too.
const LENGTHS: [&str; 30] = [
    "length",
    "width",
    "beam",
    "depth",
    "height",
    "diameter",
    "diameter-fore",
    "diameter-aft",
    "dome",
    "waterline",
    "bow-mark",
    "stern-mark",
    "wall",
    "coat-thickness",
    "x",
    "y",
    "z",
    "centre-x",
    "centre-y",
    "centre-z",
    "vent-x",
    "vent-y",
    "vent-z",
    "flood-x",
    "flood-y",
    "flood-z",
    "stop-depth",
    "balance",
    "length-sure",
    "waterline-sure",
];
/// Fields of plain numbers.
const NUMBERS: [&str; 4] = ["lengthwise", "transverse", "least", "most"];

/// The unit in which a field of a form is typed; none for words and choices.
fn unit_of(field: &str, units: Units) -> Option<Unit> {
    match field {
        "mass" | "piston-mass" | "from" | "to" | "scale" => Some(units.mass_unit()),
        "density" => Some(units.density_unit()),
        "coat-area" => Some(units.area_unit()),
        "takes" => Some(units.liquid_unit()),
        "pump" => Some(Unit::BAR),
        field if LENGTHS.contains(&field) => Some(units.length_unit()),
        field if NUMBERS.contains(&field) => Some(Unit::PLAIN),
        _ => None,
    }
}

/// Writes the fields of a form anew that are typed in units, from those before to those now, with the
/// mark of these. What can't be read stays as it was typed.
pub fn turn_form<'a>(
    fields: impl Iterator<Item = (&'a str, &'a mut String)>,
    [before, now]: [Units; 2],
) {
    for (field, text) in fields {
        if let Some(both) = unit_of(field, before).zip(unit_of(field, now)) {
            *text = retyped(text, both.into(), now);
        } else if field == "table" {
            *text = retyped_table(text, [before, now].map(Units::length_unit), now);
        }
    }
}

/// A number in other units and with another mark; what can't be read stays as it was typed.
fn retyped(text: &str, [from, to]: [Unit; 2], units: Units) -> String {
    match read_number(text) {
        Ok(value) if from != to => units.typed(to, from.si(value)),
        Ok(_) => units.decimal.with_mark(text),
        Err(_) => text.to_owned(),
    }
}

/// As [`retyped`], number by number: the lines of a table stay its lines.
fn retyped_table(text: &str, both: [Unit; 2], units: Units) -> String {
    let line = |line: &str| -> String {
        line.split_inclusive([' ', '\t', ';'])
            .map(|column| {
                let number = column.trim_end_matches([' ', '\t', ';']);
                let gap = column.strip_prefix(number).unwrap_or_default();
                retyped(number, both, units) + gap
            })
            .collect()
    };
    text.split('\n').map(line).collect::<Vec<_>>().join("\n")
}

impl Draft {
    /// Goes over to other units. What can be read is written anew, with the mark dividing its
    /// decimals; what can't be read stays as it was typed.
    pub fn turn_to_units(&mut self, units: UnitsRecord, decimal: Decimal) {
        let (from, to) = (Units::from(self.units), Units { decimal, ..Units::from(units) });
        for (_, text) in self.marks.iter_mut() {
            retype(text, from.length_unit(), to.length_unit(), to);
        }
        for text in [&mut self.weight.along, &mut self.weight.across] {
            retype(text, from.length_unit(), to.length_unit(), to);
        }
        for text in [&mut self.residual, &mut self.shift, &mut self.weight.mass] {
            retype(text, from.mass_unit(), to.mass_unit(), to);
        }
        if self.fill_in == FillUnit::Volume {
            retype(&mut self.fill, from.liquid_unit(), to.liquid_unit(), to);
        }
        if self.units != units {
            self.turn_forms([from, to]);
        }
        self.units = units;
    }

    fn turn_forms(&mut self, both: [Units; 2]) {
        for (_, fields) in self.forms.iter_mut() {
            turn_form(fields.iter_mut().map(|(field, text)| (field.as_str(), text)), both);
        }
    }

    /// Puts a mark in the place of the one that divides decimals, in all that can be read.
    pub fn turn_to_decimal(&mut self, decimal: Decimal) {
        self.turn_forms([Units { decimal, ..Units::from(self.units) }; 2]);
        let angles = &mut self.of_other_state;
        let water = &mut self.water;
        let texts = [
            &mut self.list,
            &mut self.trim,
            &mut angles.list,
            &mut angles.trim,
            &mut self.residual,
            &mut self.fill,
            &mut self.shift,
            &mut self.weight.mass,
            &mut self.weight.along,
            &mut self.weight.across,
            &mut water.temperature,
            &mut water.salinity,
            &mut water.density,
        ];
        for text in texts.into_iter().chain(self.marks.iter_mut().map(|(_, text)| text)) {
            if read_number(text).is_ok() {
                *text = decimal.with_mark(text);
            }
        }
    }
}

fn retype(text: &mut String, from: Unit, to: Unit, units: Units) {
    if from != to
        && let Ok(value) = read_number(text)
    {
        *text = units.typed(to, from.si(value));
    }
}

#[cfg(test)]
mod tests {
    use super::super::settings::{LengthUnit, MassUnit};
    use super::*;

    const METRIC: UnitsRecord =
        UnitsRecord { length: LengthUnit::Millimetre, mass: MassUnit::Gram };
    const OF_INCHES: UnitsRecord = UnitsRecord { length: LengthUnit::Inch, mass: MassUnit::Ounce };

    fn draft(units: UnitsRecord, bow: &str, residual: &str) -> Draft {
        Draft {
            units,
            marks: [("bow".to_owned(), bow.to_owned())].into_iter().collect(),
            residual: residual.to_owned(),
            list: "1.5".to_owned(),
            ..Draft::default()
        }
    }

    #[test]
    fn what_was_typed_means_the_same_in_other_units() {
        let mut typed = draft(OF_INCHES, "\u{2212}1.5", "10");
        typed.turn_to_units(METRIC, Decimal::Comma);
        assert_eq!(typed, draft(METRIC, "\u{2212}38,1", "283,5"), "a comma; the angle as it was");
        typed.turn_to_units(OF_INCHES, Decimal::Point);
        assert_eq!(typed, draft(OF_INCHES, "\u{2212}1.5", "10"), "and back");
    }

    #[test]
    fn only_the_kind_that_changes_is_written_anew() {
        let mut typed = draft(METRIC, "7,50", "0312");
        typed.turn_to_units(UnitsRecord { length: LengthUnit::Inch, ..METRIC }, Decimal::Point);
        let bow = typed.marks.get("bow").map(String::as_str);
        assert_eq!((bow, typed.residual.as_str()), (Some("0.2953"), "0312"), "");
        typed.turn_to_units(UnitsRecord { length: LengthUnit::Inch, ..METRIC }, Decimal::Comma);
        assert_eq!(typed.marks.get("bow").map(String::as_str), Some("0.2953"), "nothing to do");
    }

    #[test]
    fn what_cannot_be_read_stays_as_it_was_typed() {
        let mut typed = draft(METRIC, "7 or 8", "");
        typed.turn_to_units(OF_INCHES, Decimal::Point);
        assert_eq!(typed, draft(OF_INCHES, "7 or 8", ""), "words, and nothing");
        typed.turn_to_decimal(Decimal::Comma);
        let angle = Draft { list: "1,5".to_owned(), ..draft(OF_INCHES, "7 or 8", "") };
        assert_eq!(typed, angle, "only what can be read has a mark that divides");
    }
}
