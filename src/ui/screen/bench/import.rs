//! A mesh from a file: read in steps, with its progress; its unit and its attitude asked with a
//! preview; then a part.

use crate::device::{clock, file};
use crate::signal::{RwSignal, memo};
use crate::state::{Desk, Importing, MeshRead, MeshUse};
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::ui::row_text;
use crate::ui::text;
use crate::ui::widget::{Choice, Chosen, mesh_view};
use crate::words::speech::speech;
use crate::words::{self, Word, t, word};
use leptos::prelude::*;
use std::sync::Arc;
use trimwright::geometry::{Axis, StlImport, likely_unit};
use trimwright::unit::Length;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::spawn_local;
use web_sys::HtmlInputElement;

/// Triangles that are worked on between two looks at the clock.
const AT_ONCE: usize = 2000;

/// Takes a mesh from a file.
#[component]
pub(crate) fn MeshFile() -> Node {
    let desk = expect_context::<Desk>();
    let importing = desk.importing;
    let choose = move |ev: leptos::ev::Event| {
        let chosen = ev.target().and_then(|t| t.dyn_into::<HtmlInputElement>().ok());
        if let Some(input) = chosen {
            spawn_local(read(desk, input));
        }
    };
    view! {
        <label class="main second file">
            {t!("mesh_file.choose")}
            <input type="file" accept=".stl,model/stl" data-testid="mesh-file" on:change=choose />
        </label>
        {move || match importing.get() {
            Importing::No => ().into_node(),
            Importing::Reading(share) => {
                view! {
                    <p role="status" data-testid="mesh-progress">
                        {t!("mesh_file.reading", percent = format!("{:.0}", share * 100.0))}
                    </p>
                    <progress max="1" value=share></progress>
                }
            }
            Importing::Making => {
                view! { <p role="status">{t!("mesh_file.making")}</p> }
            }
            Importing::Refused(why) => {
                view! {
                    <p class="problem" role="alert" data-testid="mesh-problem">
                        "✕ "
                        {why}
                    </p>
                }
            }
            Importing::Read(read) => view! { <Preview read /> },
        }}
    }
}

async fn read(desk: Desk, input: HtmlInputElement) {
    let refuse = |why: String| desk.importing.set(Importing::Refused(why));
    let Some(found) = file::chosen_bytes(input).await else { return };
    let Ok((name, bytes)) = found else {
        return refuse(t!("mesh_file.unreadable"));
    };
    desk.importing.set(Importing::Reading(0.0));
    clock::next_turn().await;
    let mut import = match StlImport::new(bytes) {
        Ok(import) => import,
        Err(why) => return refuse(words::stl::stl(&why)),
    };
    let turns = clock::Turns::begin();
    loop {
        match import.step(AT_ONCE) {
            Ok(None) => {}
            Ok(Some(imported)) => {
                desk.importing.set(Importing::Reading(1.0));
                clock::next_turn().await;
                return desk.mesh_read(imported, &name);
            }
            Err(why) => return refuse(words::stl::stl(&why)),
        }
        if let Some(turn) = turns.due() {
            desk.importing.set(Importing::Reading(import.progress()));
            turn.await;
        }
    }
}

/// Units of a file for tests, the keys of their names, and metres in one of each.
const UNITS: [(&str, Word, f64); 4] = [
    ("mm", word!("mesh_file.mm"), 1e-3),
    ("cm", word!("mesh_file.cm"), 1e-2),
    ("inch", word!("mesh_file.inch"), 0.0254),
    ("m", word!("mesh_file.m"), 1.0),
];
/// A usual wall of a printed shell, as typed. Common practice, no source.
fn usual_wall() -> String {
    speech().decimal.with_mark(match speech().length {
        Length::Millimetre => "1.2",
        Length::Inch => "0.05",
    })
}

/// What the mesh can be, with the keys of the words.
const USES: [(MeshUse, Word, &str); 3] = [
    (MeshUse::Flooded, word!("mesh_file.flooded"), "flooded"),
    (MeshUse::Dry, word!("mesh_file.dry"), "dry"),
    (MeshUse::Solid, word!("mesh_file.solid"), "solid"),
];
/// Quarter turns that can be made, with the keys of the words.
const TURNS: [(Axis, Word, &str); 3] = [
    (Axis::Z, word!("mesh_file.turn_to_port"), "mesh-turn-port"),
    (Axis::Y, word!("mesh_file.nose_down"), "mesh-nose-down"),
    (Axis::X, word!("mesh_file.roll_over"), "mesh-roll"),
];

/// The mesh as it was read: its unit, its attitude, what it is to be.
#[component]
fn Preview(
    /// What was read.
    read: MeshRead,
) -> Node {
    let desk = expect_context::<Desk>();
    let importing = desk.importing;
    let likely = likely_unit(read.mesh.bounds().size().max());
    let is_likely = |(.., metres): &(&str, Word, f64)| (metres - likely).abs() < f64::EPSILON;
    let unit = RwSignal::new(UNITS.iter().position(is_likely).unwrap_or_default());
    let use_as = RwSignal::new(0_usize);
    let wall = RwSignal::new(usual_wall());
    let factor = memo(move || UNITS.get(unit.get()).map_or(1e-3, |(.., metres)| *metres));
    let bounds = read.mesh.bounds().size();
    let n_triangles = read.mesh.faces().len();
    let size = move || row_text::mesh_size(bounds.into(), factor.get(), n_triangles);
    // Each view of a fine mesh takes some frames: they come one after the other, with pauses.
    let views = RwSignal::new(Vec::new());
    let mesh = Arc::clone(&read.mesh);
    spawn_local(async move {
        let turns = clock::Turns::begin();
        for from_above in [false, true] {
            clock::next_turn().await;
            let seen = mesh_view(&mesh, from_above, &|| turns.due()).await;
            // The preview may be gone by then.
            let _shown = views.try_update(|v| v.push(seen));
        }
    });
    let view_of = |(frame, path): (String, String)| {
        view! {
            <svg class="mesh-view" viewBox=frame aria-hidden="true">
                <path d=path vector-effect="non-scaling-stroke" />
            </svg>
        }
    };
    let notes =
        read.notes.iter().map(|note| view! { <p class="note">{note.clone()}</p> }).collect_node();
    let problem = read.problem.clone();
    let option = |words: Word, key: &str| Chosen { name: t!(words), testid: format!("mesh-{key}") };
    let units = UNITS.iter().map(|&(key, words, _)| option(words, key)).collect();
    let uses = USES.iter().map(|&(_, words, key)| option(words, key)).collect();
    let turns = TURNS
        .map(|(axis, words, testid)| {
            view! {
                <button
                    type="button"
                    class="quiet-button"
                    data-testid=testid
                    on:click=move |_| desk.turn_mesh(axis)
                >
                    {t!(words)}
                </button>
            }
        })
        .collect_node();
    let accept = move |_| {
        let kind = USES.get(use_as.get_untracked()).map_or(MeshUse::Solid, |(kind, ..)| *kind);
        let (factor, wall) = (factor.get_untracked(), wall.get_untracked());
        let read = read.clone();
        importing.set(Importing::Making);
        spawn_local(async move {
            // The words show before the work begins.
            clock::next_turn().await;
            desk.use_mesh(&read, factor, kind, &wall).await;
        });
    };
    view! {
        <section class="field fold" data-testid="mesh-preview">
            <p class="legend">{t!("mesh_file.views")}</p>
            {move || views.get().into_iter().map(view_of).collect_node()}
            <div class="acts">{turns}</div>
            <p class="legend">{t!("mesh_file.unit")}</p>
            <Choice
                label=t!("mesh_file.unit")
                options=units
                now=memo(move || Some(unit.get()))
                choose=move |k: usize| unit.set(k)
            />
            <p class="large" data-testid="mesh-size">
                {size}
            </p>
            {notes}
            <p class="legend">{t!("mesh_file.it_is")}</p>
            <Choice
                label=t!("mesh_file.it_is")
                options=uses
                now=memo(move || Some(use_as.get()))
                choose=move |k: usize| use_as.set(k)
            />
            <div class="entry" hidden=move || use_as.get() == 2>
                <label for="mesh-wall">{t!("mesh_file.wall")}</label>
                <input
                    id="mesh-wall"
                    data-testid="mesh-wall"
                    type="text"
                    inputmode="decimal"
                    enterkeyhint="next"
                    prop:value=wall
                    on:input=move |ev| wall.set(event_target_value(&ev))
                />
                <span class="unit">{text::length_sign()}</span>
            </div>
            {problem
                .map(|why| {
                    view! {
                        <p class="problem" role="alert" data-testid="mesh-problem">
                            "✕ "
                            {why}
                        </p>
                    }
                })}
            <button type="button" class="main" data-testid="mesh-use" on:click=accept>
                {t!("mesh_file.use")}
            </button>
            <button
                type="button"
                class="quiet-button"
                data-testid="mesh-leave"
                on:click=move |_| importing.set(Importing::No)
            >
                {t!("bench.leave")}
            </button>
        </section>
    }
}
