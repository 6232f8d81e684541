//! What waits until something has come to rest: a timer that begins anew, and a task for what takes longer than a
//! frame.

use crate::signal::StoredValue;
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::future::Future;
use std::time::Duration;

/// A wait that begins anew each time, and ends with what it belongs to; a `Copy` handle.
#[derive(Clone, Copy)]
pub(crate) struct Wait(StoredValue<Option<TimeoutHandle>>);

impl Wait {
    /// Nothing is waited for yet.
    pub(crate) fn new() -> Self {
        let wait = Self(StoredValue::new(None));
        on_cleanup(move || wait.stop());
        wait
    }

    /// Waits no more.
    pub(crate) fn stop(self) {
        if let Some(handle) = self.0.try_update_value(Option::take).flatten() {
            handle.clear();
        }
    }

    /// Does something once so much time has passed, and not what was waited for before.
    pub(crate) fn then(self, rest: Duration, what: impl FnOnce() + 'static) {
        self.stop();
        self.0.set_value(set_timeout_with_handle(what, rest).ok());
    }
}

/// Whether what a task works out is still wanted; a `Copy` handle.
#[derive(Clone, Copy)]
pub(super) struct Wanted {
    /// How often what it follows from has changed.
    changes: StoredValue<u32>,
    when: u32,
}

impl Wanted {
    /// False once what it follows from has changed, or the screen that asked is gone.
    pub(super) fn still(self) -> bool {
        self.changes.try_get_value() == Some(self.when)
    }
}

/// Begins a task once what `ask` reads has not changed for so long; none where it asks for nothing. `ask` runs at
/// each change and takes back what was found before.
pub(super) fn at_rest<T, F>(
    rest: Duration,
    ask: impl Fn() -> Option<T> + 'static,
    task: impl Fn(T, Wanted) -> F + Copy + 'static,
) where
    T: 'static,
    F: Future<Output = ()> + 'static,
{
    let (wait, changes) = (Wait::new(), StoredValue::new(0_u32));
    Effect::new(move |_| {
        wait.stop();
        changes.update_value(|n| *n = n.wrapping_add(1));
        let wanted = Wanted { changes, when: changes.get_value() };
        if let Some(asked) = ask() {
            wait.then(rest, move || spawn_local(task(asked, wanted)));
        }
    });
}
