//! How the boat goes down once what is advised is done: followed when typing has come to rest, since it takes
//! longer than a frame.

use super::derived::Answer;
use super::desk::Desk;
use super::dive::rows_of;
use leptos::leptos_dom::helpers::TimeoutHandle;
use leptos::prelude::*;
use leptos::task::spawn_local;
use std::sync::Arc;
use std::time::Duration;
use trimwright::answer::Advised;
use trimwright::ballast::Verdict;
use trimwright::dive::Summary;
use trimwright::float::{Basin, BoatError, Heading, Passage, Steps};

/// How long typing must have rested.
const REST: Duration = Duration::from_millis(900);
/// Rows of the way: half of those that are drawn elsewhere, for a few figures.
const STEPS: Steps = Steps { n_rows: 51, refined: true };

/// The way down after what is advised, once it is known.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct WayAfter {
    /// In figures.
    pub(crate) summary: Summary,
    /// The least GM that is right, metres.
    pub(crate) least_gm: f64,
}

/// The way down after the answer, in the screen that asks for it: it is followed anew after each answer, and no
/// longer than that screen is there.
pub(crate) fn way_after(desk: Desk) -> RwSignal<Option<WayAfter>> {
    let way = RwSignal::new(None);
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let stop = move || {
        if let Some(handle) = waiting.try_update_value(Option::take).flatten() {
            handle.clear();
        }
    };
    Effect::new(move |_| {
        let answer = desk.derived.answer.get();
        stop();
        way.set(None);
        if !matches!(answer.as_ref(), Answer::Advised(advised) if can_be_followed(advised)) {
            return;
        }
        let follow = move || spawn_local(followed(desk, Arc::clone(&answer), way));
        if let Ok(handle) = set_timeout_with_handle(follow, REST) {
            waiting.set_value(Some(handle));
        }
    });
    on_cleanup(stop);
    way
}

fn can_be_followed(advised: &Advised) -> bool {
    let acts = matches!(advised.advice.verdict, Verdict::Do | Verdict::LeaveIt);
    acts && advised.fit.untold.is_empty() && advised.fit.found.n_tanks() > 0
}

async fn followed(desk: Desk, answer: Arc<Answer>, way: RwSignal<Option<WayAfter>>) {
    let Answer::Advised(advised) = answer.as_ref() else { return };
    let is_wanted = |_| {
        let now = desk.derived.answer.try_get_untracked();
        now.is_some_and(|now| Arc::ptr_eq(&now, &answer)) && way.try_get_untracked().is_some()
    };
    let Some(Ok(hand)) = desk.derived.boat.get_untracked() else { return };
    let Some(record) = desk.derived.record.get_untracked().filter(|_| !hand.is_quick) else {
        return;
    };
    let passage = || -> Result<Passage, BoatError> {
        let [boat, _] = advised.found().after(&advised.advice.steps)?;
        let plan = record.plan(&boat, Heading::Down);
        let basin = Basin::deep(advised.reading.water_density);
        plan.passage_in(&boat, basin, Heading::Down, STEPS)
    };
    // What cannot be followed is said on Dive.
    let Ok(passage) = passage() else { return };
    let Ok(Some(sweep)) = rows_of(passage, &is_wanted).await else { return };
    if let Some(summary) = Summary::of(&sweep, &hand.boat.marks).filter(|_| is_wanted(None)) {
        way.set(Some(WayAfter { summary, least_gm: hand.aim.least.gm }));
    }
}
