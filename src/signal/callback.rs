//! A function that a component is given.

use super::StoredValue;
use std::sync::Arc;

type SharedFunction<A, R> = Arc<dyn Function<A, R>>;

/// A function. (A pointer to a trait of the language for closures would bring the code to call it in three ways.)
trait Function<A, R>: Send + Sync {
    fn call(&self, with: A) -> R;
}

impl<A, R, F: Fn(A) -> R + Send + Sync> Function<A, R> for F {
    fn call(&self, with: A) -> R {
        self(with)
    }
}

/// A function that a component is given, to be called where something happens.
pub(crate) struct Callback<A: 'static, R: 'static = ()>(StoredValue<SharedFunction<A, R>>);

impl<A, R> Clone for Callback<A, R> {
    fn clone(&self) -> Self {
        *self
    }
}

impl<A, R> Copy for Callback<A, R> {}

impl<A, R> Callback<A, R> {
    /// A callback that calls `function`.
    pub(crate) fn new(function: impl Fn(A) -> R + Send + Sync + 'static) -> Self {
        Self(StoredValue::new(Arc::new(function)))
    }

    /// Calls it.
    pub(crate) fn run(self, with: A) -> R {
        // A clone, so that what it calls can end what holds it.
        self.0.get_value().call(with)
    }
}

impl<A, R, F: Fn(A) -> R + Send + Sync + 'static> From<F> for Callback<A, R> {
    fn from(function: F) -> Self {
        Self::new(function)
    }
}
