//! The form of one part: its shape from pictures, its sizes, its place, its mass.

use super::field::{
    Field, FormChoice, FormProblem, FormSelect, Group, PlaceFields, of_form, text_of,
};
use super::shape::ShapePicture;
use crate::device::motion::focus;
use crate::state::{CENTRE, Desk, Editing, OWN, PLACE, Shape, Step, speech};
use crate::ui::figures;
use crate::ui::memo::memo;
use crate::ui::text;
use leptos::prelude::*;
use trimwright::material::{Kind, MATERIALS, named};
use trimwright::unit::{Length, read_number};

/// The form of a part.
#[component]
pub(crate) fn PartForm() -> impl IntoView {
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
                            <Field key="name" label="Name" />
                            <Field key="group" label="Group" />
                        </div>
                        <Sizes shape />
                        <p class="legend">{place_words(desk, shape)}</p>
                        <PlaceFields keys=&PLACE />
                        <div class="pair">
                            <Field key="mass" label="Weighed" unit=text::mass_sign() />
                            {(shape != Shape::Weight).then(|| view! { <MaterialChoice /> })}
                        </div>
                        {(shape != Shape::Weight).then(|| view! { <WallFields /> })}
                        <Readout weight=shape == Shape::Weight />
                        <Acts />
                        <More shape />
                    }
                })
        }}
    }
}

fn place_words(desk: Desk, shape: Shape) -> String {
    let datum = desk.derived.datum.get_untracked();
    let what = match shape {
        Shape::Turned => "Place of the table's zero",
        Shape::Mesh => "Place of the mesh's zero",
        _ => "Place of its middle",
    };
    format!("{what}, from {}, the centre line and the keel line", text::datum_name(datum.from))
}

/// The shapes as pictures; one picture once one is chosen.
#[component]
pub(crate) fn ShapeChoice() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let chosen = of_form(desk, |f| f.texts.has("shape").then(|| Shape::of(&f.texts)));
    let of_tank = of_form(desk, |f| matches!(f.of, Editing::Tank(_)));
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
                {figures::shape_name(shape)}
            </button>
        }
    };
    let offered = move |shape: &Shape| match shape {
        // A mesh comes from a file; a tank has a shape.
        Shape::Mesh => false,
        Shape::Weight => !of_tank.get_untracked(),
        _ => true,
    };
    view! {
        {move || {
            if open.get() {
                let all = Shape::ALL.into_iter().filter(offered).map(button).collect_view();
                view! {
                    <p class="legend">"What does it look like?"</p>
                    <div class="shapes">{all}</div>
                }
                    .into_any()
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
                        {figures::shape_name(shape)}
                        <span class="quiet">{if shape == Shape::Mesh { "" } else { "Change" }}</span>
                    </button>
                }
                    .into_any()
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
) -> impl IntoView {
    const AXES: [(&str, &str); 3] =
        [("fore-and-aft", "Fore and aft"), ("athwartships", "Across"), ("upright", "Upright")];
    let fields = shape
        .sizes()
        .iter()
        .map(|&(key, label)| view! { <Field key label unit=text::length_sign() /> })
        .collect_view();
    view! {
        <div class="triple" hidden=shape.sizes().is_empty()>
            {fields}
        </div>
        {(shape == Shape::Turned).then(|| view! { <TurnedTable /> })}
        {(shape == Shape::Cylinder)
            .then(|| view! { <FormChoice key="axis" label="Its axis" options=&AXES /> })}
    }
}

/// The table of a turned body.
#[component]
fn TurnedTable() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let value = text_of(desk, "table");
    let example = match speech().length {
        Length::Millimetre => "0 12\n60 57\n120 77\n600 77\n700 0",
        Length::Inch => "0 0.5\n2.5 2.25\n5 3\n24 3\n28 0",
    };
    let example = speech().decimal.mark(example);
    view! {
        <div class="field">
            <label for="form-table">
                {format!("Place and diameter in {}, a line each, going forward", text::length_sign())}
            </label>
            <textarea
                id="form-table"
                data-testid="form-table"
                rows="6"
                autocomplete="off"
                placeholder=example
                prop:value=value
                aria-describedby="form-table-error"
                on:input=move |ev| desk.type_in("table", event_target_value(&ev))
            ></textarea>
            <FormProblem key="table" />
        </div>
    }
}

/// Kinds of materials in the order in which they are offered.
const KINDS: [(Kind, &str); 6] = [
    (Kind::Metal, "Metal"),
    (Kind::Plastic, "Plastic"),
    (Kind::Composite, "Composite"),
    (Kind::Wood, "Wood"),
    (Kind::Foam, "Foam"),
    (Kind::Other, "Other"),
];

/// What a part is made of; a mere weight is of nothing, and has none.
#[component]
fn MaterialChoice() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let now = text_of(desk, "material");
    let named = |name: &str| (name.to_owned(), name.to_owned());
    let of_kind = |kind: Kind| MATERIALS.iter().filter(move |m| m.kind == kind);
    let mut groups: Vec<Group> = KINDS
        .into_iter()
        .map(|(kind, heading)| (heading, of_kind(kind).map(|m| named(m.name)).collect()))
        .collect();
    let mut mine: Vec<_> =
        desk.diary.with_untracked(|d| d.materials.iter().map(|m| named(&m.name)).collect());
    mine.push((OWN.to_owned(), "Another, by its density".to_owned()));
    groups.push(("My own", mine));
    let is_own = memo(move || now.with(|n| n == OWN));
    view! {
        <FormSelect key="material" label="Made of" none="–" groups />
        {move || {
            is_own
                .get()
                .then(|| {
                    view! {
                        <Field key="own-name" label="Name of the material" />
                        <Field key="density" label="Density" unit=speech().density_unit().sign />
                    }
                })
        }}
    }
}

/// What follows from the entries: mass, volume, surface, density.
#[component]
fn Readout(
    /// A mere weight is of nothing.
    weight: bool,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let line = of_form(desk, |f| f.of.line());
    let made_of = text_of(desk, "material");
    let words = memo(move || {
        let parts = desk.derived.parts.get();
        let made = line.get().and_then(|k| parts.get(k)).and_then(Result::ok)?;
        Some(figures::readout(made, made_of.with(|m| named(m))))
    });
    let density =
        memo(move || made_of.with(|m| named(m)).filter(|_| !weight).map(figures::material_words));
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

const STATUSES: [(&str, &str); 4] = [
    ("fixed", "Fixed"),
    ("temporary", "Temporary"),
    ("planned", "Planned"),
    ("taken-out", "Taken out"),
];
const INSIDES: [(&str, &str); 2] = [("flooded", "Water"), ("dry", "Air")];
/// What a coat can be of.
const COATS: [&str; 4] =
    ["paint, dry film", "filler, polyester", "filler, lightweight", "adhesive"];

/// The wall of a hollow part, and what is inside it.
#[component]
fn WallFields() -> impl IntoView {
    let desk = expect_context::<Desk>();
    let solid = of_form(desk, |f| !f.texts.has("wall"));
    view! {
        <div class="pair">
            <Field key="wall" label="Wall, if hollow" unit=text::length_sign() />
            <div class="field" hidden=move || solid.get()>
                <p class="legend">"Inside it"</p>
                <FormChoice key="inside" label="Inside it" options=&INSIDES />
            </div>
        </div>
    }
}

/// What is needed less often: coat, centre, status.
#[component]
fn More(
    /// The shape.
    shape: Shape,
) -> impl IntoView {
    let desk = expect_context::<Desk>();
    let coated = of_form(desk, |f| f.texts.has("coat"));
    let coat = text_of(desk, "coat");
    let coats = COATS.map(|name| (name.to_owned(), name.to_owned())).to_vec();
    let solid = (shape != Shape::Weight).then(|| {
        view! {
            <FormSelect
                key="coat"
                label="Paint, filler or adhesive on its outside"
                none="None"
                groups=vec![("On its outside", coats)]
            />
            <div class="pair" hidden=move || coat.with(String::is_empty)>
                <Field key="coat-thickness" label="Its thickness" unit=text::length_sign() />
                <Field key="coat-area" label="Area, if not all" unit=speech().area_unit().sign />
            </div>
            <p class="legend">"Centre of mass, if it is not the middle of the material"</p>
            <PlaceFields keys=&CENTRE />
        }
    });
    view! {
        <details class="more" open=coated.get_untracked() data-testid="form-more">
            <summary>"Paint, centre of mass, status"</summary>
            <div class="fold">
                {solid} <p class="legend">"Status"</p>
                <FormChoice key="status" label="Status" options=&STATUSES />
            </div>
        </details>
    }
}

/// What can be done to the part's line, once it has one.
#[component]
fn Acts() -> impl IntoView {
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
                    name="Mirror to the other side"
                    testid="line-mirror"
                    act=move || desk.copy_line(of(), true)
                />
            </span>
            <Act name="Copy" testid="line-copy" act=move || desk.copy_line(of(), false) />
            <Act name="Up" testid="line-up" act=move || desk.move_line(of(), Step::Up) />
            <Act name="Down" testid="line-down" act=move || desk.move_line(of(), Step::Down) />
            <Act name="Remove" testid="line-remove" act=move || desk.remove_line(of()) />
        </div>
    }
}

/// A button that does something to the line.
#[component]
pub(crate) fn Act(
    /// What it does.
    name: &'static str,
    /// Its name for tests.
    testid: &'static str,
    /// Does it.
    #[prop(into)]
    act: Callback<()>,
) -> impl IntoView {
    view! {
        <button type="button" class="quiet-button" data-testid=testid on:click=move |_| act.run(())>
            {name}
        </button>
    }
}
