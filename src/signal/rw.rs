//! A value that is read and set, and followed by what reads it.

use super::{BoxedValue, handle, value_in, value_of};
use leptos::prelude::{ReadUntracked, Track, UntrackableGuard, Write};
use std::marker::PhantomData;

type InnerSignal = leptos::prelude::RwSignal<BoxedValue>;

/// A value that can be set; what has read it runs again.
pub(crate) struct RwSignal<T> {
    inner: InnerSignal,
    of: PhantomData<fn() -> T>,
}

handle!(RwSignal);

// Each once, for all types.

#[inline(never)]
fn made(value: BoxedValue) -> InnerSignal {
    InnerSignal::new(value)
}

#[inline(never)]
fn look(inner: InnerSignal) -> Option<<InnerSignal as ReadUntracked>::Value> {
    inner.try_read_untracked()
}

#[inline(never)]
fn open(inner: &InnerSignal) -> Option<impl UntrackableGuard<Target = BoxedValue>> {
    inner.try_write()
}

/// What is read when its owner is gone is an error of the program.
const GONE: &str = "the signal is there as long as what reads it";

impl<T: Send + Sync + 'static> RwSignal<T> {
    /// A signal of a value.
    pub(crate) fn new(value: T) -> Self {
        Self { inner: made(Box::new(value)), of: PhantomData }
    }

    /// Follows it without looking.
    pub(crate) fn track(self) {
        self.inner.track();
    }

    /// Lets `read` look at the value, unless the signal is gone.
    pub(crate) fn try_with_untracked<U>(self, read: impl FnOnce(&T) -> U) -> Option<U> {
        look(self.inner).map(|boxed| read(value_of(&boxed)))
    }

    /// Lets `read` look at the value, without following it.
    pub(crate) fn with_untracked<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(value_of(&look(self.inner).expect(GONE)))
    }

    /// Lets `read` look at the value; what asks follows it.
    pub(crate) fn with<U>(self, read: impl FnOnce(&T) -> U) -> U {
        self.inner.track();
        self.with_untracked(read)
    }

    /// The value, unless the signal is gone.
    pub(crate) fn try_get_untracked(self) -> Option<T>
    where
        T: Clone,
    {
        self.try_with_untracked(T::clone)
    }

    /// The value, without following it.
    pub(crate) fn get_untracked(self) -> T
    where
        T: Clone,
    {
        self.with_untracked(T::clone)
    }

    /// The value; what asks follows it.
    pub(crate) fn get(self) -> T
    where
        T: Clone,
    {
        self.with(T::clone)
    }

    /// Changes the value, unless the signal is gone.
    pub(crate) fn try_update<U>(self, change: impl FnOnce(&mut T) -> U) -> Option<U> {
        open(&self.inner).map(|mut boxed| change(value_in(&mut boxed)))
    }

    /// Changes the value; nothing where the signal is gone.
    pub(crate) fn update(self, change: impl FnOnce(&mut T)) {
        let _gone = self.try_update(change);
    }

    /// Changes the value so that nothing runs again.
    pub(crate) fn update_untracked<U>(self, change: impl FnOnce(&mut T) -> U) -> U {
        let mut boxed = open(&self.inner).expect(GONE);
        boxed.untrack();
        change(value_in(&mut boxed))
    }

    /// Sets the value; gives it back if the signal is gone.
    pub(crate) fn try_set(self, value: T) -> Option<T> {
        match open(&self.inner) {
            Some(mut boxed) => {
                *value_in(&mut boxed) = value;
                None
            }
            None => Some(value),
        }
    }

    /// Sets the value; nothing where the signal is gone.
    pub(crate) fn set(self, value: T) {
        let _gone = self.try_set(value);
    }
}
