//! Tanks, marks and places for weight: their lists, and the forms of marks and places.

use super::aim::AimLine;
use super::field::{Field, FormChoice, PlaceFields, of_form};
use super::part::Act;
use super::parts::CountsTwice;
use crate::signal::{Memo, memo};
use crate::state::{Desk, Editing, PLACE};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::row_text;
use crate::ui::text;
use crate::words::{Word, t, word};
use leptos::prelude::*;

/// One line: its number, its name, its figure.
type ListLine = (usize, String, String);

/// A list of lines that open their forms, and a button for one more.
#[component]
fn Lines(
    /// What the lines are, as a name for tests.
    kind: &'static str,
    /// The lines.
    lines: Memo<Vec<ListLine>>,
    /// Opens a line's form.
    open: fn(Option<usize>) -> Editing,
    /// What the button for one more says.
    add: String,
) -> Node {
    let desk = expect_context::<Desk>();
    let row = move |(line, name, figure): ListLine| {
        view! {
            <li class="row">
                <button
                    class="row-main line"
                    data-testid=format!("{kind}-{line}")
                    on:click=move |_| desk.open_form(open(Some(line)))
                >
                    <span>{name}</span>
                    <span class="row-figure">{figure}</span>
                </button>
            </li>
        }
    };
    view! {
        <ul class="rows">
            {move || lines.get().into_iter().map(row).collect_node()}
        </ul>
        <button
            class="main second"
            data-testid=format!("add-{kind}")
            on:click=move |_| desk.open_form(open(None))
        >
            {add}
        </button>
    }
}

/// The tanks.
#[component]
pub(crate) fn Tanks() -> Node {
    let desk = expect_context::<Desk>();
    let lines = memo(move || {
        desk.derived.record.with(|r| {
            let tanks = r.iter().flat_map(|r| &r.tanks).enumerate();
            tanks.map(|(k, t)| (k, t.name.clone(), row_text::tank_words(t))).collect()
        })
    });
    view! {
        <p class="quiet" hidden=move || !lines.with(Vec::is_empty)>
            {t!("bench.no_tank")}
        </p>
        <CountsTwice of_tanks=true />
        <Lines kind="tank" lines open=Editing::Tank add=t!("bench.add_tank") />
        <AimLine />
    }
}

/// Marks, and places for weight.
#[component]
pub(crate) fn Marks() -> Node {
    let desk = expect_context::<Desk>();
    let marks = memo(move || {
        let datum = desk.derived.datum.get();
        desk.derived.record.with(|r| {
            let marks = r.iter().flat_map(|r| &r.marks).enumerate();
            let place = |[x, y, z]: [f64; 3]| {
                let (along, height) = (text::along(x, datum), text::millimetres(z));
                if y == 0.0 {
                    t!("bench.mark_at", along = along, height = height)
                } else {
                    let across = text::across(y);
                    t!("bench.mark_aside", along = along, across = across, height = height)
                }
            };
            marks.map(|(k, m)| (k, m.name.clone(), place(m.at_m))).collect()
        })
    });
    let places = memo(move || {
        desk.derived.record.with(|r| {
            let places = r.iter().flat_map(|r| &r.places).enumerate();
            places.map(|(k, p)| (k, p.name.clone(), row_text::place_words(p))).collect()
        })
    });
    view! {
        <p class="quiet">
            {t!("bench.marks_say")}
        </p>
        <Lines kind="mark" lines=marks open=Editing::Mark add=t!("bench.add_mark") />
        <h2>{t!("bench.places")}</h2>
        <Lines kind="place" lines=places open=Editing::Place add=t!("bench.add_place") />
    }
}

const MEDIA: [(&str, Word); 2] =
    [("dry", word!("bench_place.dry")), ("wet", word!("bench_place.wet"))];

/// The form of a mark.
#[component]
pub(crate) fn MarkForm() -> Node {
    view! {
        <Field key="name" label=t!("form.name") />
        <PlaceFields keys=&PLACE legend=t!("bench_mark.place") />
        <RemoveLine />
    }
}

/// The form of a place for weight.
#[component]
pub(crate) fn PlaceForm() -> Node {
    let [_, _, (height, side, sides)] = PLACE.0;
    view! {
        <Field key="name" label=t!("bench_place.name") />
        <Field
            key=height
            label=t!("bench_place.height")
            unit=text::length_sign()
            sides=(side, sides)
        />
        <FormChoice key="medium" label=t!("bench_place.medium") options=&MEDIA />
        <RemoveLine />
    }
}

/// Takes the line of the open form out, or copies it.
#[component]
pub(super) fn RemoveLine(
    /// Whether it can be copied.
    #[prop(optional)]
    copies: bool,
) -> Node {
    let desk = expect_context::<Desk>();
    let of = of_form(desk, |f| Some(f.of).filter(|of| of.line().is_some()));
    let act = move |act: fn(Desk, Editing)| {
        if let Some(of) = of.get_untracked() {
            act(desk, of);
        }
    };
    view! {
        <div class="acts" hidden=move || of.with(Option::is_none)>
            {copies
                .then(|| {
                    view! {
                        <Act
                            name=t!("form.mirror")
                            testid="line-mirror"
                            act=move |()| act(|s, of| s.copy_line(of, true))
                        />
                    }
                })}
            <Act name=t!("diary.remove") testid="line-remove" act=move |()| act(Desk::remove_line) />
        </div>
    }
}
