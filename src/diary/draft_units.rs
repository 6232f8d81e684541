//! What is being typed, in other units: the same quantities, written anew.

use super::record::Draft;
use super::settings::UnitsRecord;
use crate::unit::{Decimal, Unit, Units, read_number};

impl Draft {
    /// Goes over to other units. What can be read is written anew, with the mark dividing its
    /// decimals; what can't be read stays as it was typed.
    pub fn turn_to_units(&mut self, units: UnitsRecord, decimal: Decimal) {
        let (from, to) = (Units::from(self.units), Units { decimal, ..Units::from(units) });
        for text in self.marks.values_mut() {
            retype(text, from.length_unit(), to.length_unit(), to);
        }
        for text in [&mut self.residual, &mut self.shift] {
            retype(text, from.mass_unit(), to.mass_unit(), to);
        }
        self.units = units;
    }

    /// Puts a mark in the place of the one that divides decimals, in all that can be read.
    pub fn turn_to_decimal(&mut self, decimal: Decimal) {
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
            &mut water.temperature,
            &mut water.salinity,
            &mut water.density,
        ];
        for text in texts.into_iter().chain(self.marks.values_mut()) {
            if read_number(text).is_ok() {
                *text = decimal.mark(text);
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
            marks: [("bow".to_owned(), bow.to_owned())].into(),
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
        assert_eq!((typed.marks["bow"].as_str(), typed.residual.as_str()), ("0.2953", "0312"), "");
        typed.turn_to_units(UnitsRecord { length: LengthUnit::Inch, ..METRIC }, Decimal::Comma);
        assert_eq!(typed.marks["bow"], "0.2953", "nothing to do");
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
