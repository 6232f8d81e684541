//! Long work that pauses now and then for whoever else wants its turn. What a pause is, and when one is due, is the
//! caller's matter: here is no clock.

use std::pin::Pin;
use std::task::{Context, Poll, Waker};

/// Asked again and again by long work: what it waits for before it goes on, or none to go on at once.
pub type Pause<'a> = &'a dyn Fn() -> Option<Pin<Box<dyn Future<Output = ()>>>>;

/// Pauses if that is due.
pub async fn pause(due: Pause<'_>) {
    if let Some(over) = due() {
        over.await;
    }
}

/// Work with pauses. In a box, so that it is compiled once, here, and not again by whoever waits for it.
pub type Work<'a, T> = Pin<Box<dyn Future<Output = T> + 'a>>;

/// Does such work without a pause: `work` is given what never is due.
pub fn at_once<'a, T>(work: impl FnOnce(Pause<'a>) -> Work<'a, T>) -> T {
    let mut work = work(&|| None);
    let mut nobody = Context::from_waker(Waker::noop());
    // Work that waits for nothing is ready at the first look.
    loop {
        if let Poll::Ready(done) = work.as_mut().poll(&mut nobody) {
            return done;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;
    use std::pin::pin;

    /// Counts to three, with a pause before each.
    async fn count(due: Pause<'_>, counted: &Cell<u32>) {
        for _ in 0..3 {
            pause(due).await;
            counted.set(counted.get() + 1);
        }
    }

    #[test]
    fn work_stops_where_a_pause_is_due_and_goes_on_after_it() {
        let counted = Cell::new(0);
        let due = || Some(Box::pin(std::future::pending()) as Pin<Box<dyn Future<Output = ()>>>);
        let never: Pause<'_> = &|| None;
        let asked = Cell::new(0);
        let second = || {
            asked.set(asked.get() + 1);
            if asked.get() == 2 { due() } else { never() }
        };
        let mut nobody = Context::from_waker(Waker::noop());
        let stopped = pin!(count(&second, &counted)).poll(&mut nobody).is_pending();
        assert!(stopped && counted.get() == 1, "before the second: {}", counted.get());
        at_once(|due| Box::pin(count(due, &counted)));
        assert_eq!(counted.get(), 4, "three more at once");
    }
}
