//! What follows from other values.

use super::{RwSignal, handle};
use leptos::prelude::{GetUntracked, Track};
use std::any::Any;
use std::marker::PhantomData;
use std::sync::Arc;

/// A value and by what it differs from another of its type.
struct MemoValue<T> {
    value: T,
    differs: Differs<T>,
}

type Differs<T> = fn(Option<&T>, Option<&T>) -> bool;

/// A [`MemoValue`] of any type.
trait AnyValue: Send + Sync {
    fn value(&self) -> &dyn Any;
    fn differs_from(&self, other: &dyn AnyValue) -> bool;
}

impl<T: Send + Sync + 'static> AnyValue for MemoValue<T> {
    fn value(&self) -> &dyn Any {
        &self.value
    }

    fn differs_from(&self, other: &dyn AnyValue) -> bool {
        (self.differs)(Some(&self.value), other.value().downcast_ref())
    }
}

type SharedValue = Arc<dyn AnyValue>;

/// What a memo is made by; given what was there before. (A pointer to a trait of the language for closures would
/// bring the code to call it in three ways.)
trait Source: Send + Sync {
    fn value(&self, before: Option<&SharedValue>) -> SharedValue;
}

impl<F: Fn(Option<&SharedValue>) -> SharedValue + Send + Sync> Source for F {
    fn value(&self, before: Option<&SharedValue>) -> SharedValue {
        self(before)
    }
}

fn value_of<T: 'static>(shared: &SharedValue) -> &T {
    shared.value().downcast_ref().expect("a memo holds what it was made of")
}

// Each once, for all types.

#[inline(never)]
fn look(inner: leptos::prelude::Memo<SharedValue>) -> SharedValue {
    inner.get_untracked()
}

#[inline(never)]
fn made(source: Box<dyn Source>) -> leptos::prelude::Memo<SharedValue> {
    leptos::prelude::Memo::new_with_compare(
        move |before| source.value(before),
        |before, now| match (before, now) {
            (Some(before), Some(now)) => {
                !Arc::ptr_eq(before, now) && before.differs_from(now.as_ref())
            }
            _ => true,
        },
    )
}

/// A value that follows from others, and is calculated anew when they have changed.
pub(crate) struct Memo<T> {
    inner: leptos::prelude::Memo<SharedValue>,
    of: PhantomData<fn() -> T>,
}

handle!(Memo);

impl<T: Send + Sync + 'static> Memo<T> {
    /// A memo over `value`, which is given what it was before.
    pub(crate) fn new(value: impl Fn(Option<&T>) -> T + Send + Sync + 'static) -> Self
    where
        T: PartialEq,
    {
        Self::new_with_compare(value, |before, now| before != now)
    }

    /// The same where `differs` says whether it has changed.
    pub(crate) fn new_with_compare(
        value: impl Fn(Option<&T>) -> T + Send + Sync + 'static,
        differs: Differs<T>,
    ) -> Self {
        let source = move |before: Option<&SharedValue>| -> SharedValue {
            Arc::new(MemoValue { value: value(before.map(value_of)), differs })
        };
        Self { inner: made(Box::new(source)), of: PhantomData }
    }

    /// A memo over `value` that says itself that nothing has changed, by none: what was there stays, uncopied.
    pub(crate) fn new_unless_same(
        value: impl Fn(Option<&T>) -> Option<T> + Send + Sync + 'static,
    ) -> Self
    where
        T: Default,
    {
        let source = move |before: Option<&SharedValue>| -> SharedValue {
            let (now, before) = (value(before.map(value_of)), before.cloned());
            let anew =
                |value: T| -> SharedValue { Arc::new(MemoValue { value, differs: |_, _| true }) };
            now.map(anew).or(before).unwrap_or_else(|| anew(T::default()))
        };
        Self { inner: made(Box::new(source)), of: PhantomData }
    }

    /// A value that stays as it is.
    pub(crate) fn fixed(value: T) -> Self {
        let value: SharedValue = Arc::new(MemoValue { value, differs: |_, _| true });
        let source = move |_: Option<&SharedValue>| Arc::clone(&value);
        Self { inner: made(Box::new(source)), of: PhantomData }
    }

    /// Lets `read` look at the value; what asks follows it.
    pub(crate) fn with<U>(self, read: impl FnOnce(&T) -> U) -> U {
        self.inner.track();
        self.with_untracked(read)
    }

    /// The same without following it.
    pub(crate) fn with_untracked<U>(self, read: impl FnOnce(&T) -> U) -> U {
        read(value_of(&look(self.inner)))
    }

    /// Follows it without looking.
    pub(crate) fn track(self) {
        self.inner.track();
    }

    /// The value; what asks follows it.
    pub(crate) fn get(self) -> T
    where
        T: Clone,
    {
        self.with(T::clone)
    }

    /// The value, unless the memo is gone.
    pub(crate) fn try_get_untracked(self) -> Option<T>
    where
        T: Clone,
    {
        self.inner.try_get_untracked().map(|shared| value_of::<T>(&shared).clone())
    }

    /// The value, without following it.
    pub(crate) fn get_untracked(self) -> T
    where
        T: Clone,
    {
        self.with_untracked(T::clone)
    }
}

impl<T: Send + Sync + 'static, F: Fn() -> T + Send + Sync + 'static> From<F> for Memo<T> {
    /// What has it runs again at each change of what `value` reads.
    fn from(value: F) -> Self {
        Self::new_with_compare(move |_| value(), |_, _| true)
    }
}

impl<T: Clone + Send + Sync + 'static> From<RwSignal<T>> for Memo<T> {
    fn from(signal: RwSignal<T>) -> Self {
        Self::from(move || signal.get())
    }
}

impl<T: Default + Send + Sync + 'static> Default for Memo<T> {
    fn default() -> Self {
        Self::fixed(T::default())
    }
}

/// A memo over `value`.
pub(crate) fn memo<T>(value: impl Fn() -> T + Send + Sync + 'static) -> Memo<T>
where
    T: PartialEq + Send + Sync + 'static,
{
    Memo::new(move |_| value())
}
