//! What may have happened to a boat that is not the one that was read before: looked for when typing has come to
//! rest, since it takes longer than a frame.

use super::at_rest::at_rest;
use super::derived::PoolAnswer;
use super::desk::Desk;
use crate::device::clock::Turns;
use crate::signal::{RwSignal, StoredValue};
use std::sync::Arc;
use std::time::Duration;
use trimwright::answer::Suspect;

/// How long typing must have rested.
const REST: Duration = Duration::from_millis(300);

/// What may have happened, in the screen that asks for it, the likeliest first; none while that is not known.
pub(crate) fn suspects(desk: Desk) -> RwSignal<Option<Vec<Suspect>>> {
    let found = RwSignal::new(None);
    let found_for = StoredValue::new(None::<Arc<PoolAnswer>>);
    let ask = move || {
        let answer = desk.derived.answer.get();
        // A reading that is kept is the same reading.
        if found_for.with_value(|before| before.as_ref().is_some_and(|b| is_same(b, &answer))) {
            return None;
        }
        found.set(None);
        found_for.set_value(None);
        let is_other =
            matches!(answer.as_ref(), PoolAnswer::Advised(advised) if advised.changed.is_some());
        is_other.then_some(answer)
    };
    at_rest(REST, ask, move |answer: Arc<PoolAnswer>, wanted| async move {
        let PoolAnswer::Advised(advised) = answer.as_ref() else { return };
        let Some(Ok(hand)) = desk.derived.boat.get_untracked() else { return };
        let turns = Turns::begin();
        let all = advised.suspects(&hand, &|| turns.due()).await;
        if wanted.still() {
            found.set(Some(all));
            found_for.set_value(Some(Arc::clone(&answer)));
        }
    });
    found
}

/// Whether the same may have happened in both.
fn is_same(before: &PoolAnswer, now: &PoolAnswer) -> bool {
    match (before, now) {
        (PoolAnswer::Advised(before), PoolAnswer::Advised(now)) => now.has_suspects_of(before),
        _ => false,
    }
}
