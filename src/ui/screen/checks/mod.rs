//! Checks: what is looked at before, between and after dives, and what to be careful with.

mod caution;
mod edit;
mod failed;
mod row;
mod words;

use super::boats::Undo;
use super::kept::KeptSign;
use crate::device::clock::local_words;
use crate::device::motion::to_top;
use crate::signal::{Memo, memo};
use crate::state::{Desk, Screen};
use crate::ui::node::{CollectNode, Node, view};
use crate::words::t;
pub(super) use caution::CautionView;
use caution::Cautions;
use edit::EditList;
use leptos::prelude::*;
use row::CheckRow;
use trimwright::diary::{CheckSummary, CheckTime, ChecksRecord};

pub(crate) use failed::FailedChecks;
pub(crate) use words::called;

/// The lists of the boat in hand; none without a boat.
type InHand = Memo<Option<ChecksRecord>>;

/// The screen of the checks.
#[component]
pub(crate) fn ChecksScreen() -> Node {
    let desk = expect_context::<Desk>();
    // What was said on another screen has nothing to do here.
    desk.message.set(None);
    let checks = memo(move || desk.checks_in_hand());
    let has_boat = memo(move || checks.with(Option::is_some));
    view! {
        <main class="screen checks">
            {move || if has_boat.get() {
                view! { <WithBoat checks /> }
            } else {
                view! { <NoBoat /> }
            }}
            <Cautions />
            <Said />
        </main>
    }
}

/// Without a boat there is nothing to look at.
#[component]
fn NoBoat() -> Node {
    let desk = expect_context::<Desk>();
    let go = move |_| desk.go(Screen::Boat);
    view! {
        <h1>{t!("place.checks")}</h1>
        <p data-testid="checks-no-boat">
            {t!("checks.no_boat")}
        </p>
        <button class="main" data-testid="checks-to-boat" on:click=go>
            {t!("dive.go_to_boat")}
        </button>
    }
}

/// The lists of the boat in hand.
#[component]
fn WithBoat(
    /// Its lists.
    checks: InHand,
) -> Node {
    let desk = expect_context::<Desk>();
    let name = memo(move || {
        desk.diary.with(|d| d.boat(&d.draft.boat).map_or_else(String::new, |b| b.name.clone()))
    });
    let editing = desk.checking.editing;
    view! {
        <header class="line">
            <div class="title">
                <h1>{move || name.get()}</h1>
                <KeptSign />
            </div>
            <p class="state">{t!("place.checks")}</p>
        </header>
        <FailedChecks most=usize::MAX />
        <Times checks />
        {move || if editing.get() {
            view! { <EditList checks /> }
        } else {
            view! { <List checks /> }
        }}
    }
}

/// The three lists, each with how it stands.
#[component]
fn Times(
    /// The lists.
    checks: InHand,
) -> Node {
    let desk = expect_context::<Desk>();
    let chosen = desk.checking.time;
    let buttons = CheckTime::ALL
        .into_iter()
        .map(|time| {
            let summary = memo(move || summary_of(checks, time));
            view! {
                <button
                    class="check-time"
                    class:bad=move || summary.with(|s| s.failed) != 0
                    data-testid=format!("checks-{}", words::slug_of(time))
                    aria-current=move || (chosen.get() == time).then_some("true")
                    on:click=move |_| {
                        desk.message.set(None);
                        chosen.set(time);
                    }
                >
                    <strong>{words::name_of(time)}</strong>
                    <span>{move || words::short_summary(summary.get())}</span>
                </button>
            }
        })
        .collect_node();
    view! { <nav class="check-times" aria-label=t!("checks.lists")>{buttons}</nav> }
}

/// How a list stands.
fn summary_of(checks: InHand, time: CheckTime) -> CheckSummary {
    checks.with(|c| c.as_ref().map_or_else(CheckSummary::default, |c| c.summary(time)))
}

/// The identities of the checks of a list, in order.
fn ids_of(checks: InHand, time: CheckTime) -> Vec<String> {
    checks.with(|c| {
        c.as_ref().map_or_else(Vec::new, |c| c.list(time).iter().map(|c| c.id.clone()).collect())
    })
}

/// A list to work through.
#[component]
fn List(
    /// The lists.
    checks: InHand,
) -> Node {
    let desk = expect_context::<Desk>();
    let time = desk.checking.time;
    let ids = memo(move || ids_of(checks, time.get()));
    let summary = memo(move || summary_of(checks, time.get()));
    // When the list was gone through, if that was at another outing.
    let old = memo(move || {
        checks.with(|c| {
            let checks = c.as_ref()?;
            let time = time.get();
            let last = checks.last_noted_at(time)?;
            Desk::checks_are_old(checks, time).then(|| local_words(last))
        })
    });
    let anew = move |_| {
        desk.begin_checks_anew(time.get_untracked());
        to_top();
    };
    let edit = move |_| {
        desk.message.set(None);
        desk.checking.editing.set(true);
    };
    view! {
        <h2 class="check-head">
            {move || words::when_of(time.get())} <br />
            <span
                class="check-summary"
                class:ok=move || summary.get().is_done()
                role="status"
                data-testid="checks-summary"
            >
                {move || words::summary_words(summary.get())}
            </span>
        </h2>
        <div class="old-checks" hidden=move || old.with(Option::is_none)>
            <p class="warn" data-testid="checks-old">
                {move || t!("checks.old", when = old.get().unwrap_or_default())}
            </p>
            <button class="main second" data-testid="checks-old-anew" on:click=anew>
                {t!("checks.start_over")}
            </button>
        </div>
        <ol class="rows">
            {move || {
                ids.get().into_iter().map(|id| view! { <CheckRow checks id /> }).collect_node()
            }}
        </ol>
        <div class="check-acts">
            <button class="main second" data-testid="checks-anew" on:click=anew>
                {t!("checks.start_over")}
            </button>
            <button class="main second" data-testid="checks-edit" on:click=edit>
                {t!("checks.edit")}
            </button>
        </div>
    }
}

/// What was done last, and the way to take it back; within the thumb's reach.
#[component]
fn Said() -> Node {
    let desk = expect_context::<Desk>();
    let said = memo(move || desk.message.get());
    view! {
        <div class="said" role="status" hidden=move || said.with(Option::is_none)>
            <p data-testid="checks-message">{move || said.get()}</p>
            <Undo />
        </div>
    }
}
