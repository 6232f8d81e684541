//! What follows signals.

use leptos::reactive::effect::RenderEffect;

/// Something in the page that follows the signals it is made from, until this is dropped.
///
/// The framework's effect ends with its task, some turns after it was dropped, and with it what it holds: until
/// then an effect inside it could still run, when the signals that it reads are gone. Here all ends at once.
pub(super) struct Following<T: 'static>(RenderEffect<T>);

impl<T: 'static> Following<T> {
    /// Runs `value` now, and again when a signal that it read has changed; it is given what it was before.
    pub(super) fn new(value: impl FnMut(Option<T>) -> T + 'static) -> Self {
        Self(RenderEffect::new(value))
    }

    /// Looks at the value; none while it is being made.
    pub(super) fn with<U>(&self, look: impl FnOnce(&mut T) -> U) -> Option<U> {
        self.0.with_value_mut(look)
    }
}

impl<T: 'static> Drop for Following<T> {
    fn drop(&mut self) {
        drop(self.0.take_value());
    }
}
