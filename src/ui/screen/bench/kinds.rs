//! The form of a tank: its kind from pictures, and what that kind asks for.

use super::field::{Field, FormChoice, PlaceFields, of_form};
use super::part::{ShapeChoice, Sizes};
use super::tanks::RemoveLine;
use crate::signal::memo;
use crate::state::{Desk, FLOOD, PLACE, Shape, VENT, holds, kind_key, kind_of};
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::ui::text;
use crate::words::{Word, t, word};
use leptos::prelude::*;
use trimwright::diary::TankKindRecord;
use trimwright::unit::Unit;

const HOUSINGS: [(&str, Word); 2] =
    [("inside", word!("bench_tank.inside_a_part")), ("wet", word!("bench_tank.in_the_wet"))];
const INLETS: [(&str, Word); 2] =
    [("aft", word!("bench_tank.inlet_aft")), ("fore", word!("bench_tank.inlet_fore"))];
const KNOWN_BY: [(&str, Word); 2] =
    [("bore", word!("bench_tank.by_bore")), ("volume", word!("bench_tank.by_volume"))];
const STOPS: [(&str, Word); 2] =
    [("pump", word!("bench_tank.stop_pump")), ("depth", word!("bench_tank.stop_depth"))];

/// The form of a tank.
#[component]
pub(crate) fn TankForm() -> Node {
    let desk = expect_context::<Desk>();
    let of = of_form(desk, |f| Some((kind_of(&f.texts), Shape::of(&f.texts))));
    let kind = of_form(desk, |f| kind_of(&f.texts));
    view! {
        <KindChoice />
        <ShapeChoice />
        <Field key="name" label=t!("form.name") />
        {move || {
            of.get()
                .map(|of| match of {
                    (TankKindRecord::Piston, Shape::Cylinder) => {
                        view! { <PistonSizes /> }
                    }
                    (_, shape) => view! { <Sizes shape /> },
                })
        }}
        <Capacity />
        {move || match kind.get() {
            TankKindRecord::Piston => {
                view! {
                    <p class="legend">{t!("bench_tank.inlet")}</p>
                    <FormChoice key="inlet" label=t!("bench_tank.inlet") options=&INLETS />
                }
            }
            TankKindRecord::Sealed => view! { <Stops /> },
            TankKindRecord::Open | TankKindRecord::Bag => ().into_node(),
        }}
        <PlaceFields keys=&PLACE legend=t!("bench_tank.place") />
        <p class="legend">{t!("bench_tank.housing")}</p>
        <FormChoice key="housing" label=t!("bench_tank.housing") options=&HOUSINGS />
        {move || {
            let piston = kind.get() == TankKindRecord::Piston;
            let label = t!(if piston { word!("bench_tank.mass_without") } else { word!("bench_tank.mass") });
            let moves = piston
                .then(|| {
                    view! {
                        <Field
                            key="piston-mass"
                            label=t!("bench_tank.piston_mass")
                            unit=text::mass_sign()
                        />
                    }
                });
            view! {
                <div class=if piston { "pair" } else { "" }>
                    {moves} <Field key="mass" label unit=text::mass_sign() />
                </div>
            }
        }}
        {move || view! { <Seldom kind=kind.get() /> }}
        <RemoveLine copies=true />
    }
}

/// What is needed less often: walls, openings, the range of the fill.
#[component]
fn Seldom(
    /// The kind of tank.
    kind: TankKindRecord,
) -> Node {
    let desk = expect_context::<Desk>();
    let detailed = of_form(desk, |f| {
        ["vent-x", "flood-x", "least", "most", "lengthwise", "transverse"]
            .iter()
            .any(|k| f.texts.has(k))
    });
    let is_open = kind == TankKindRecord::Open;
    let has_surface = is_open || kind == TankKindRecord::Sealed;
    let walls = has_surface.then(|| {
        view! {
            <p class="legend">{t!("bench_tank.bulkheads")}</p>
            <div class="pair">
                <Field
                    key="lengthwise"
                    label=t!("bench_tank.lengthwise")
                    unit=t!("bench_tank.walls")
                />
                <Field
                    key="transverse"
                    label=t!("bench_tank.transverse")
                    unit=t!("bench_tank.walls")
                />
            </div>
        }
    });
    let vent = is_open.then(|| view! { <PlaceFields keys=&VENT legend=t!("bench_tank.vent") /> });
    let flood =
        has_surface.then(|| view! { <PlaceFields keys=&FLOOD legend=t!("bench_tank.flood") /> });
    let (summary, legend) = match kind {
        TankKindRecord::Open => (word!("bench_tank.more"), word!("bench_tank.fill")),
        TankKindRecord::Sealed => (word!("bench_tank.more_sealed"), word!("bench_tank.fill_only")),
        TankKindRecord::Piston | TankKindRecord::Bag => {
            (word!("bench_tank.fill_only"), word!("bench_tank.fill_only"))
        }
    };
    view! {
        <details class="more" open=detailed.get_untracked() data-testid="form-more">
            <summary>{t!(summary)}</summary>
            <div class="fold">
                {walls} {vent} {flood}
                <p class="legend" hidden=!has_surface>
                    {t!(legend)}
                </p>
                <div class="pair">
                    <Field key="least" label=t!("bench_tank.least") unit="%" />
                    <Field key="most" label=t!("bench_tank.most") unit="%" />
                </div>
            </div>
        </details>
    }
}

/// The four kinds as pictures, and what the chosen one means.
#[component]
fn KindChoice() -> Node {
    let desk = expect_context::<Desk>();
    let chosen = of_form(desk, |f| kind_of(&f.texts));
    let button = move |(kind, words, _): (TankKindRecord, Word, Word)| {
        view! {
            <button
                type="button"
                class="shape"
                data-testid=format!("kind-{}", kind_key(kind))
                aria-pressed=move || (chosen.get() == kind).to_string()
                on:click=move |_| desk.type_in("kind", kind_key(kind))
            >
                <KindPicture kind />
                <span>{t!(words)}</span>
            </button>
        }
    };
    let means = memo(move || {
        let found = KINDS.iter().find(|(kind, ..)| *kind == chosen.get());
        found.map(|(_, _, means)| t!(*means)).unwrap_or_default()
    });
    view! {
        <p class="legend">{t!("bench_tank.kind")}</p>
        <div class="shapes kinds" role="group" aria-label=t!("bench_tank.kind")>
            {KINDS.map(button).collect_node()}
        </div>
        <p class="quiet" data-testid="kind-means">
            {means}
        </p>
    }
}

/// The kinds with the keys of their names, and of what each means.
const KINDS: [(TankKindRecord, Word, Word); 4] = [
    (TankKindRecord::Open, word!("bench_tank.open"), word!("bench_tank.open_is")),
    (TankKindRecord::Piston, word!("bench_tank.piston"), word!("bench_tank.piston_is")),
    (TankKindRecord::Bag, word!("bench_tank.bag"), word!("bench_tank.bag_is")),
    (TankKindRecord::Sealed, word!("bench_tank.sealed"), word!("bench_tank.sealed_is")),
];

/// A kind of tank half full, drawn with a few lines on a page of 48 by 32.
#[component]
fn KindPicture(
    /// Which.
    kind: TankKindRecord,
) -> Node {
    let (water, lines) = match kind {
        TankKindRecord::Open => {
            ("M8 16h32v10H8z", "M20 26H8V5h32v21H28M8 16h32M24 31v-9m-3 3l3-3 3 3")
        }
        TankKindRecord::Piston => ("M5 7h17v18H5z", "M5 7h33v18H5zM22 7v18M26 7v18M26 16h19"),
        TankKindRecord::Bag => {
            let bag = "M13 16c0-9 22-9 22 0s-22 9-22 0z";
            (bag, "M5 5h38v22H5zM13 16c0-9 22-9 22 0s-22 9-22 0zM13 16H1")
        }
        TankKindRecord::Sealed => (
            "M14 17h28v10H14z",
            "M14 5h28v22H14zM14 17h28M14 24h-3M11 24a4 4 0 1 1-8 0a4 4 0 1 1 8 0M21 9l3 4 3-4M30 9l3 4 3-4",
        ),
    };
    view! {
        <svg class="shape-picture" viewBox="0 0 48 32" aria-hidden="true">
            <path class="water" d=water />
            <path d=lines />
        </svg>
    }
}

/// The sizes of a piston's cylinder: what is known of it.
#[component]
fn PistonSizes() -> Node {
    let desk = expect_context::<Desk>();
    let by_volume = of_form(desk, |f| f.texts.get("by") == "volume");
    view! {
        <p class="legend">{t!("bench_tank.known_by")}</p>
        <FormChoice key="by" label=t!("bench_tank.known_by") options=&KNOWN_BY />
        {move || {
            let first = if by_volume.get() {
                view! {
                    <Field key="takes" label=t!("bench_tank.content") unit=text::liquid_sign() />
                }
            } else {
                view! {
                    <Field key="diameter" label=t!("bench_tank.bore") unit=text::length_sign() />
                }
            };
            view! {
                <div class="pair">
                    {first}
                    <Field key="length" label=t!("bench_tank.stroke") unit=text::length_sign() />
                </div>
            }
        }}
    }
}

/// What stops the water in a closed tank.
#[component]
fn Stops() -> Node {
    let desk = expect_context::<Desk>();
    let by_depth = of_form(desk, |f| f.texts.get("stop") == "depth");
    view! {
        <p class="legend">{t!("bench_tank.stop")}</p>
        <FormChoice key="stop" label=t!("bench_tank.stop") options=&STOPS />
        {move || {
            if by_depth.get() {
                view! {
                    <Field
                        key="stop-depth"
                        label=t!("bench_tank.depth")
                        unit=text::length_sign()
                    />
                }
            } else {
                view! { <Field key="pump" label=t!("bench_tank.pump") unit=Unit::BAR.sign /> }
            }
        }}
    }
}

/// What the tank holds, as soon as its sizes can be read.
#[component]
fn Capacity() -> Node {
    let desk = expect_context::<Desk>();
    let held = memo(move || {
        let datum = desk.derived.datum.get();
        desk.form.with(|form| {
            let form = form.as_ref()?;
            desk.derived.record.with(|record| {
                let before = form.of.line().and_then(|k| record.as_ref()?.tanks.get(k));
                holds(&form.texts, datum, before)
            })
        })
    });
    let words = move || {
        held.get().map(|held| {
            let capacity = text::liquid(held.capacity);
            match held.goes_in {
                Some(most) => {
                    t!("bench_tank.goes_in", capacity = capacity, most = text::liquid(most))
                }
                None => t!("bench_tank.holds", capacity = capacity),
            }
        })
    };
    view! {
        <p class="note" data-testid="form-capacity">
            {words}
        </p>
    }
}
