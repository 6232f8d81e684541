//! How records stand in the file: each field once, in a table, by which it is read and written. What a table does not
//! name is kept as it is.

use serde::ser::{Serialize, SerializeMap, SerializeSeq, Serializer};
use serde_json::{Map, Value};

/// Fields that this version does not know.
pub(super) type Extra = Map<String, Value>;

/// What can stand in a field.
pub(super) trait FieldValue: Sized {
    /// Reads it.
    fn read(value: Value) -> Result<Self, Wrong>;
    /// As it is written.
    fn node(&self) -> WrittenValue<'_>;
    /// What is understood where nothing is written.
    fn usual() -> Self;
    /// Whether it need not be written.
    fn is_usual(&self) -> bool {
        false
    }
}

/// A record: its fields in the order in which they are written.
pub(super) trait Fields {
    /// Gives each field that is written to `put`, with its name.
    fn each(&self, put: &mut dyn FnMut(&str, WrittenValue<'_>));
}

/// A list of things that can be written.
pub(super) trait WrittenList {
    /// How many.
    fn count(&self) -> usize;
    /// One of them.
    fn at(&self, k: usize) -> WrittenValue<'_>;
}

/// A part of the file as it is written: of few types, whatever the records are, so that the code that writes them
/// is there once.
pub(super) enum WrittenValue<'a> {
    /// Nothing.
    Null,
    /// A switch.
    Bool(bool),
    /// A whole number.
    Count(u64),
    /// A number.
    Number(f64),
    /// A text.
    Text(&'a str),
    /// Numbers, as of a place.
    Numbers(&'a [f64]),
    /// Whole numbers.
    Counts(&'a [u32]),
    /// What is not known here.
    Plain(&'a Value),
    /// A list.
    List(&'a dyn WrittenList),
    /// A record.
    Record(&'a dyn Fields),
}

impl Serialize for WrittenValue<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Null => to.serialize_unit(),
            Self::Bool(value) => to.serialize_bool(*value),
            Self::Count(value) => to.serialize_u64(*value),
            Self::Number(value) => to.serialize_f64(*value),
            Self::Text(value) => to.serialize_str(value),
            Self::Numbers(values) => to.collect_seq(*values),
            Self::Counts(values) => to.collect_seq(*values),
            Self::Plain(value) => value.serialize(to),
            Self::List(list) => {
                let mut items = to.serialize_seq(Some(list.count()))?;
                for k in 0..list.count() {
                    items.serialize_element(&list.at(k))?;
                }
                items.end()
            }
            Self::Record(record) => {
                let mut map = to.serialize_map(None)?;
                let mut done = Ok(());
                record.each(&mut |name, node| {
                    if done.is_ok() {
                        done = map.serialize_entry(name, &node);
                    }
                });
                done?;
                map.end()
            }
        }
    }
}

/// Why something could not be read, and where it stands: `parts[3].mass_kg`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wrong {
    at: String,
    why: String,
}

impl Wrong {
    /// What is wanted there.
    pub(super) fn wanted(what: &str) -> Self {
        Self::because(format!("{what} is wanted"))
    }

    /// Why.
    pub(super) fn because(why: impl Into<String>) -> Self {
        Self { at: String::new(), why: why.into() }
    }

    pub(super) fn within(mut self, outer: &str) -> Self {
        let joint = if self.at.is_empty() || self.at.starts_with('[') { "" } else { "." };
        self.at = format!("{outer}{joint}{}", self.at);
        self
    }
}

impl std::fmt::Display for Wrong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let joint = if self.at.is_empty() { "" } else { ": " };
        write!(f, "{}{joint}{}", self.at, self.why)
    }
}

/// A record that is being read. The first field that cannot be read is what is wrong with it.
pub(super) struct RecordReader {
    of: Extra,
    wrong: Option<Wrong>,
}

impl RecordReader {
    /// Of an object; of nothing, and wrong, where it is none.
    pub(super) fn of(value: Value) -> Self {
        match value {
            Value::Object(of) => Self { of, wrong: None },
            _ => Self { of: Extra::new(), wrong: Some(Wrong::wanted("an object")) },
        }
    }

    /// A field that must be there.
    pub(super) fn needs<T: FieldValue>(&mut self, name: &str) -> T {
        match self.of.remove(name) {
            Some(value) => self.read(name, value),
            None => self.refused(Wrong::because("missing").within(name)),
        }
    }

    /// A field that may be absent.
    pub(super) fn may<T: FieldValue>(&mut self, name: &str) -> T {
        match self.of.remove(name) {
            Some(value) => self.read(name, value),
            None => T::usual(),
        }
    }

    fn read<T: FieldValue>(&mut self, name: &str, value: Value) -> T {
        T::read(value).unwrap_or_else(|wrong| self.refused(wrong.within(name)))
    }

    fn refused<T: FieldValue>(&mut self, wrong: Wrong) -> T {
        self.wrong.get_or_insert(wrong);
        T::usual()
    }

    /// The fields that were not asked for.
    pub(super) fn rest(&mut self) -> Extra {
        std::mem::take(&mut self.of)
    }

    /// The record, if all of it could be read.
    pub(super) fn done<T>(self, record: T) -> Result<T, Wrong> {
        self.wrong.map_or(Ok(record), Err)
    }
}

/// Gives the fields that are not known here to `put`.
pub(super) fn put_rest(rest: &Extra, put: &mut dyn FnMut(&str, WrittenValue<'_>)) {
    for (name, value) in rest {
        put(name, WrittenValue::Plain(value));
    }
}

/// Gives a field to `put`, unless it need not be written.
pub(super) fn put_unless_usual<T: FieldValue>(
    name: &str,
    field: &T,
    put: &mut dyn FnMut(&str, WrittenValue<'_>),
) {
    if !field.is_usual() {
        put(name, field.node());
    }
}

/// That one of these words is wanted.
pub(super) fn one_of(words: &[&str]) -> Wrong {
    Wrong::wanted(&format!("one of {}", words.join(", ")))
}
