//! How else the boat in hand can lie, its tanks blown: looked for when changes have come to rest, since it takes
//! longer than a frame. One of them can be looked at.

use super::at_rest::{Wanted, at_rest};
use super::derived::BoatInHand;
use super::desk::Desk;
use crate::device::clock::next_turn;
use crate::signal::RwSignal;
use leptos::prelude::*;
use std::sync::Arc;
use std::time::Duration;
use trimwright::float::{Basin, OtherAttitude, OtherAttitudes, Outcome, Tolerance, settle_from};

/// How long changes must have rested.
const REST: Duration = Duration::from_millis(600);

/// How else a boat can lie, and which of that is looked at; a `Copy` handle.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LiesOtherwise {
    /// The other attitudes, once they are known.
    pub(crate) found: RwSignal<Vec<OtherAttitude>>,
    /// Which of them is drawn, if one is; otherwise the boat is drawn as it lies.
    pub(crate) drawn: RwSignal<Option<usize>>,
}

impl LiesOtherwise {
    /// Nothing is known yet.
    pub(crate) fn new() -> Self {
        Self { found: RwSignal::new(Vec::new()), drawn: RwSignal::new(None) }
    }

    /// Looks for them in the screen that calls this: anew after each change, and no longer than that screen is
    /// there.
    pub(crate) fn look(self, desk: Desk) {
        let ask = move || {
            let boat = desk.derived.boat.get();
            let density = desk.derived.density.get();
            self.forget();
            Some((boat?.ok()?, density))
        };
        at_rest(REST, ask, move |(boat, density), wanted| self.looked_for(boat, density, wanted));
        on_cleanup(move || self.forget());
    }

    fn forget(self) {
        // What holds them may be gone before the screen that looks for them.
        let _gone = (self.drawn.try_set(None), self.found.try_set(Vec::new()));
    }

    async fn looked_for(self, boat: Arc<BoatInHand>, density: f64, wanted: Wanted) {
        // What cannot be calculated is said by the figures beside it.
        let Ok(blown) = boat.model.flooded(0.0, density) else { return };
        let search = OtherAttitudes::new(&blown, Basin::deep(density), &Tolerance::FINE);
        let Ok(mut search) = search else { return };
        // The screen has its turn after each descent: one of a large boat may take a frame.
        while search.next().is_some() {
            next_turn().await;
            if !wanted.still() {
                return;
            }
        }
        self.found.set(search.found());
    }

    /// The one that is looked at.
    pub(crate) fn looked_at(self) -> Option<OtherAttitude> {
        let which = self.drawn.get()?;
        self.found.with(|all| all.get(which).copied())
    }

    /// Looks at one of them, or at the boat as it lies again.
    pub(crate) fn turn_to(self, which: usize) {
        self.drawn.update(|now| *now = (*now != Some(which)).then_some(which));
    }
}

/// The boat as it lies in an attitude that was found, its tanks blown.
pub(crate) fn lying_so(boat: &BoatInHand, density: f64, so: &OtherAttitude) -> Option<Outcome> {
    let blown = boat.model.flooded(0.0, density).ok()?;
    settle_from(&blown, Basin::deep(density), so.pose, &Tolerance::FINE).ok()
}
