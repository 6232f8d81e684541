//! A form of the ledger while it is open: everything as typed, by the name of its field, and how
//! texts become figures. No browser in here.

use super::made::Datum;
use crate::words::{self, Word, t, word};
use litemap::LiteMap;
use std::borrow::Cow;
use trimwright::unit::{NumberError, Unit, Units, read_number};

/// What a form is about: the line it changes, or none while it is not in the ledger yet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Editing {
    /// A part.
    Part(Option<usize>),
    /// A tank.
    Tank(Option<usize>),
    /// A mark.
    Mark(Option<usize>),
    /// A place for weight.
    Place(Option<usize>),
    /// The boat itself: its name and length.
    Boat(Option<usize>),
    /// What is right for the boat under water.
    Aim,
}

impl Editing {
    /// The same with the line it changes.
    pub(crate) fn at(self, line: usize) -> Self {
        match self {
            Self::Part(_) => Self::Part(Some(line)),
            Self::Tank(_) => Self::Tank(Some(line)),
            Self::Mark(_) => Self::Mark(Some(line)),
            Self::Place(_) => Self::Place(Some(line)),
            Self::Boat(_) => Self::Boat(Some(line)),
            Self::Aim => Self::Aim,
        }
    }

    /// The next one of its kind, which is not there yet.
    pub(crate) fn another(self) -> Self {
        match self {
            Self::Part(_) => Self::Part(None),
            Self::Tank(_) => Self::Tank(None),
            Self::Mark(_) => Self::Mark(None),
            Self::Place(_) => Self::Place(None),
            Self::Boat(_) => Self::Boat(None),
            Self::Aim => Self::Aim,
        }
    }

    /// Whether there are more of its kind in a boat.
    pub(crate) fn is_one_of_many(self) -> bool {
        !matches!(self, Self::Boat(_) | Self::Aim)
    }

    /// The line it changes.
    pub(crate) fn line(self) -> Option<usize> {
        match self {
            Self::Part(line)
            | Self::Tank(line)
            | Self::Mark(line)
            | Self::Place(line)
            | Self::Boat(line) => line,
            // Every boat has one.
            Self::Aim => Some(0),
        }
    }
}

/// The name of a field.
pub(crate) type FieldKey = &'static str;

/// What is wrong with a field, in words.
pub(crate) type FormProblem = (FieldKey, String);

/// The name of a field that may have been read from the store.
pub(super) type Name = Cow<'static, str>;

/// What is typed and chosen, by the name of the field, and the units it is in.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Texts {
    pub(super) fields: LiteMap<Name, String>,
    /// In what lengths and masses are typed.
    pub(crate) units: Units,
}

impl Texts {
    /// Empty fields for these units.
    pub(crate) fn new(units: Units) -> Self {
        Self { units, ..Self::default() }
    }

    /// What is in a field; nothing if it was not touched.
    pub(crate) fn get(&self, key: &str) -> &str {
        self.fields.get(key).map_or("", String::as_str)
    }

    /// True when something other than spaces is in a field.
    pub(crate) fn has(&self, key: FieldKey) -> bool {
        !self.get(key).trim().is_empty()
    }

    /// Types into a field.
    pub(crate) fn set(&mut self, key: FieldKey, text: impl Into<String>) {
        self.fields.insert(Name::Borrowed(key), text.into());
    }

    /// Writes a quantity in SI into a field of a unit.
    pub(crate) fn set_in(&mut self, key: FieldKey, unit: Unit, si: f64) {
        self.set(key, self.units.typed(unit, si));
    }

    /// Writes a length, metres, into a field.
    pub(crate) fn set_length(&mut self, key: FieldKey, metres: f64) {
        self.set_in(key, self.units.length_unit(), metres);
    }

    /// Every field that was touched.
    pub(super) fn iter_mut(&mut self) -> impl Iterator<Item = (&str, &mut String)> {
        self.fields.iter_mut().map(|(key, text)| (key.as_ref(), text))
    }

    /// The fields with a text, for a form that begins.
    pub(crate) fn with(mut self, key: FieldKey, text: impl Into<String>) -> Self {
        self.set(key, text);
        self
    }

    /// Writes a place into three fields and their sides.
    pub(crate) fn set_place(&mut self, keys: &PlaceKeys, [x, y, z]: [f64; 3], datum: Datum) {
        for ((key, side, sides), value) in keys.0.iter().zip([x - datum.x, y, z].map(exact)) {
            self.set_length(key, value.abs());
            // What is written as nothing is to no other side.
            self.set(side, sides[usize::from(value < 0.0 && self.get(key) != "0")]);
        }
    }
}

/// The fields of a place: for each axis the distance, its side, and the words of the sides.
pub(crate) struct PlaceKeys(pub(crate) [(FieldKey, FieldKey, [&'static str; 2]); 3]);

/// The sides along each axis, the positive one first: as forms keep them, not as they are shown.
const SIDES: [[&str; 2]; 3] = [["forward", "aft"], ["port", "starboard"], ["above", "below"]];

/// The middle of a part.
pub(crate) const PLACE: PlaceKeys =
    PlaceKeys([("x", "x-side", SIDES[0]), ("y", "y-side", SIDES[1]), ("z", "z-side", SIDES[2])]);
/// Its centre of mass, where that is somewhere else.
pub(crate) const CENTRE: PlaceKeys = PlaceKeys([
    ("centre-x", "centre-x-side", SIDES[0]),
    ("centre-y", "centre-y-side", SIDES[1]),
    ("centre-z", "centre-z-side", SIDES[2]),
]);
/// The vent of a tank.
pub(crate) const VENT: PlaceKeys = PlaceKeys([
    ("vent-x", "vent-x-side", SIDES[0]),
    ("vent-y", "vent-y-side", SIDES[1]),
    ("vent-z", "vent-z-side", SIDES[2]),
]);
/// The flood opening of a tank.
pub(crate) const FLOOD: PlaceKeys = PlaceKeys([
    ("flood-x", "flood-x-side", SIDES[0]),
    ("flood-y", "flood-y-side", SIDES[1]),
    ("flood-z", "flood-z-side", SIDES[2]),
]);

/// Why a form cannot be put into the boat.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Refused {
    /// What is wrong, field by field.
    pub(crate) problems: Vec<FormProblem>,
    /// Every field can be read; the part as a whole cannot be, or not there.
    pub(crate) as_a_whole: bool,
}

impl From<Vec<FormProblem>> for Refused {
    fn from(problems: Vec<FormProblem>) -> Self {
        Self { problems, as_a_whole: false }
    }
}

impl From<FormProblem> for Refused {
    fn from(problem: FormProblem) -> Self {
        Self { problems: vec![problem], as_a_whole: true }
    }
}

/// An open form.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Form {
    /// What it is about.
    pub(crate) of: Editing,
    /// What is typed.
    pub(crate) texts: Texts,
    /// What is wrong with it.
    pub(crate) problems: Vec<FormProblem>,
    /// The fields that were typed into.
    pub(crate) touched: LiteMap<Name, ()>,
    /// The field that is being typed into: what may be half a figure is not doubted yet.
    pub(crate) typing: Option<FieldKey>,
    /// Whether every problem shows: the form was finished once, or all of it could be read and it
    /// is the whole that cannot be.
    pub(crate) asked: bool,
    /// How many forms were opened before: tells one form from the next of its kind.
    pub(crate) opened: u32,
    /// Under what its texts were last put down with the draft.
    pub(super) kept_as: String,
}

impl Form {
    /// A form that was just opened.
    pub(crate) fn new(of: Editing, texts: Texts) -> Self {
        let (problems, touched) = (Vec::new(), LiteMap::new());
        let (opened, kept_as) = (0, String::new());
        Self { of, texts, problems, touched, typing: None, asked: false, opened, kept_as }
    }

    /// True when it was typed into, or is of something that is not in the ledger yet.
    pub(crate) fn is_changed(&self) -> bool {
        self.of.line().is_none() || !self.touched.is_empty()
    }

    /// What is wrong with a field, once its user is done with it: an empty field is no mistake
    /// before the form is finished.
    pub(crate) fn problem(&self, key: FieldKey) -> Option<&str> {
        let is_typed = || self.typing == Some(key) && self.doubt(key).is_some();
        let shows =
            self.asked || (self.touched.contains_key(key) && self.texts.has(key) && !is_typed());
        let found = self.problems.iter().find(|(k, _)| *k == key);
        found.filter(|_| shows).map(|(_, words)| words.as_str())
    }
}

/// The longest that is taken for a length, metres: a slip beyond it.
pub(crate) const LONGEST: f64 = 10.0;

/// A field cannot be used; what is wrong with it is among the reader's problems.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Noted;

/// Reads fields one by one and collects what is wrong with them.
pub(crate) struct FormReader<'a> {
    /// The fields.
    pub(crate) texts: &'a Texts,
    /// Where lengths along the boat are measured from.
    pub(crate) datum: Datum,
    /// What is wrong so far.
    pub(crate) problems: Vec<FormProblem>,
}

impl<'a> FormReader<'a> {
    /// Begins to read.
    pub(crate) fn new(texts: &'a Texts, datum: Datum) -> Self {
        Self { texts, datum, problems: Vec::new() }
    }

    /// Says what is wrong with a field.
    pub(crate) fn problem(&mut self, key: FieldKey, words: String) {
        self.problems.push((key, words));
    }

    /// The value, if nothing was wrong.
    pub(crate) fn finish<T>(self, value: Result<T, Noted>) -> Result<T, Vec<FormProblem>> {
        match value {
            Ok(value) if self.problems.is_empty() => Ok(value),
            _ => Err(self.problems),
        }
    }

    fn number(&mut self, key: FieldKey) -> Result<f64, Noted> {
        match read_number(self.texts.get(key)) {
            Ok(value) => Ok(value),
            Err(problem) => {
                self.problem(key, words::number::number(&problem));
                Err(Noted)
            }
        }
    }

    /// A quantity typed in a unit, from zero up to `most`, both in SI.
    pub(crate) fn zero_or_more(
        &mut self,
        key: FieldKey,
        most: f64,
        unit: Unit,
    ) -> Result<f64, Noted> {
        self.up_to(key, most, unit, (|value| value >= 0.0, word!("form.zero_or_more")))
    }

    /// A quantity typed in a unit, above zero and up to `most`, both in SI.
    pub(crate) fn more_than_zero(
        &mut self,
        key: FieldKey,
        most: f64,
        unit: Unit,
    ) -> Result<f64, Noted> {
        self.up_to(key, most, unit, (|value| value > 0.0, word!("form.more_than_zero")))
    }

    /// A quantity up to `most` of which something must hold, or else the words of a key say so.
    fn up_to(
        &mut self,
        key: FieldKey,
        most: f64,
        unit: Unit,
        (holds, otherwise): (fn(f64) -> bool, Word),
    ) -> Result<f64, Noted> {
        let value = self.number(key)?;
        if !holds(value) {
            self.problem(key, t!(otherwise));
            return Err(Noted);
        }
        let high = unit.limit(most);
        if value > high {
            let problem = NumberError::OutOfRange { value, low: 0.0, high };
            self.problem(key, words::number::number(&problem));
            return Err(Noted);
        }
        Ok(exact(unit.si(value)))
    }

    /// A size: metres.
    pub(crate) fn size(&mut self, key: FieldKey) -> Result<f64, Noted> {
        self.more_than_zero(key, LONGEST, self.texts.units.length_unit())
    }

    /// A distance with its side; an empty field is no distance.
    fn sided(&mut self, key: FieldKey, side: FieldKey, sides: [&str; 2]) -> Result<f64, Noted> {
        if !self.texts.has(key) {
            return Ok(0.0);
        }
        let typed = self.number(key)?;
        let unit = self.texts.units.length_unit();
        let (metres, high) = (unit.si(typed), unit.limit(LONGEST));
        if typed.abs() > high {
            let problem = NumberError::OutOfRange { value: typed, low: -high, high };
            self.problem(key, words::number::number(&problem));
            return Err(Noted);
        }
        Ok(if self.texts.get(side) == sides[1] { -metres } else { metres })
    }

    /// A place, body axes, metres.
    pub(crate) fn place(&mut self, keys: &PlaceKeys) -> Result<[f64; 3], Noted> {
        let [along, across, up] = keys.0.map(|(key, side, sides)| self.sided(key, side, sides));
        Ok([along? + self.datum.x, across?, up?].map(exact))
    }

    /// A place of which something must be said: a part that was put nowhere is a slip.
    pub(crate) fn said_place(&mut self, keys: &PlaceKeys) -> Result<[f64; 3], Noted> {
        let [(along, ..), ..] = keys.0;
        if keys.0.iter().all(|(key, ..)| !self.texts.has(key)) {
            self.problem(along, t!("form.say_where"));
            return Err(Noted);
        }
        self.place(keys)
    }

    /// A whole number up to `most`; none if nothing is typed.
    pub(crate) fn count(&mut self, key: FieldKey, most: u32) -> Result<f64, Noted> {
        if !self.texts.has(key) {
            return Ok(0.0);
        }
        let n = self.zero_or_more(key, f64::from(most), Unit::PLAIN)?;
        if n.fract() == 0.0 {
            return Ok(n);
        }
        self.problem(key, t!("form.whole_number"));
        Err(Noted)
    }

    /// A place, if one of its fields is filled in; those that are not are where `usual` says.
    pub(crate) fn optional_place(
        &mut self,
        keys: &PlaceKeys,
        usual: Option<[f64; 3]>,
    ) -> Result<Option<[f64; 3]>, Noted> {
        let given = keys.0.map(|(key, ..)| self.texts.has(key));
        if !given.contains(&true) {
            return Ok(None);
        }
        let mut place = self.place(keys)?;
        for ((axis, usual), given) in place.iter_mut().zip(usual.unwrap_or_default()).zip(given) {
            if !given {
                *axis = usual;
            }
        }
        Ok(Some(place))
    }
}

/// The decimal number that was meant: 0.0488 where a product gives 0.048799999999999996.
pub(crate) fn exact(value: f64) -> f64 {
    // Nothing has no sign: what is put on the centre line is to no side.
    (value * 1e9).round() / 1e9 + 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_arithmetic_left_of_nothing_is_nothing_in_a_field_and_in_the_boat() {
        let mut texts = Texts::default();
        // 2.1e-14 mm aft, a hair to starboard, and a nought with a sign.
        texts.set_place(&PLACE, [-2.143_132e-17, -4e-6, -0.0], Datum::MIDSHIP);
        for (key, side, sides) in PLACE.0 {
            assert_eq!((texts.get(key), texts.get(side)), ("0", sides[0]), "{key}");
        }
        let aft = texts.with("x-side", SIDES[0][1]);
        let place = FormReader::new(&aft, Datum::MIDSHIP).place(&PLACE).expect("three noughts");
        assert_eq!(place.map(f64::to_bits), [0; 3], "no sign is left: {place:?}");
        assert_eq!(exact(0.1 + 0.2).to_string(), "0.3", "as it would be typed");
    }
}
