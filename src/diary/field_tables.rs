//! The tables by which records and choices are read and written, as macros.

/// The table of a record: `needs` is a field that must be there, `has` one that may be absent and is always written,
/// `may` one that is written only where it is not as usual. `as` gives another name than the field's own. The last is
/// where fields are kept that are not known here. A record of which more than nothing need not be written says by which
/// of its functions.
macro_rules! fields {
    ($record:ty $(, unless $is_usual:ident)? {
        $($kind:ident $field:ident $(as $name:literal)?,)* $(.. $extra:ident)?
    }) => {
        $crate::diary::field_tables::table!($record $(, unless $is_usual)? {
            $($kind $field $(as $name)?,)* $(.. $extra)?
        });
        $crate::diary::field_tables::by_serde!($record);
    };
}
pub(super) use fields;

/// As [`fields`], without reading and writing by `serde`.
macro_rules! table {
    ($record:ty $(, unless $is_usual:ident)? {
        $($kind:ident $field:ident $(as $name:literal)?,)* $(.. $extra:ident)?
    }) => {
        impl $crate::diary::fields::FieldValue for $record {
            fn read(value: serde_json::Value) -> Result<Self, $crate::diary::fields::Wrong> {
                let mut reader = $crate::diary::fields::RecordReader::of(value);
                let record = Self {
                    $($field: $crate::diary::field_tables::table!(@read $kind reader, $crate::diary::field_tables::table!(@name $field $($name)?)),)*
                    $($extra: reader.rest(),)?
                };
                reader.done(record)
            }

            fn node(&self) -> $crate::diary::fields::WrittenValue<'_> {
                $crate::diary::fields::WrittenValue::Record(self)
            }

            fn usual() -> Self {
                Self {
                    $($field: $crate::diary::fields::FieldValue::usual(),)*
                    $($extra: $crate::diary::fields::Extra::new(),)?
                }
            }

            fn is_usual(&self) -> bool {
                $crate::diary::field_tables::table!(@usual self $($is_usual)?)
            }
        }

        impl $crate::diary::fields::Fields for $record {
            fn each(&self, put: &mut dyn FnMut(&str, $crate::diary::fields::WrittenValue<'_>)) {
                $($crate::diary::field_tables::table!(@put $kind self.$field, $crate::diary::field_tables::table!(@name $field $($name)?), put);)*
                $($crate::diary::fields::put_rest(&self.$extra, put);)?
            }
        }
    };
    (@name $field:ident) => { stringify!($field) };
    (@name $field:ident $name:literal) => { $name };
    (@usual $record:ident) => { *$record == <Self as $crate::diary::fields::FieldValue>::usual() };
    (@usual $record:ident $is_usual:ident) => { $record.$is_usual() };
    (@read needs $reader:ident, $name:expr) => { $reader.needs($name) };
    (@read has $reader:ident, $name:expr) => { $reader.may($name) };
    (@read may $reader:ident, $name:expr) => { $reader.may($name) };
    (@put may $field:expr, $name:expr, $put:ident) => {
        $crate::diary::fields::put_unless_usual($name, &$field, $put)
    };
    (@put $kind:ident $field:expr, $name:expr, $put:ident) => {
        $put($name, $crate::diary::fields::FieldValue::node(&$field))
    };
}
pub(super) use table;

/// For other programs and other parts of this one, by `serde`: as the table has it.
macro_rules! by_serde {
    ($record:ty) => {
        impl serde::Serialize for $record {
            fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
                $crate::diary::fields::FieldValue::node(self).serialize(to)
            }
        }

        impl<'de> serde::Deserialize<'de> for $record {
            fn deserialize<D: serde::Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
                let value = serde_json::Value::deserialize(from)?;
                $crate::diary::fields::FieldValue::read(value).map_err(serde::de::Error::custom)
            }
        }
    };
}
pub(super) use by_serde;

/// The words by which the variants of a choice stand in the file; the first is the usual one.
macro_rules! words {
    ($choice:ty { $($variant:ident $word:literal,)* }) => {
        impl $choice {
            const WORDS: &'static [(&'static str, Self)] = &[$(($word, Self::$variant),)*];
        }

        impl $crate::diary::fields::FieldValue for $choice {
            fn read(value: serde_json::Value) -> Result<Self, $crate::diary::fields::Wrong> {
                let found = Self::WORDS.iter().find(|(word, _)| value.as_str() == Some(*word));
                found.map(|(_, choice)| *choice).ok_or_else(|| {
                    $crate::diary::fields::one_of(&[$($word,)*])
                })
            }

            fn node(&self) -> $crate::diary::fields::WrittenValue<'_> {
                let found = Self::WORDS.iter().find(|(_, choice)| choice == self);
                $crate::diary::fields::WrittenValue::Text(found.map_or("", |(word, _)| word))
            }

            fn usual() -> Self {
                Self::WORDS[0].1
            }

            fn is_usual(&self) -> bool {
                *self == Self::usual()
            }
        }

        $crate::diary::field_tables::by_serde!($choice);
    };
}
pub(super) use words;
