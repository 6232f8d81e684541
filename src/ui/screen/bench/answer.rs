//! What the boat as described will do, at the foot of the bench; it never scrolls away.

use super::field::of_form;
use crate::signal::{Memo, memo};
use crate::state::{Desk, Editing};
use crate::ui::figures::Brief;
use crate::ui::node::{Node, view};
use crate::ui::widget::Spoken;
use crate::words::{t, word};
use leptos::prelude::*;

/// The boat in three lines, and the buttons of the open form.
#[component]
pub(crate) fn BenchAnswer() -> Node {
    let desk = expect_context::<Desk>();
    let derived = desk.derived;
    let brief = memo(move || {
        let spread = derived.parts.with(|p| p.mass_spread());
        let boat = derived.boat.get();
        derived.outlook.with(|o| match (boat, o) {
            (Some(Ok(hand)), Some(outlook)) => Brief::of(outlook, &hand.boat, spread),
            (boat, _) => Brief::none(boat.and_then(Result::err)),
        })
    });
    let form = of_form(desk, |f| Some(f.of));
    let problem = of_form(desk, |f| {
        let first = f.problems.first().filter(|_| f.asked);
        first.map(|(_, words)| words.clone())
    });
    let leaves = of_form(desk, |f| f.of.line().is_none() || !f.problems.is_empty());
    // There is one boat in hand, and one aim.
    let goes_on = memo(move || form.with(|of| of.is_some_and(Editing::is_one_of_many)));
    let another = move || {
        t!(match form.get() {
            Some(Editing::Part(_)) => word!("bench.next_part"),
            Some(Editing::Tank(_)) => word!("bench.next_tank"),
            Some(Editing::Mark(_)) => word!("bench.next_mark"),
            _ => word!("bench.next"),
        })
    };
    let spoken = move || problem.get().unwrap_or_else(|| brief.with(|b| b.lies.clone()));
    view! {
        <Spoken words=Memo::from(spoken) />
        <section
            class="answer bench-answer"
            aria-label=t!("bench.boat_as_described")
        >
            <p class="large" data-testid="bench-lies">
                {move || brief.with(|b| b.lies.clone())}
            </p>
            <p class=move || brief.with(|b| b.class) data-testid="bench-figures">
                {move || brief.with(|b| b.figures.clone())}
            </p>
            <p class=move || brief.with(|b| b.tank_class) data-testid="bench-tank">
                {move || brief.with(|b| b.tank.clone())}
            </p>
            {move || {
                problem
                    .get()
                    .map(|words| view! { <p class="problem" data-testid="form-problem">"✕ " {words}</p> })
            }}
            <div class="form-buttons" hidden=move || form.with(Option::is_none)>
                <button
                    type="button"
                    class="main"
                    data-testid="form-done"
                    on:click=move |_| desk.finish_form()
                >
                    {t!("bench.done")}
                </button>
                <button
                    type="button"
                    class="main second on"
                    data-testid="form-next"
                    hidden=move || !goes_on.get()
                    on:click=move |_| desk.finish_and_add()
                >
                    {another}
                </button>
                <button
                    type="button"
                    class="quiet-button"
                    data-testid="form-leave"
                    hidden=move || !leaves.get()
                    on:click=move |_| desk.leave_form()
                >
                    {t!("bench.leave")}
                </button>
            </div>
        </section>
    }
}
