//! Sizes for which another unit was perhaps meant: asked beside the field, and taken as typed once that is
//! confirmed. No browser in here.

use super::desk::Desk;
use super::form::{Editing, FieldKey, Form, FormReader, LONGEST, Noted, Texts};
use crate::words::t;
use trimwright::unit::{Length, THIN, Units, read_number};

/// From where to where a size is usual, metres: common practice, no source. What is below is asked for, and
/// what was meant lies within.
pub(super) type Usual = [f64; 2];
/// The length of a boat.
pub(super) const BOAT: Usual = [0.05, 5.0];
/// The height of its waterline.
pub(super) const WATERLINE: Usual = [0.005, 0.5];
/// The length of a part or a tank: thinner are sheets only.
pub(super) const PART: Usual = [0.001, 5.0];
/// The greatest length proposed for one that is too long, metres.
const LONG: f64 = 3.0;

/// A size that was perhaps typed in another unit.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Doubt {
    /// As it was typed, with its unit.
    pub(crate) typed: String,
    /// What was perhaps meant, with its unit.
    pub(crate) meant: String,
    /// The same as it would be typed.
    pub(crate) text: String,
    /// Whether what was typed can be taken.
    pub(crate) may_be: bool,
}

impl Doubt {
    /// The doubt about a length as typed; none if it is usual, cannot be read, or nothing else comes to mind.
    pub(crate) fn about(text: &str, units: Units, usual: Usual) -> Option<Self> {
        let (unit, typed) = (units.length_unit(), text.trim());
        let metres = unit.si(read_number(typed).ok().filter(|value| *value > 0.0)?);
        let [least, most] = usual;
        let is_usual = |low: f64, high: f64| move |f: &&f64| (low..=high).contains(&(metres * **f));
        let times = if metres < least {
            // Metres or centimetres; feet, or metres, by who measures in inches.
            let [first, other] = match units.length {
                Length::Millimetre => [1e3, 10.0],
                Length::Inch => [12.0, unit.of(1.0)],
            };
            *[first, other].iter().find(is_usual(least, most)).unwrap_or(&first)
        } else if unit.of(metres) > unit.limit(LONGEST) {
            // A mark for decimals that was left out; a thousandth of the unit.
            *[0.1, 0.01, 0.001].iter().find(is_usual(least, LONG))?
        } else {
            return None;
        };
        let text = units.typed(unit, metres * times);
        let with_unit = |figure: &str| format!("{figure}{THIN}{}", unit.sign);
        let (typed, meant) = (with_unit(typed), with_unit(&text));
        Some(Self { typed, meant, text, may_be: metres < least })
    }

    /// The question.
    pub(crate) fn words(&self) -> String {
        t!("form.did_you_mean", typed = self.typed, meant = self.meant)
    }
}

/// The field that holds a length that was confirmed.
fn sure_of(key: FieldKey) -> FieldKey {
    if key == "waterline" { "waterline-sure" } else { "length-sure" }
}

/// The usual range of a form's field.
fn usual_in(of: Editing, key: FieldKey) -> Option<Usual> {
    match (of, key) {
        (Editing::Boat(_), "length") => Some(BOAT),
        (Editing::Boat(_), "waterline") => Some(WATERLINE),
        (Editing::Part(_) | Editing::Tank(_), "length") => Some(PART),
        _ => None,
    }
}

impl Texts {
    pub(super) fn doubt(&self, key: FieldKey, usual: Usual) -> Option<Doubt> {
        let is_sure = self.has(key) && self.get(sure_of(key)).trim() == self.get(key).trim();
        Doubt::about(self.get(key), self.units, usual).filter(|d| !(is_sure && d.may_be))
    }

    /// Writes a length, metres, that is there already and so is no slip.
    pub(super) fn set_sure_length(&mut self, key: FieldKey, metres: f64, [least, _]: Usual) {
        self.set_length(key, metres);
        if metres < least {
            self.set(sure_of(key), self.get(key).to_owned());
        }
    }
}

impl FormReader<'_> {
    /// A size, metres, that is usual or was confirmed.
    pub(super) fn usual_size(&mut self, key: FieldKey, usual: Usual) -> Result<f64, Noted> {
        if let Some(doubt) = self.texts.doubt(key, usual) {
            self.problem(key, doubt.words());
            return Err(Noted);
        }
        self.size(key)
    }
}

impl Form {
    /// The doubt about what is typed in a field.
    pub(crate) fn doubt(&self, key: FieldKey) -> Option<Doubt> {
        self.texts.doubt(key, usual_in(self.of, key)?)
    }

    /// The field to type into, and the text, that confirm what is typed in another one.
    pub(crate) fn confirmed(&self, key: FieldKey) -> (FieldKey, String) {
        (sure_of(key), self.texts.get(key).to_owned())
    }
}

impl Desk {
    /// A field of the open form is not typed into any more.
    pub(crate) fn typed(self, key: FieldKey) {
        if self.form.with_untracked(|f| f.as_ref().is_some_and(|f| f.typing == Some(key))) {
            self.form.update(|form| {
                if let Some(form) = form {
                    form.typing = None;
                }
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::unit::{Decimal, Mass};

    const INCHES: Units =
        Units { length: Length::Inch, mass: Mass::Ounce, decimal: Decimal::Point };

    fn boat(length: &str) -> Form {
        Form::new(Editing::Boat(None), Texts::default().with("length", length))
    }

    #[test]
    fn a_length_in_another_unit_is_asked_for_and_what_was_meant_proposed() {
        for (units, usual, typed, meant) in [
            (Units::METRIC, BOAT, "0.7", Some("700")),
            (Units::METRIC, BOAT, "0,7", Some("700")),
            (Units::METRIC, BOAT, "25", Some("250")),
            (Units::METRIC, BOAT, "49.9", Some("499")),
            (Units::METRIC, BOAT, "50", None),
            (Units::METRIC, BOAT, "700", None),
            (Units::METRIC, BOAT, "10000", None),
            (Units::METRIC, BOAT, "15000", Some("1500")),
            (Units::METRIC, BOAT, "700000", Some("700")),
            (Units::METRIC, BOAT, "1000000000", None),
            (Units::METRIC, WATERLINE, "0.09", Some("90")),
            (Units::METRIC, WATERLINE, "90", None),
            (Units::METRIC, PART, "0.4", Some("400")),
            (Units::METRIC, PART, "1", None),
            (INCHES, BOAT, "1.5", Some("18")),
            (INCHES, BOAT, "27.5", None),
            (Units::METRIC, BOAT, "0", None),
            (Units::METRIC, BOAT, "-1", None),
            (Units::METRIC, BOAT, "abc", None),
        ] {
            let doubt = Doubt::about(typed, units, usual).map(|d| d.text);
            assert_eq!(doubt.as_deref(), meant, "{typed} {}", units.length_unit().sign);
        }
    }

    #[test]
    fn what_is_confirmed_is_taken_until_something_else_is_typed() {
        let mut form = boat("40");
        let asked = form.doubt("length").expect("too short for a boat");
        assert!(asked.may_be, "it can be: {asked:?}");
        assert_eq!(asked.words(), "40\u{202f}mm: did you mean 400\u{202f}mm?", "in words");
        let (key, text) = form.confirmed("length");
        form.texts.set(key, text);
        assert_eq!(form.doubt("length"), None, "confirmed");
        let mut reader = FormReader::new(&form.texts, super::super::made::Datum::MIDSHIP);
        assert_eq!(reader.usual_size("length", BOAT), Ok(0.04), "and taken");
        form.texts.set("length", "4");
        assert!(form.doubt("length").is_some(), "another one");
    }

    #[test]
    fn what_is_longer_than_is_taken_cannot_be_confirmed() {
        let mut form = boat("15000");
        let (key, text) = form.confirmed("length");
        form.texts.set(key, text);
        assert!(form.doubt("length").is_some_and(|d| !d.may_be), "ten metres are the most");
    }
}
