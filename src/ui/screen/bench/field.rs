//! Fields of the ledger's forms: each reads and writes one text of the open form.

use crate::signal::{Callback, Memo, memo};
use crate::state::{Desk, Doubt, FieldKey, Form, PlaceKeys};
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::ui::text;
use crate::ui::widget::{Choice, Chosen, NumberField, Problem};
use crate::words::{Word, t, word};
use leptos::prelude::*;

/// A memo over the open form; the usual value while there is none.
pub(crate) fn of_form<T>(desk: Desk, read: impl Fn(&Form) -> T + Send + Sync + 'static) -> Memo<T>
where
    T: PartialEq + Default + Send + Sync + 'static,
{
    memo(move || desk.form.with(|f| f.as_ref().map(&read).unwrap_or_default()))
}

/// What is in a field of the open form.
pub(crate) fn text_of(desk: Desk, key: FieldKey) -> Memo<String> {
    of_form(desk, move |f| f.texts.get(key).to_owned())
}

/// What is wrong with a field of the open form.
pub(crate) fn problem_of(desk: Desk, key: FieldKey) -> Memo<Option<String>> {
    of_form(desk, move |f| f.problem(key).map(ToOwned::to_owned))
}

/// A field for a number, or for words when it has no unit.
#[component]
pub(crate) fn Field(
    /// Which field of the form.
    key: FieldKey,
    /// What it asks for.
    #[prop(into)]
    label: String,
    /// Its unit; none for words.
    #[prop(optional, into)]
    unit: String,
    /// The field of its side, and the two sides as the form has them.
    #[prop(optional)]
    sides: Option<(FieldKey, [&'static str; 2])>,
) -> Node {
    let desk = expect_context::<Desk>();
    let side = sides.map(|(side, [one, other])| {
        let now = text_of(desk, side);
        let words = memo(move || side_words(now.with(|n| if n == other { other } else { one })));
        let flip = Callback::new(move |()| {
            let next = if now.with_untracked(|n| n == other) { one } else { other };
            desk.type_in(side, next);
        });
        (words, flip)
    });
    let field = view! {
        <NumberField
            label
            testid=format!("form-{key}")
            unit
            value=text_of(desk, key)
            change=move |text: String| desk.type_in(key, text)
            problem=problem_of(desk, key)
            side=side
            side_testid=format!("form-{key}-side")
        />
    };
    if !matches!(key, "length" | "waterline") {
        return field;
    }
    view! {
        <div class="asked" on:focusout=move |_| desk.typed(key)>
            {field}
            <Doubted key />
        </div>
    }
}

/// The answers to the question whether another unit was meant.
#[component]
fn Doubted(
    /// Which field of the form.
    key: FieldKey,
) -> Node {
    let desk = expect_context::<Desk>();
    let doubt = of_form(desk, move |f| f.doubt(key).filter(|_| f.problem(key).is_some()));
    let sure = move |_| {
        if let Some((key, text)) = desk.form.with_untracked(|f| Some(f.as_ref()?.confirmed(key))) {
            desk.type_in(key, text);
        }
    };
    let shown = move || {
        doubt.get().map(|doubt| {
            let Doubt { typed, meant, text, may_be } = doubt;
            view! {
                <div class="doubt">
                    <button
                        type="button"
                        class="main second on"
                        data-testid=format!("form-{key}-meant")
                        on:click=move |_| {
                            desk.type_in(key, text.clone());
                            desk.typed(key);
                        }
                    >
                        {meant}
                    </button>
                    <button
                        type="button"
                        class="main second"
                        data-testid=format!("form-{key}-sure")
                        hidden=!may_be
                        on:click=sure
                    >
                        {t!("form.it_is_so", typed = typed)}
                    </button>
                </div>
            }
        })
    };
    shown.into_node()
}

/// A side as it is shown; the form has it in English.
fn side_words(side: &str) -> String {
    t!(match side {
        "forward" => word!("form.forward"),
        "aft" => word!("form.aft"),
        "port" => word!("form.port"),
        "starboard" => word!("form.starboard"),
        "above" => word!("form.above"),
        "below" => word!("form.below"),
        "light" => word!("reading.light"),
        "heavy" => word!("reading.heavy"),
        other => return other.to_owned(),
    })
}

/// The message of something that is not one field.
#[component]
pub(crate) fn FormProblem(
    /// Which field of the form.
    key: FieldKey,
) -> Node {
    let desk = expect_context::<Desk>();
    view! { <Problem testid=format!("form-{key}-error") text=problem_of(desk, key) /> }
}

/// The three fields of a place: along, across, up. A form may have more places than one.
#[component]
pub(crate) fn PlaceFields(
    /// Which fields.
    keys: &'static PlaceKeys,
    /// The place of what.
    legend: String,
) -> Node {
    let labels = [t!("form.along"), t!("form.across"), t!("form.height")];
    let fields = keys
        .0
        .iter()
        .zip(labels)
        .map(|(&(key, side, sides), label)| {
            view! { <Field key label unit=text::length_sign() sides=(side, sides) /> }
        })
        .collect_node();
    let group = legend.clone();
    view! {
        <p class="legend">{legend}</p>
        <div class="triple" role="group" aria-label=group>
            {fields}
        </div>
    }
}

/// Things to choose under a heading: what the form takes, and what is read.
pub(crate) type Group = (String, Vec<(String, String)>);

/// A list to choose from, by headings; first of all nothing.
#[component]
pub(crate) fn FormSelect(
    /// Which field of the form.
    key: FieldKey,
    /// What it asks for.
    #[prop(into)]
    label: String,
    /// What stands for nothing.
    #[prop(into)]
    none: String,
    /// What there is to choose.
    groups: Vec<Group>,
) -> Node {
    let desk = expect_context::<Desk>();
    let now = text_of(desk, key);
    let option = move |(value, words): (String, String)| {
        let own = value.clone();
        view! {
            <option value=value selected=move || now.with(|n| *n == own)>
                {words}
            </option>
        }
    };
    let groups = groups
        .into_iter()
        .map(|(heading, options)| {
            let options = options.into_iter().map(option).collect_node();
            view! { <optgroup label=heading>{options}</optgroup> }
        })
        .collect_node();
    let id = format!("form-{key}");
    view! {
        <div class="field">
            <label for=id.clone()>{label}</label>
            <div class="entry">
                <select
                    id=id.clone()
                    data-testid=id
                    on:change=move |ev| desk.type_in(key, event_target_value(&ev))
                >
                    <option value="" selected=move || now.with(String::is_empty)>
                        {none}
                    </option>
                    {groups}
                </select>
            </div>
        </div>
    }
}

/// A row of buttons that writes the name of the one chosen into the form.
#[component]
pub(crate) fn FormChoice(
    /// Which field of the form.
    key: FieldKey,
    /// What is chosen between, for a screen reader.
    #[prop(into)]
    label: String,
    /// The names in the form, and the keys of the words on the buttons; the first is the usual one.
    options: &'static [(&'static str, Word)],
) -> Node {
    let desk = expect_context::<Desk>();
    let now = of_form(desk, move |f| {
        let chosen = f.texts.get(key);
        Some(options.iter().position(|(name, _)| *name == chosen).unwrap_or(0))
    });
    let buttons = options
        .iter()
        .map(|(name, words)| Chosen { name: t!(*words), testid: format!("form-{key}-{name}") })
        .collect();
    view! {
        <Choice
            label
            options=buttons
            now
            choose=move |k: usize| {
                if let Some((name, _)) = options.get(k) {
                    desk.type_in(key, *name);
                }
            }
        />
    }
}
