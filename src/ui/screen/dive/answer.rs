//! What the way comes to; it never scrolls away.

use crate::device::motion::focus;
use crate::signal::{Memo, memo};
use crate::state::Desk;
use crate::ui::cure_text;
use crate::ui::dive_text::{self, Remark};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::widget::Spoken;
use crate::words::t;
use leptos::prelude::*;

/// The way in three lines, and the buttons of a cure that is being tried.
#[component]
pub(super) fn DiveAnswer() -> Node {
    let desk = expect_context::<Desk>();
    let dive = desk.dive;
    let lines = memo(move || {
        dive.shown().map(|dived| {
            let first = dive_text::first_cause(&dived);
            (
                dive_text::headline(&dived),
                dive_text::kind(&dived),
                first,
                dive_text::arrival(&dived),
            )
        })
    });
    let headline = move || lines.with(|l| l.as_ref().map(|(h, ..)| h.clone()).unwrap_or_default());
    let cause = move || lines.with(|l| l.as_ref().and_then(|(_, _, cause, _)| cause.clone()));
    let others = move || {
        let kind = lines.with(|l| l.as_ref().and_then(|(_, kind, ..)| kind.clone()));
        let arrival = lines.with(|l| l.as_ref().map(|(.., arrival)| arrival.clone()));
        let line = |(Remark { class, words }, testid): (Remark, &'static str)| {
            view! { <p class=format!("after {class}") data-testid=testid>{words}</p> }
        };
        [(kind, "dive-kind"), (arrival, "dive-arrival")]
            .into_iter()
            .filter_map(|(l, testid)| l.map(|l| line((l, testid))))
            .collect_node()
    };
    let trying = memo(move || dive.trying.with(|t| t.as_ref().map(|t| cure_text::cure(t))));
    let spoken = move || headline().words;
    view! {
        <Spoken words=Memo::from(spoken) />
        <section class="answer dive-answer" aria-label=t!("dive.the_way")>
            <p class="small-label" data-testid="dive-trying" hidden=move || trying.with(Option::is_none)>
                {move || trying.get().map(|what| t!("dive.only_tried", what = what))}
            </p>
            <p class="large">
                <strong class=move || headline().class data-testid="dive-headline">
                    {move || headline().words}
                </strong>
            </p>
            <p class="where" data-testid="dive-cause" hidden=move || cause().is_none()>
                {cause}
            </p>
            {others}
            <div class="form-buttons" hidden=move || trying.with(Option::is_none)>
                <button
                    type="button"
                    class="main"
                    data-testid="cure-accept"
                    on:click=move |_| {
                        desk.accept_cure();
                        // The button goes with what was tried: on to the one that undoes it.
                        request_animation_frame(|| focus("dive-undo"));
                    }
                >
                    {t!("dive.change_boat")}
                </button>
                <button
                    type="button"
                    class="main second"
                    data-testid="cure-back"
                    on:click=move |_| desk.try_cure(None)
                >
                    {t!("dive.back")}
                </button>
            </div>
        </section>
    }
}
