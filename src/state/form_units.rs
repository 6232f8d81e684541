//! The fields of a form in other units: which quantity each of them holds, and the same quantities
//! written anew.

use super::form::{Key, Texts};
use trimwright::unit::{Unit, Units, read_number};

/// Fields of lengths; each axis of a place is one too.
const LENGTHS: [Key; 22] = [
    "length",
    "width",
    "height",
    "diameter",
    "diameter-fore",
    "diameter-aft",
    "dome",
    "waterline",
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
];
/// Fields of plain numbers.
const NUMBERS: [Key; 4] = ["lengthwise", "transverse", "least", "most"];

/// The unit in which a field is typed; none for words and choices.
fn unit_of(key: Key, units: Units) -> Option<Unit> {
    match key {
        "mass" | "from" | "to" => Some(units.mass_unit()),
        "density" => Some(units.density_unit()),
        "coat-area" => Some(units.area_unit()),
        key if LENGTHS.contains(&key) => Some(units.length_unit()),
        key if NUMBERS.contains(&key) => Some(Unit::PLAIN),
        _ => None,
    }
}

/// A number in other units and with another mark; what can't be read stays as it was typed.
pub(super) fn retyped(text: &str, [from, to]: [Unit; 2], units: Units) -> String {
    match read_number(text) {
        Ok(value) if from != to => units.typed(to, from.si(value)),
        Ok(_) => units.decimal.mark(text),
        Err(_) => text.to_owned(),
    }
}

impl Texts {
    /// Goes over to other units.
    pub(crate) fn turn_to(&mut self, units: Units) {
        let before = std::mem::replace(&mut self.units, units);
        for (key, text) in self.iter_mut() {
            if let Some(both) = unit_of(key, before).zip(unit_of(key, units)) {
                *text = retyped(text, both.into(), units);
            } else if key == "table" {
                *text = retyped_table(text, [before, units].map(Units::length_unit), units);
            }
        }
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

#[cfg(test)]
mod tests {
    use super::super::form::{CENTRE, FLOOD, PLACE, VENT};
    use super::super::shape_form::Shape;
    use super::*;
    use trimwright::unit::{Decimal, Length, Mass};

    const INCHES: Units =
        Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Comma };

    #[test]
    fn a_form_means_the_same_in_other_units_and_comes_back() {
        let typed = Texts::default()
            .with("name", "keel 1.5")
            .with("length", "38.1")
            .with("x", "abc")
            .with("mass", "283.5")
            .with("coat-area", "64.52")
            .with("density", "2750")
            .with("least", "2.5")
            .with("table", "0 12.7\n\n25.4; 0\nend");
        let mut turned = typed.clone();
        turned.turn_to(INCHES);
        for (key, text) in [
            ("name", "keel 1.5"),
            ("length", "1,5"),
            ("x", "abc"),
            ("mass", "10"),
            ("coat-area", "10"),
            ("density", "1,5896"),
            ("least", "2,5"),
            ("table", "0 0,5\n\n1; 0\nend"),
        ] {
            assert_eq!(turned.get(key), text, "{key}");
        }
        turned.turn_to(Units::METRIC);
        assert_eq!(turned, typed, "and back");
    }

    #[test]
    fn every_size_and_every_axis_is_a_length() {
        let sizes = Shape::ALL.iter().flat_map(|s| s.sizes()).map(|(key, _)| *key);
        let axes =
            [&PLACE, &CENTRE, &VENT, &FLOOD].into_iter().flat_map(|p| p.0.map(|(key, ..)| key));
        for key in sizes.chain(axes) {
            assert!(unit_of(key, INCHES).is_some_and(|u| u.sign == "in"), "{key}");
        }
    }
}
