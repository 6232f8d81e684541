//! The boats on this phone: which is in hand, new ones, a boat as a file, how the app looks.

use super::import::ImportFile;
use crate::device::share;
use crate::signal::memo;
use crate::state::Desk;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text;
use crate::ui::widget::{Choice, Chosen, More};
use crate::words::{self, t, word};
use leptos::prelude::*;
use trimwright::diary::{DatumRecord, TEMPLATES};
use wasm_bindgen_futures::spawn_local;

/// The list of boats and what can be done with them.
#[component]
pub(crate) fn Boats() -> Node {
    let desk = expect_context::<Desk>();
    let boats = memo(move || {
        desk.diary
            .with(|d| d.boats.iter().map(|b| (b.id.clone(), b.name.clone())).collect::<Vec<_>>())
    });
    let in_hand = memo(move || desk.diary.with(|d| d.draft.boat.clone()));
    let row = move |(id, name): (String, String)| {
        let [take, take_id, remove, own] = [(); 4].map(|()| id.clone());
        let here = memo(move || in_hand.with(|h| *h == own));
        view! {
            <li class="row" class:here=here>
                <button
                    class="row-main"
                    data-testid=format!("take-{take_id}")
                    on:click=move |_| desk.take_boat(&take)
                >
                    {name.clone()}
                    <span class="quiet">
                        {move || here.get().then(|| format!(" {}", t!("boats.in_hand")))}
                    </span>
                </button>
                <button
                    class="row-side"
                    aria-label=t!("boats.share", boat = name)
                    data-testid=format!("share-{id}")
                    on:click={
                        let id = id.clone();
                        move |_| share(desk, &id)
                    }
                >
                    {t!("files.share")}
                </button>
                <button
                    class="row-side"
                    aria-label=t!("boats.remove", boat = name)
                    on:click=move |_| desk.remove_boat(&remove)
                >
                    {t!("diary.remove")}
                </button>
            </li>
        }
    };
    view! {
        // With a boat in hand the screen is headed by its name.
        {move || if in_hand.with(String::is_empty) {
            view! { <h1>{t!("boats.title")}</h1> }
        } else {
            view! { <h2>{t!("boats.title")}</h2> }
        }}
        <p class="message" role="status" data-testid="boat-message">
            {move || desk.message.get().unwrap_or_default()}
        </p>
        <ul class="rows">
            {move || boats.get().into_iter().map(row).collect_node()}
        </ul>
        <Undo />
        <button class="main" data-testid="start-bench" on:click=move |_| desk.open_new_boat()>
            {t!("boats.new_part_by_part")}
        </button>
        <button
            class="main second"
            data-testid="start-quick"
            on:click=move |_| desk.open_quick_form()
        >
            {t!("boats.new_six_numbers")}
        </button>
        <button
            class="main second"
            data-testid="start-demo"
            on:click=move |_| desk.start_demo()
        >
            {t!("boats.demo")}
        </button>
        <ImportFile />
        <Templates />
        <More />
    }
}

/// Gives one boat away as a file: to another app of the phone where that can be, else to keep.
fn share(desk: Desk, id: &str) {
    let Some((name, contents)) = desk.boat_file(id) else { return };
    spawn_local(async move {
        let outcome = share::share_or_save(&name, &[contents]).await;
        desk.say(words::file::outcome(outcome, &name));
    });
}

/// Complete boats to begin from.
#[component]
fn Templates() -> Node {
    let desk = expect_context::<Desk>();
    let rows = TEMPLATES
        .iter()
        .enumerate()
        .map(|(k, template)| {
            view! {
                <li class="row">
                    <button
                        class="row-main"
                        data-testid=format!("template-{k}")
                        on:click=move |_| desk.start_template(k)
                    >
                        {template.name}
                        <br />
                        <span class="quiet">{about(template.name)}</span>
                    </button>
                </li>
            }
        })
        .collect_node();
    view! {
        <h2>{t!("boats.begin_from")}</h2>
        <ul class="rows">{rows}</ul>
    }
}

/// The kind of a boat that comes with the app, by its name, in one line.
fn about(name: &str) -> String {
    t!(match name {
        "Heron" => word!("boats.about_heron"),
        "Eider" => word!("boats.about_eider"),
        "Smew" => word!("boats.about_smew"),
        "Coot" => word!("boats.about_coot"),
        _ => return String::new(),
    })
}

/// Takes back the last deletion, where there is one.
#[component]
pub(crate) fn Undo() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <button
            class="quiet-button"
            data-testid="undo"
            hidden=move || !desk.can_undo()
            on:click=move |_| desk.undo()
        >
            {t!("boats.put_back")}
        </button>
    }
}

/// Where lengths along the boat in hand are measured from.
#[component]
pub(crate) fn Datums() -> Node {
    let desk = expect_context::<Desk>();
    let datums = [DatumRecord::Midship, DatumRecord::Bow, DatumRecord::Stern];
    let testids = ["datum-midship", "datum-the-bow-tip", "datum-the-stern"];
    let options = datums
        .iter()
        .zip(testids)
        .map(|(d, testid)| Chosen { name: text::datum_name(*d), testid: testid.to_owned() })
        .collect();
    let now = memo(move || {
        let from = desk.derived.datum.get().from;
        datums.iter().position(|d| *d == from)
    });
    view! {
        <p class="legend">{t!("boats.datum")}</p>
        <Choice
            label=t!("boats.datum")
            options
            now
            choose=move |k: usize| {
                if let Some(datum) = datums.get(k) {
                    desk.measure_from(*datum);
                }
            }
        />
    }
}
