//! The form of one part: its shape from pictures, its sizes, its place, its mass.

use super::displaces::Displaces;
use super::field::{
    Field, FormChoice, FormProblem, FormSelect, PlaceFields, of_form, problem_of, text_of,
};
use super::material::MaterialChoice;
use super::names::Names;
use super::shape::ShapePicture;
use crate::device::motion::focus;
use crate::signal::{Callback, RwSignal, memo};
use crate::state::{CENTRE, Desk, Editing, LineMove, PLACE, Shape};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::readout;
use crate::ui::row_text;
use crate::ui::text;
use crate::words::speech::speech;
use crate::words::{self, Word, t, word};
use leptos::prelude::*;
use trimwright::material::named;
use trimwright::unit::{Length, read_number};

/// The form of a part.
#[component]
pub(crate) fn PartForm() -> Node {
    let desk = expect_context::<Desk>();
    let shape = of_form(desk, |f| f.texts.has("shape").then(|| Shape::of(&f.texts)));
    view! {
        <ShapeChoice />
        {move || {
            shape
                .get()
                .map(|shape| {
                    view! {
                        <div class="pair">
                            <Field key="name" label=t!("form.name") />
                            <div class="asked passed">
                                <Field key="group" label=t!("bench_part.group") />
                            </div>
                        </div>
                        <Names weight=shape == Shape::Weight />
                        <Sizes shape />
                        <PlaceFields keys=&PLACE legend=place_words(desk, shape) />
                        <div class="pair">
                            <Field
                                key="mass"
                                label=t!("bench_part.weighed")
                                unit=text::mass_sign()
                            />
                            {(shape != Shape::Weight).then(|| view! { <MaterialChoice /> })}
                        </div>
                        {(shape != Shape::Weight).then(|| view! { <WallFields /> })}
                        <Readout weight=shape == Shape::Weight />
                        {(shape != Shape::Weight).then(|| view! { <Displaces /> })}
                        <Acts />
                        <More shape />
                    }
                })
        }}
    }
}

fn place_words(desk: Desk, shape: Shape) -> String {
    let datum = desk.derived.datum.get_untracked();
    let key = match shape {
        Shape::Turned => word!("bench_part.place_of_table"),
        Shape::Mesh => word!("bench_part.place_of_mesh"),
        _ => word!("bench_part.place"),
    };
    t!(key, datum = text::datum_name(datum.from))
}

/// The shapes as pictures; one picture once one is chosen.
#[component]
pub(crate) fn ShapeChoice() -> Node {
    let desk = expect_context::<Desk>();
    let chosen = of_form(desk, |f| f.texts.has("shape").then(|| Shape::of(&f.texts)));
    let of_tank = of_form(desk, |f| matches!(f.of, Editing::Tank(_)));
    let of_piston = of_form(desk, |f| f.texts.get("kind") == "piston");
    let open = RwSignal::new(chosen.with_untracked(Option::is_none));
    let choose = move |shape: Shape| {
        open.set(false);
        desk.type_in("shape", shape.key());
        // The field appears with the next frame.
        request_animation_frame(|| focus("form-name"));
    };
    let button = move |shape: Shape| {
        view! {
            <button
                type="button"
                class="shape"
                data-testid=format!("shape-{}", shape.key())
                aria-pressed=move || (chosen.get() == Some(shape)).to_string()
                on:click=move |_| choose(shape)
            >
                <ShapePicture shape />
                {row_text::shape_name(shape)}
            </button>
        }
    };
    let offered = move |shape: &Shape| match shape {
        // A mesh comes from a file; a tank has a shape.
        Shape::Mesh => false,
        Shape::Weight => !of_tank.get_untracked(),
        Shape::Box | Shape::Cylinder => true,
        // A piston runs through nothing else.
        _ => !of_piston.get(),
    };
    view! {
        {move || {
            if open.get() {
                let all = Shape::ALL.into_iter().filter(offered).map(button).collect_node();
                view! {
                    <p class="legend">{t!("bench_part.what_shape")}</p>
                    <div class="shapes">{all}</div>
                }
            } else {
                let shape = chosen.get().unwrap_or(Shape::Weight);
                view! {
                    <button
                        type="button"
                        class="shape chosen"
                        data-testid="shape-change"
                        disabled=shape == Shape::Mesh
                        on:click=move |_| open.set(true)
                    >
                        <ShapePicture shape />
                        {row_text::shape_name(shape)}
                        <span class="quiet">
                            {(shape != Shape::Mesh).then(|| t!("bench_part.change"))}
                        </span>
                    </button>
                }
            }
        }}
        <FormProblem key="shape" />
    }
}

/// The sizes of a shape.
#[component]
pub(crate) fn Sizes(
    /// The shape.
    shape: Shape,
) -> Node {
    const AXES: [(&str, Word); 3] = [
        ("fore-and-aft", word!("bench_part.fore_and_aft")),
        ("athwartships", word!("bench_part.athwartships")),
        ("upright", word!("bench_part.upright")),
    ];
    let fields = shape
        .sizes()
        .iter()
        .map(|&(key, label)| view! { <Field key label=t!(label) unit=text::length_sign() /> })
        .collect_node();
    view! {
        <div class="triple" hidden=shape.sizes().is_empty()>
            {fields}
        </div>
        {(shape == Shape::Turned).then(|| view! { <TurnedTable /> })}
        {(shape == Shape::Cylinder)
            .then(|| view! { <FormChoice key="axis" label=t!("bench_part.axis") options=&AXES /> })}
    }
}

/// The table of a turned body.
#[component]
fn TurnedTable() -> Node {
    let desk = expect_context::<Desk>();
    let value = text_of(desk, "table");
    let problem = problem_of(desk, "table");
    let example = match speech().length {
        Length::Millimetre => "0 12\n60 57\n120 77\n600 77\n700 0",
        Length::Inch => "0 0.5\n2.5 2.25\n5 3\n24 3\n28 0",
    };
    let example = speech().decimal.with_mark(example);
    view! {
        <div class="field">
            <label for="form-table">
                {t!("bench_part.table", unit = text::length_sign())}
            </label>
            <textarea
                id="form-table"
                data-testid="form-table"
                rows="6"
                autocomplete="off"
                placeholder=example
                prop:value=value
                aria-invalid=move || problem.with(Option::is_some).then_some("true")
                aria-describedby=move || problem.with(Option::is_some).then_some("form-table-error")
                on:input=move |ev| desk.type_in("table", event_target_value(&ev))
            ></textarea>
            <FormProblem key="table" />
        </div>
    }
}

/// What follows from the entries: mass, volume, surface, density.
#[component]
fn Readout(
    /// A mere weight is of nothing.
    weight: bool,
) -> Node {
    let desk = expect_context::<Desk>();
    let line = of_form(desk, |f| f.of.line());
    let made_of = text_of(desk, "material");
    let words = memo(move || {
        let parts = desk.derived.parts.get();
        let made = line.get().and_then(|k| parts.get(k)).and_then(Result::ok)?;
        Some(readout::readout(made, made_of.with(|m| named(m))))
    });
    let density =
        memo(move || made_of.with(|m| named(m)).filter(|_| !weight).map(readout::material_words));
    view! {
        <p class="note" data-testid="form-readout">
            {move || words.get().map(|w| w.figures)}
        </p>
        {move || {
            words
                .get()
                .and_then(|w| w.doubt)
                .map(|doubt| view! { <p class="after warn" data-testid="form-doubt">"! " {doubt}</p> })
        }}
        <p class="note">{density}</p>
    }
}

const STATUSES: [(&str, Word); 4] = [
    ("fixed", word!("bench_part.fixed")),
    ("temporary", word!("bench_part.temporary")),
    ("planned", word!("bench_part.planned")),
    ("taken-out", word!("bench_part.taken_out")),
];
const INSIDES: [(&str, Word); 2] =
    [("flooded", word!("bench_part.inside_water")), ("dry", word!("bench_part.inside_air"))];
/// What a coat can be of, by the names of the table of materials.
const COATS: [&str; 4] =
    ["paint, dry film", "filler, polyester", "filler, lightweight", "adhesive"];

/// The wall of a hollow part, and what is inside it.
#[component]
fn WallFields() -> Node {
    let desk = expect_context::<Desk>();
    let solid = of_form(desk, |f| !f.texts.has("wall"));
    view! {
        <div class="pair">
            <Field key="wall" label=t!("bench_part.wall") unit=text::length_sign() />
            <div class="field" hidden=move || solid.get()>
                <p class="legend">{t!("bench_part.inside")}</p>
                <FormChoice key="inside" label=t!("bench_part.inside") options=&INSIDES />
            </div>
        </div>
    }
}

/// What is needed less often: coat, centre, status.
#[component]
fn More(
    /// The shape.
    shape: Shape,
) -> Node {
    let desk = expect_context::<Desk>();
    let coated = of_form(desk, |f| f.texts.has("coat"));
    let coat = text_of(desk, "coat");
    let coats = COATS.map(|name| (name.to_owned(), words::material::shown(name))).to_vec();
    let solid = (shape != Shape::Weight).then(|| {
        view! {
            <FormSelect
                key="coat"
                label=t!("bench_part.coat")
                none=t!("bench_part.no_coat")
                groups=vec![(t!("bench_part.on_its_outside"), coats)]
            />
            <div class="pair" hidden=move || coat.with(String::is_empty)>
                <Field
                    key="coat-thickness"
                    label=t!("bench_part.coat_thickness")
                    unit=text::length_sign()
                />
                <Field
                    key="coat-area"
                    label=t!("bench_part.coat_area")
                    unit=speech().area_unit().sign
                />
            </div>
            <PlaceFields keys=&CENTRE legend=t!("bench_part.centre") />
        }
    });
    view! {
        <details class="more" open=coated.get_untracked() data-testid="form-more">
            <summary>{t!("bench_part.more")}</summary>
            <div class="fold">
                {solid} <p class="legend">{t!("bench_part.status")}</p>
                <FormChoice key="status" label=t!("bench_part.status") options=&STATUSES />
                <p class="note">{t!("bench_part.status_means")}</p>
            </div>
        </details>
    }
}

/// What can be done to the part's line, once it has one.
#[component]
fn Acts() -> Node {
    let desk = expect_context::<Desk>();
    let line = of_form(desk, |f| f.of.line());
    // What lies amidships is its own mirror image: a copy would count it twice.
    let amidships = of_form(desk, |f| {
        !f.texts.has("y") || read_number(f.texts.get("y")).is_ok_and(|y| y == 0.0)
    });
    let of = move || Editing::Part(line.get_untracked());
    view! {
        <div class="acts" hidden=move || line.with(Option::is_none)>
            <span hidden=move || amidships.get()>
                <Act
                    name=t!("form.mirror")
                    testid="line-mirror"
                    act=move |()| desk.copy_line(of(), true)
                />
            </span>
            <Act
                name=t!("bench_part.copy")
                testid="line-copy"
                act=move |()| desk.copy_line(of(), false)
            />
            <Act
                name=t!("bench_part.up")
                testid="line-up"
                act=move |()| desk.move_line(of(), LineMove::Up)
            />
            <Act
                name=t!("bench_part.down")
                testid="line-down"
                act=move |()| desk.move_line(of(), LineMove::Down)
            />
            <Act
                name=t!("diary.remove")
                testid="line-remove"
                act=move |()| desk.remove_line(of())
            />
        </div>
    }
}

/// A button that does something to the line.
#[component]
pub(crate) fn Act(
    /// What it does.
    #[prop(into)]
    name: String,
    /// Its name for tests.
    testid: &'static str,
    /// Does it.
    #[prop(into)]
    act: Callback<()>,
) -> Node {
    view! {
        <button type="button" class="quiet-button" data-testid=testid on:click=move |_| act.run(())>
            {name}
        </button>
    }
}
