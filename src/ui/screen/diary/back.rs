//! Looking back: how one boat lay from session to session, and how well predictions came true.

use super::Head;
use super::score::ScoreView;
use super::trends::Trends;
use crate::signal::{Memo, RwSignal, memo};
use crate::state::{Desk, PastRead};
use crate::ui::node::{Node, view};
use crate::ui::widget::{Choice, Chosen};
use crate::words::{Word, t, word};
use leptos::prelude::*;
use leptos::task::spawn_local;
use trimwright::diary::ConditionRecord;

/// The two conditions, with the keys of their names and their names for tests.
const CONDITIONS: [(ConditionRecord, Word, &str); 2] = [
    (ConditionRecord::Afloat, word!("pool.afloat"), "past-afloat"),
    (ConditionRecord::Under, word!("pool.under"), "past-under"),
];

/// The page that looks back over the sessions of the boat in hand.
#[component]
pub(super) fn PastPage() -> Node {
    let desk = expect_context::<Desk>();
    let (boat, name) = desk.diary.with_untracked(|d| {
        let name = d.boat(&d.draft.boat).map_or_else(String::new, |b| b.name.clone());
        (d.draft.boat.clone(), name)
    });
    let read = RwSignal::new(PastRead::Reading(0, 0));
    spawn_local(desk.look_back(boat, read));
    let chosen = RwSignal::new(ConditionRecord::Afloat);
    let now = memo(move || CONDITIONS.iter().position(|(c, ..)| *c == chosen.get()));
    let choose = move |k: usize| {
        if let Some((condition, ..)) = CONDITIONS.get(k) {
            chosen.set(*condition);
        }
    };
    let progress = move || match read.get() {
        PastRead::Reading(_, 0) | PastRead::Read(_) => String::new(),
        PastRead::Reading(done, all) => t!("past.reading", done = done, all = all),
    };
    let found = memo(move || match read.get() {
        PastRead::Read(past) => Some(past),
        PastRead::Reading(..) => None,
    });
    view! {
        <main class="screen diary past">
            <Head title=Memo::fixed(t!("past.title")) />
            <p class="when">{name}</p>
            <LastGoodButton />
            <p class="quiet" role="status" hidden=move || found.with(Option::is_some)>
                {progress}
            </p>
            {move || {
                found
                    .get()
                    .map(|past| {
                        let unreadable = past.unreadable;
                        let score = past.score;
                        view! {
                            <p class="problem" hidden=unreadable == 0>
                                {t!("past.unreadable", count = unreadable)}
                            </p>
                            <ScoreView score />
                            <h2>{t!("past.trends")}</h2>
                            <Choice
                                label=t!("past.condition")
                                options=conditions()
                                now
                                choose
                            />
                            <Trends past chosen />
                        }
                    })
            }}
        </main>
    }
}

fn conditions() -> Vec<Chosen> {
    let chosen = |(_, key, testid): &(_, Word, &str)| Chosen {
        name: t!(*key),
        testid: (*testid).to_owned(),
    };
    CONDITIONS.iter().map(chosen).collect()
}

/// Makes the boat as it was at its last good trim.
#[component]
pub(super) fn LastGoodButton() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <button
            class="main second"
            data-testid="as-last-good"
            on:click=move |_| spawn_local(desk.take_last_good())
        >
            {t!("past.as_last_good")}
        </button>
    }
}
