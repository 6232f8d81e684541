//! How else the boat in hand can lie, its tanks blown: looked for when changes have come to rest, since it takes
//! longer than a frame.

use super::derived::BoatInHand;
use super::desk::Desk;
use crate::device::clock::next_turn;
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use std::time::Duration;
use trimwright::float::{Basin, OtherAttitude, OtherAttitudes, Tolerance};

/// How long changes must have rested.
const REST: Duration = Duration::from_millis(600);

/// The other attitudes of the boat in hand, in the screen that asks for them: looked for anew after each change,
/// and no longer than that screen is there.
pub(crate) fn other_attitudes(desk: Desk) -> RwSignal<Vec<OtherAttitude>> {
    let found = RwSignal::new(Vec::new());
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(handle) = waiting.try_update_value(Option::take).flatten() {
            handle.clear();
        }
    };
    Effect::new(move |_| {
        let boat = desk.derived.boat.get();
        let density = desk.derived.density.get();
        stop();
        found.set(Vec::new());
        let Some(Ok(boat)) = boat else { return };
        let look = move || spawn_local(looked_for(desk, Arc::clone(&boat), density, found));
        if let Ok(handle) = set_timeout_with_handle(look, REST) {
            waiting.set_value(Some(handle));
        }
    });
    on_cleanup(stop);
    found
}

async fn looked_for(
    desk: Desk,
    boat: Arc<BoatInHand>,
    density: f64,
    found: RwSignal<Vec<OtherAttitude>>,
) {
    let is_wanted = || {
        let now = desk.derived.boat.try_get_untracked().flatten();
        let same_boat = matches!(now, Some(Ok(now)) if Arc::ptr_eq(&now, &boat));
        let same_water = desk.derived.density.try_get_untracked() == Some(density);
        same_boat && same_water && found.try_get_untracked().is_some()
    };
    // What cannot be calculated is said by the figures beside it.
    let Ok(blown) = boat.model.flooded(0.0, density) else { return };
    let search = OtherAttitudes::new(&blown, Basin::deep(density), &Tolerance::FINE);
    let Ok(mut search) = search else { return };
    // The screen has its turn after each descent: one of a large boat may take a frame.
    while search.next().is_some() {
        next_turn().await;
        if !is_wanted() {
            return;
        }
    }
    found.set(search.found());
}
