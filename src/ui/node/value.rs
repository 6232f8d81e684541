//! What an attribute, a property, a class or a style is set to.

use super::Make;
use crate::signal::{Memo, RwSignal};
use leptos::prelude::{Get, ReadSignal};
use std::borrow::Cow;

/// What an attribute is set to.
pub(crate) enum Value {
    /// Not there.
    Absent,
    /// There or not, without a text.
    Flag(bool),
    /// A text.
    Text(Cow<'static, str>),
    /// What changes with the signals it reads.
    Live(Box<dyn Make<Self>>),
}

/// What an attribute can be set to.
pub(crate) trait IntoValue {
    /// As a value.
    fn into_value(self) -> Value;
}

impl IntoValue for Value {
    fn into_value(self) -> Value {
        self
    }
}

impl IntoValue for bool {
    fn into_value(self) -> Value {
        Value::Flag(self)
    }
}

impl IntoValue for String {
    fn into_value(self) -> Value {
        Value::Text(self.into())
    }
}

impl IntoValue for &'static str {
    fn into_value(self) -> Value {
        Value::Text(self.into())
    }
}

impl IntoValue for Cow<'static, str> {
    fn into_value(self) -> Value {
        Value::Text(self)
    }
}

impl<V: IntoValue> IntoValue for Option<V> {
    fn into_value(self) -> Value {
        self.map_or(Value::Absent, V::into_value)
    }
}

impl<V: IntoValue, F: Fn() -> V + 'static> IntoValue for F {
    fn into_value(self) -> Value {
        Value::Live(Box::new(move || self().into_value()))
    }
}

macro_rules! signals {
    ($($kind:ident),*) => {$(
        impl<V: IntoValue + Clone + Send + Sync + 'static> IntoValue for $kind<V> {
            fn into_value(self) -> Value {
                Value::Live(Box::new(move || self.get().into_value()))
            }
        }
    )*};
}

signals!(Memo, RwSignal, ReadSignal);

macro_rules! numbers {
    ($($kind:ty),*) => {$(
        impl IntoValue for $kind {
            fn into_value(self) -> Value {
                self.to_string().into_value()
            }
        }
    )*};
}

numbers!(usize, u8, u32, u64, i32, f64);
