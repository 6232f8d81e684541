//! The phone that lies aboard while the boat is read, and how it is moved.

use super::derived::BoatInHand;
use super::desk::Desk;
use crate::signal::{RwSignal, StoredValue};
use std::sync::Arc;
use trimwright::answer::{phone_moved, phone_place};
use trimwright::diary::Draft;

/// The phone of one boat; a `Copy` handle.
#[derive(Clone, Copy)]
pub(crate) struct Phone {
    desk: StoredValue<Desk>,
    hand: StoredValue<Arc<BoatInHand>>,
    /// Where it is while a finger has it, forward of midship and to port, metres: the answer follows when
    /// it is let go.
    held: RwSignal<Option<[f64; 2]>>,
}

impl Phone {
    /// The phone on a boat.
    pub(crate) fn on(desk: Desk, hand: Arc<BoatInHand>) -> Self {
        let (desk, hand) = (StoredValue::new(desk), StoredValue::new(hand));
        Self { desk, hand, held: RwSignal::new(None) }
    }

    /// Where it lies, body axes, metres; none while it does not count.
    pub(crate) fn place(self) -> Option<[f64; 3]> {
        let held = self.held.get();
        self.desk.get_value().derived.draft.with(|d| {
            let now = held.map(|at| Draft { phone_at_m: Some(at), ..d.clone() });
            let place = self.hand.with_value(|h| phone_place(now.as_ref().unwrap_or(d), h));
            place.map(|at| at.vector().into())
        })
    }

    /// Moves it by so much since it was taken hold of, body axes, metres; `done` when it is let go.
    pub(crate) fn move_by(self, [forward, to_port, _]: [f64; 3], done: bool) {
        let desk = self.desk.get_value();
        let at = desk.derived.draft.with_untracked(|d| {
            self.hand.with_value(|hand| phone_moved(d, hand, [forward, to_port]))
        });
        self.held.set((!done).then(|| at.unwrap_or_default()));
        if done {
            desk.edit(|d| d.phone_at_m = at);
        }
    }

    /// Puts it amidships on the centre line.
    pub(crate) fn lay_amidships(self) {
        self.desk.get_value().edit(|d| d.phone_at_m = None);
    }
}
