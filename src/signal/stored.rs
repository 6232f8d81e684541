//! A value that nothing follows.

use super::{BoxedValue, handle, value_in, value_of};
use leptos::prelude::{ReadValue, WriteValue};
use std::marker::PhantomData;
use std::ops::{Deref, DerefMut};

type InnerValue = leptos::prelude::StoredValue<BoxedValue>;

/// A value that is kept for as long as its owner, and that nothing follows.
pub(crate) struct StoredValue<T> {
    inner: InnerValue,
    of: PhantomData<fn() -> T>,
}

handle!(StoredValue);

#[inline(never)]
fn made(value: BoxedValue) -> InnerValue {
    InnerValue::new(value)
}

#[inline(never)]
fn look(inner: &InnerValue) -> Option<impl Deref<Target = BoxedValue>> {
    inner.try_read_value()
}

#[inline(never)]
fn open(inner: &InnerValue) -> Option<impl DerefMut<Target = BoxedValue>> {
    inner.try_write_value()
}

const GONE: &str = "the value is there as long as what uses it";

impl<T: Send + Sync + 'static> StoredValue<T> {
    /// Keeps a value.
    pub(crate) fn new(value: T) -> Self {
        Self { inner: made(Box::new(value)), of: PhantomData }
    }

    /// Lets `read` look at the value.
    pub(crate) fn with_value<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(value_of(&look(&self.inner).expect(GONE)))
    }

    /// The same, unless it is gone.
    pub(crate) fn try_with_value<U>(self, read: impl FnOnce(&T) -> U) -> Option<U> {
        look(&self.inner).map(|boxed| read(value_of(&boxed)))
    }

    /// The value.
    pub(crate) fn get_value(self) -> T
    where
        T: Clone,
    {
        self.with_value(T::clone)
    }

    /// The value, unless it is gone.
    pub(crate) fn try_get_value(self) -> Option<T>
    where
        T: Clone,
    {
        self.try_with_value(T::clone)
    }

    /// Changes the value, unless it is gone.
    pub(crate) fn try_update_value<U>(self, change: impl FnOnce(&mut T) -> U) -> Option<U> {
        open(&self.inner).map(|mut boxed| change(value_in(&mut boxed)))
    }

    /// Changes the value; nothing where it is gone.
    pub(crate) fn update_value(self, change: impl FnOnce(&mut T)) {
        let _gone = self.try_update_value(change);
    }

    /// Sets the value; nothing where it is gone.
    pub(crate) fn set_value(self, value: T) {
        self.update_value(|kept| *kept = value);
    }
}
