//! Signals, memos, stored values and callbacks of one kind for all types of value.
//!
//! The framework makes their code anew for every type. Here the value lies behind a pointer, so that the code is
//! there once: the app is smaller by it, and a call through a pointer costs nothing beside what a screen does. They
//! are used as those of the framework, and they are owned and ended as those are.

mod callback;
mod memo;
mod rw;
mod stored;

pub(crate) use callback::Callback;
pub(crate) use memo::{Memo, memo};
pub(crate) use rw::RwSignal;
pub(crate) use stored::StoredValue;

use std::any::Any;

/// A value of any type.
type BoxedValue = Box<dyn Any + Send + Sync>;

/// What a handle was made for it holds: only its own functions put something there.
const OF_ITS_TYPE: &str = "a handle holds what it was made of";

fn value_of<T: 'static>(boxed: &BoxedValue) -> &T {
    boxed.downcast_ref().expect(OF_ITS_TYPE)
}

fn value_in<T: 'static>(boxed: &mut BoxedValue) -> &mut T {
    boxed.downcast_mut().expect(OF_ITS_TYPE)
}

/// A handle that is copied as its number is, whatever it is for.
macro_rules! handle {
    ($name:ident) => {
        impl<T> Clone for $name<T> {
            fn clone(&self) -> Self {
                *self
            }
        }

        impl<T> Copy for $name<T> {}

        impl<T> std::fmt::Debug for $name<T> {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(stringify!($name))
            }
        }
    };
}
use handle;
