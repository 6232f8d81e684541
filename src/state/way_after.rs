//! How the boat goes down once what is advised is done: followed when typing has come to rest, since it takes
//! longer than a frame.

use super::at_rest::{Wanted, at_rest};
use super::derived::PoolAnswer;
use super::desk::Desk;
use super::dive::rows_of;
use crate::signal::RwSignal;
use std::sync::Arc;
use std::time::Duration;
use trimwright::answer::{Advised, ReadNext, read_next};
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
    /// What would narrow the answer most, if it were read besides.
    pub(crate) next: Option<ReadNext>,
}

/// The way down after the answer, in the screen that asks for it: it is followed anew after each answer, and no
/// longer than that screen is there.
pub(crate) fn way_after(desk: Desk) -> RwSignal<Option<WayAfter>> {
    let way = RwSignal::new(None);
    let ask = move || {
        let answer = desk.derived.answer.get();
        way.set(None);
        let can =
            matches!(answer.as_ref(), PoolAnswer::Advised(advised) if can_be_followed(advised));
        can.then_some(answer)
    };
    at_rest(REST, ask, move |answer, wanted| followed(desk, answer, way, wanted));
    way
}

fn can_be_followed(advised: &Advised) -> bool {
    let acts = matches!(advised.advice.verdict, Verdict::Do | Verdict::LeaveIt);
    acts && advised.fit.untold.is_empty() && advised.fit.found.n_tanks() > 0
}

async fn followed(
    desk: Desk,
    answer: Arc<PoolAnswer>,
    way: RwSignal<Option<WayAfter>>,
    wanted: Wanted,
) {
    let PoolAnswer::Advised(advised) = answer.as_ref() else { return };
    let Some(Ok(hand)) = desk.derived.boat.get_untracked() else { return };
    let Some(record) = desk.derived.record.get_untracked().filter(|_| !hand.is_quick) else {
        return;
    };
    let passage = || -> Result<Passage, BoatError> {
        let [boat, _] = advised.fits().after(&advised.advice.steps)?;
        let plan = record.plan(&boat, Heading::Down);
        let basin = Basin::deep(advised.reading.water_density);
        plan.passage_in(&boat, basin, Heading::Down, STEPS)
    };
    // What cannot be followed is said on Dive.
    let Ok(passage) = passage() else { return };
    let Ok(Some(sweep)) = rows_of(passage, &|_| wanted.still()).await else { return };
    if let Some(summary) = Summary::of(&sweep, &hand.boat.marks).filter(|_| wanted.still()) {
        let next = read_next(&hand, advised);
        way.set(Some(WayAfter { summary, least_gm: hand.aim.least.gm, next }));
    }
}
