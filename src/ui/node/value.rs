//! What an attribute, a property, a class or a style is set to.

use super::Make;
use std::borrow::Cow;

/// What an attribute is set to.
pub(crate) enum AttributeValue {
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
    fn into_value(self) -> AttributeValue;
}

impl IntoValue for AttributeValue {
    fn into_value(self) -> AttributeValue {
        self
    }
}

impl IntoValue for bool {
    fn into_value(self) -> AttributeValue {
        AttributeValue::Flag(self)
    }
}

impl<V: IntoValue> IntoValue for Option<V> {
    fn into_value(self) -> AttributeValue {
        self.map_or(AttributeValue::Absent, V::into_value)
    }
}

impl<V: IntoValue, F: Fn() -> V + 'static> IntoValue for F {
    fn into_value(self) -> AttributeValue {
        AttributeValue::Live(Box::new(move || self().into_value()))
    }
}
