//! The bench: the ledger of the boat in hand beside its drawing and what comes of it.

mod aim;
mod answer;
mod ballast;
mod boat;
mod curve;
mod displaces;
mod field;
mod import;
mod kinds;
mod material;
mod names;
mod part;
mod parts;
mod picture;
mod result;
mod shape;
mod sheet;
mod tanks;

pub(crate) use boat::NewBoat;

use super::kept::KeptSign;
use crate::device::keys::undo_keys;
use crate::signal::memo;
use crate::state::{Bench, Desk, Editing, Form, LiesOtherwise};
use crate::ui::node::{Node, view};
use crate::ui::title::form_title;
use crate::ui::widget::{Choice, Chosen};
use crate::words::{Word, t, word};
use aim::AimForm;
use answer::BenchAnswer;
use boat::BoatFacts;
use kinds::TankForm;
use leptos::prelude::*;
use part::PartForm;
use parts::Parts;
use picture::Picture;
use result::Results;
use tanks::{MarkForm, Marks, PlaceForm, Tanks};

/// The parts of the bench in their order, with the keys of their names.
const TABS: [(Bench, Word, &str); 5] = [
    (Bench::Parts, word!("bench.parts"), "bench-parts"),
    (Bench::Tanks, word!("bench.tanks"), "bench-tanks"),
    (Bench::Marks, word!("bench.marks"), "bench-marks"),
    (Bench::Results, word!("bench.result"), "bench-results"),
    (Bench::Boats, word!("boats.title"), "bench-boats"),
];

/// What a part of the bench is called.
pub(crate) fn tab_name(bench: Bench) -> String {
    TABS.iter().find(|(tab, ..)| *tab == bench).map(|(_, name, _)| t!(*name)).unwrap_or_default()
}

/// The bench with a boat of parts in hand.
#[component]
pub(crate) fn BoatBench() -> Node {
    let desk = expect_context::<Desk>();
    let bench = desk.bench;
    // The result finds how else it can lie; the drawing beside it shows it.
    let otherwise = LiesOtherwise::new();
    let name = memo(move || {
        desk.derived.record.with(|r| r.as_ref().map(|r| r.name.clone()).unwrap_or_default())
    });
    // The line of a form changes when it is first put in: the form stays the same one, and must not
    // be made anew under the fingers. So all that decides what is shown is one value.
    let shown = memo(move || {
        let form = desk.form.with(|f| f.as_ref().map(|f| (f.of.another(), f.opened)));
        (form, bench.get())
    });
    let open = memo(move || desk.form.with(Option::is_some));
    let title = memo(move || {
        let others = |form: &&Form| !matches!(form.of, Editing::Boat(_));
        desk.form.with(|form| form.as_ref().filter(others).map(form_title))
    });
    let options = TABS
        .iter()
        .map(|(_, name, testid)| Chosen { name: t!(*name), testid: (*testid).to_owned() })
        .collect();
    let tabs = view! {
        <Choice
            label=t!("bench.part_of_bench")
            options
            now=memo(move || TABS.iter().position(|(tab, ..)| *tab == bench.get()))
            choose=move |k: usize| {
                if let Some((tab, ..)) = TABS.get(k) {
                    desk.message.set(None);
                    bench.set(*tab);
                }
            }
        />
    };
    let content = move || {
        let (form, tab) = shown.get();
        match (form.map(|(of, _)| of), tab) {
            (Some(Editing::Part(_)), _) => view! { <PartForm /> },
            (Some(Editing::Tank(_)), _) => view! { <TankForm /> },
            (Some(Editing::Mark(_)), _) => view! { <MarkForm /> },
            (Some(Editing::Place(_)), _) => view! { <PlaceForm /> },
            (Some(Editing::Boat(_)), _) => view! { <NewBoat /> },
            (Some(Editing::Aim), _) => view! { <AimForm /> },
            (None, Bench::Parts) => view! { <Parts /> },
            (None, Bench::Tanks) => view! { <Tanks /> },
            (None, Bench::Marks) => view! { <Marks /> },
            (None, Bench::Results) => view! { <Results otherwise /> },
            (None, Bench::Boats) => view! { <BoatFacts /> },
        }
    };
    view! {
        <header class="line">
            <div class="title">
                <h1>{name}</h1>
                <KeptSign />
            </div>
            <Steps />
        </header>
        <div class="split">
            <div class="look">
                <Picture otherwise />
            </div>
            <div class="work">
                <div class="tabs" hidden=move || open.get()>
                    {tabs}
                </div>
                <h2 class="form-head" data-testid="form-title" hidden=move || title.with(Option::is_none)>
                    {title}
                </h2>
                {content}
            </div>
        </div>
        <BenchAnswer />
    }
}

/// Undo and redo.
#[component]
fn Steps() -> Node {
    let desk = expect_context::<Desk>();
    let can = memo(move || desk.can_step());
    undo_keys(move || desk.undo_change(), move || desk.redo_change());
    view! {
        <div class="steps-back">
            <button
                type="button"
                class="quiet-button"
                data-testid="undo-change"
                aria-label=t!("bench.undo")
                disabled=move || !can.get()[0]
                on:click=move |_| desk.undo_change()
            >
                <span aria-hidden="true">"↶"</span>
                <span class="word">{t!("bench.undo")}</span>
            </button>
            <button
                type="button"
                class="quiet-button"
                data-testid="redo-change"
                aria-label=t!("bench.redo")
                disabled=move || !can.get()[1]
                on:click=move |_| desk.redo_change()
            >
                <span aria-hidden="true">"↷"</span>
                <span class="word">{t!("bench.redo")}</span>
            </button>
        </div>
    }
}
