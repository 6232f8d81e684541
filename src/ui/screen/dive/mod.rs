//! Dive: the whole way down or up, what is worst on it, why, and what would cure it.

mod answer;
mod charts;
mod cures;
mod now;
mod plan;
mod seen;
mod why;

use crate::device::room::two_columns;
use crate::signal::{Memo, RwSignal, memo};
use crate::state::{Desk, DiveProgress, Screen};
use crate::ui::dive_text::share;
use crate::ui::node::{Node, view};
use crate::ui::widget::{Choice, Chosen, More, Motion};
use crate::words::{t, word};
use answer::DiveAnswer;
use charts::Charts;
use cures::Cures;
use leptos::prelude::*;
use now::AtTheFill;
use plan::PlanForm;
use seen::Seen;
use trimwright::float::Heading;
use why::Why;

/// The screen of the way down and up.
#[component]
pub(crate) fn DiveScreen() -> Node {
    let desk = expect_context::<Desk>();
    let (derived, dive) = (desk.derived, desk.dive);
    // What takes longer than a frame cannot be a memo: a task is started anew whenever the boat,
    // the water, the direction or what was seen changes.
    Effect::new(move |_| {
        derived.boat.track();
        derived.density.track();
        dive.heading.track();
        derived.leans.track();
        desk.follow_way();
    });
    let failed = memo(move || match dive.progress.get() {
        DiveProgress::Failed(why) => Some(why),
        _ => None,
    });
    let is_there = memo(move || dive.dived.with(Option::is_some));
    let name = memo(move || {
        derived.record.with(|r| r.as_ref().map(|r| r.name.clone()).unwrap_or_default())
    });
    let water = memo(move || {
        derived.water.get().map_or_else(|_| t!("pool.water_unknown"), |(_, words)| words)
    });
    view! {
        <main class="screen dive">
            <header class="line">
                <h1>{name}</h1>
                <p class="state">{water}</p>
            </header>
            {move || failed.get().map(|why| view! { <Unfollowed why /> })}
            {move || is_there.get().then(|| view! { <TheWay /> })}
            <Progress />
        </main>
    }
}

/// Why there is no way, and where to go.
#[component]
fn Unfollowed(
    /// Why.
    why: String,
) -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <p class="problem" data-testid="dive-problem">"✕ " {crate::ui::text::upper_first(&why)} "."</p>
        <button class="main" on:click=move |_| desk.go(Screen::Boat)>
            {t!("dive.go_to_boat")}
        </button>
    }
}

/// How far the task is, while it is at work.
#[component]
fn Progress() -> Node {
    let desk = expect_context::<Desk>();
    let words = memo(move || match desk.dive.progress.get() {
        DiveProgress::Boat(done) => t!("dive.following", done = share(done)),
        DiveProgress::Cures => t!("dive.trying_cures"),
        _ => String::new(),
    });
    view! {
        <p class="quiet" role="status" data-testid="dive-progress" hidden=move || words.with(String::is_empty)>
            {words}
        </p>
    }
}

/// Everything about a way that is there.
#[component]
fn TheWay() -> Node {
    let desk = expect_context::<Desk>();
    let heading = desk.dive.heading;
    let motion = RwSignal::new(Motion::Rest);
    let wide = two_columns();
    let options = [(word!("dive.down"), "dive-down"), (word!("dive.up"), "dive-up")]
        .map(|(key, testid)| Chosen { name: t!(key), testid: testid.to_owned() });
    view! {
        <div class="split">
            <div class="beside">
                <div class="look">
                    <now::Picture motion />
                </div>
                // With room for it the curves stand below the drawing, and are in sight with the slider.
                {move || wide.get().then(|| view! { <Charts /> })}
            </div>
            <div class="work">
                <div class="run">
                    <now::Player motion />
                    <Choice
                        label=t!("dive.down_or_up")
                        options=options.to_vec()
                        now=Memo::from(move || Some(usize::from(heading.get() == Heading::Up)))
                        choose=move |k: usize| {
                            motion.set(Motion::Rest);
                            desk.head(if k == 0 { Heading::Down } else { Heading::Up });
                        }
                    />
                </div>
                <now::Slider motion />
                <AtTheFill />
                <Cures />
                <Why />
                {move || (!wide.get()).then(|| view! { <Charts /> })}
                <Seen />
                <PlanForm />
                <More />
            </div>
        </div>
        <DiveAnswer />
    }
}
