//! Memos of one kind for each type of value.
//!
//! A memo's code is made anew for every closure it is given. Boxing the closure makes one memo for
//! all of a type: the app is a tenth smaller for it, and a call through a pointer costs nothing
//! beside what a screen does.

use leptos::prelude::*;

/// A memo over `value`.
pub(crate) fn memo<T>(value: impl Fn() -> T + Send + Sync + 'static) -> Memo<T>
where
    T: PartialEq + Send + Sync + 'static,
{
    boxed(Box::new(value))
}

fn boxed<T>(value: Box<dyn Fn() -> T + Send + Sync>) -> Memo<T>
where
    T: PartialEq + Send + Sync + 'static,
{
    Memo::new(move |_| value())
}
