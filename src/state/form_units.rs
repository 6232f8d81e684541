//! The fields of a form in other units: the same quantities written anew.

use super::form::Texts;
use trimwright::diary::turn_form;
use trimwright::unit::Units;

impl Texts {
    /// Goes over to other units.
    pub(crate) fn turn_to(&mut self, units: Units) {
        let before = std::mem::replace(&mut self.units, units);
        turn_form(self.iter_mut(), [before, units]);
    }
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
            let mut inches = Texts::default().with(key, "25.4");
            inches.turn_to(INCHES);
            assert_eq!(inches.get(key), "1", "{key}");
        }
    }
}
