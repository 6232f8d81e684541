//! What can stand in a field, kind by kind: as it is read, as it is written, and what is usual.

use super::fields::{FieldValue, Fields, WrittenList, WrittenValue, Wrong};
use litemap::LiteMap;
use serde_json::Value;

/// Fields of one kind of JSON value: how it is taken from there and put there, and what is usual.
macro_rules! plain {
    ($($kind:ty: $what:literal, $take:expr, $node:expr, $usual:expr;)*) => {
        $(impl FieldValue for $kind {
            fn read(value: Value) -> Result<Self, Wrong> {
                let take: fn(Value) -> Option<Self> = $take;
                take(value).ok_or_else(|| Wrong::wanted($what))
            }

            fn node(&self) -> WrittenValue<'_> {
                let node: fn(&Self) -> WrittenValue<'_> = $node;
                node(self)
            }

            fn usual() -> Self {
                $usual
            }

            fn is_usual(&self) -> bool {
                *self == $usual
            }
        })*
    };
}

plain! {
    bool: "true or false", |value| value.as_bool(), |it| WrittenValue::Bool(*it), false;
    f64: "a number", |value| value.as_f64(), |it| WrittenValue::Number(*it), 0.0;
    u32: "a whole number", |value| value.as_u64()?.try_into().ok(),
        |it| WrittenValue::Count(u64::from(*it)), 0;
    u64: "a whole number", |value| value.as_u64(), |it| WrittenValue::Count(*it), 0;
    usize: "a whole number", |value| value.as_u64()?.try_into().ok(),
        |it| WrittenValue::Count(*it as u64), 0;
}

impl FieldValue for String {
    fn read(value: Value) -> Result<Self, Wrong> {
        match value {
            Value::String(text) => Ok(text),
            _ => Err(Wrong::wanted("a text")),
        }
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Text(self)
    }

    fn usual() -> Self {
        Self::new()
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }
}

impl<const N: usize> FieldValue for [f64; N] {
    fn read(value: Value) -> Result<Self, Wrong> {
        let numbers = Vec::<f64>::read(value).ok().and_then(|all| all.try_into().ok());
        numbers.ok_or_else(|| Wrong::wanted(&format!("a list of {N} numbers")))
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Numbers(self)
    }

    fn usual() -> Self {
        [0.0; N]
    }

    fn is_usual(&self) -> bool {
        self.iter().all(|number| *number == 0.0)
    }
}

impl<const N: usize> FieldValue for [u32; N] {
    fn read(value: Value) -> Result<Self, Wrong> {
        let numbers = Vec::<u32>::read(value).ok().and_then(|all| all.try_into().ok());
        numbers.ok_or_else(|| Wrong::wanted(&format!("a list of {N} whole numbers")))
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Counts(self)
    }

    fn usual() -> Self {
        [0; N]
    }
}

impl<T: FieldValue> FieldValue for Option<T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        if value.is_null() { Ok(None) } else { T::read(value).map(Some) }
    }

    fn node(&self) -> WrittenValue<'_> {
        self.as_ref().map_or(WrittenValue::Null, T::node)
    }

    fn usual() -> Self {
        None
    }

    fn is_usual(&self) -> bool {
        self.is_none()
    }
}

impl FieldValue for Value {
    fn read(value: Value) -> Result<Self, Wrong> {
        Ok(value)
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Plain(self)
    }

    fn usual() -> Self {
        Self::Null
    }
}

impl<T: FieldValue> FieldValue for Box<T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        T::read(value).map(Self::new)
    }

    fn node(&self) -> WrittenValue<'_> {
        (**self).node()
    }

    fn usual() -> Self {
        Self::new(T::usual())
    }
}

impl<T: FieldValue> FieldValue for Vec<T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        let Value::Array(all) = value else { return Err(Wrong::wanted("a list")) };
        let each = all.into_iter().enumerate();
        each.map(|(k, one)| T::read(one).map_err(|wrong| wrong.within(&format!("[{k}]")))).collect()
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::List(self)
    }

    fn usual() -> Self {
        Self::new()
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }
}

impl<T: FieldValue> WrittenList for Vec<T> {
    fn count(&self) -> usize {
        self.len()
    }

    fn at(&self, k: usize) -> WrittenValue<'_> {
        self.get(k).map_or(WrittenValue::Null, T::node)
    }
}

impl<T: FieldValue> FieldValue for LiteMap<String, T> {
    fn read(value: Value) -> Result<Self, Wrong> {
        let Value::Object(all) = value else { return Err(Wrong::wanted("an object")) };
        let mut read = Self::with_capacity(all.len());
        for (name, one) in all {
            let one = T::read(one).map_err(|wrong| wrong.within(&name))?;
            read.insert(name, one);
        }
        Ok(read)
    }

    fn node(&self) -> WrittenValue<'_> {
        WrittenValue::Record(self)
    }

    fn usual() -> Self {
        Self::new()
    }

    fn is_usual(&self) -> bool {
        self.is_empty()
    }
}

impl<T: FieldValue> Fields for LiteMap<String, T> {
    fn each(&self, put: &mut dyn FnMut(&str, WrittenValue<'_>)) {
        for (name, one) in self.iter() {
            put(name, one.node());
        }
    }
}
