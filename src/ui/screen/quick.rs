//! The quick boat's form: six numbers.

use crate::signal::{Memo, RwSignal, memo};
use crate::state::{Desk, FieldKey, fullness, length_doubt};
use crate::ui::node::{CollectNode, IntoNode, Node, view};
use crate::ui::text::{length_sign, liquid_sign, mass_sign};
use crate::ui::widget::{Choice, Chosen, NumberField};
use crate::words::{Word, t, word};
use leptos::prelude::*;

/// Fullness of the ends: the key of what it is called, its name for tests, and the share of length times beam.
const FULLNESS: [(Word, &str, f64); 3] = [
    (word!("quick.pointed"), "quick-fullness-pointed", 0.6),
    (word!("quick.usual"), "quick-fullness-usual", 0.75),
    (word!("quick.blunt"), "quick-fullness-blunt", 0.9),
];

/// One numeric field of the form: the key of its label, field name, unit.
type QuickField = (Word, FieldKey, fn() -> &'static str);

/// The fields in the order in which they are asked.
const FIELDS: [QuickField; 8] = [
    (word!("quick.length"), "length", length_sign),
    (word!("quick.beam"), "beam", length_sign),
    (word!("quick.depth"), "depth", length_sign),
    (word!("quick.waterline"), "waterline", length_sign),
    (word!("quick.mass"), "mass", mass_sign),
    (word!("quick.bow_mark"), "bow-mark", length_sign),
    (word!("quick.stern_mark"), "stern-mark", length_sign),
    (word!("quick.takes"), "takes", liquid_sign),
];
/// How many of them must be filled in; the rest may stay empty.
const N_NEEDED: usize = 5;

/// The form. Its messages show once the boat is asked for; after that they follow the typing.
#[component]
pub(crate) fn QuickBoatForm() -> Node {
    let desk = expect_context::<Desk>();
    let form = desk.quick_form;
    let asked = RwSignal::new(false);
    let problems = memo(move || {
        // Read the form in any case, so that the memo follows it.
        let found = desk.quick_problems();
        if asked.get() { found } else { Vec::new() }
    });
    let typed = move |key: FieldKey| {
        Memo::from(move || {
            form.with(|f| f.as_ref().map(|f| f.get(key).to_owned()).unwrap_or_default())
        })
    };
    let field = move |(key, name, unit): QuickField| {
        view! {
            <NumberField
                label=t!(key)
                testid=format!("quick-{name}")
                unit=unit()
                value=typed(name)
                change=move |text: String| desk.change_quick_form(|f| f.set(name, text))
                problem=Memo::from(move || {
                    problems
                        .with(|p| {
                            p.iter()
                                .find(|(field, _)| *field == name)
                                .map(|(_, text)| text.clone())
                        })
                })
            />
        }
    };
    let mut fields = FIELDS.into_iter().map(field);
    let length = fields.next();
    let needed = fields.by_ref().take(N_NEEDED - 1).collect_node();
    let more = fields.collect_node();
    let options = FULLNESS
        .iter()
        .map(|(key, testid, _)| Chosen { name: t!(*key), testid: (*testid).to_owned() })
        .collect();
    let fullness = Memo::from(move || {
        let now = form.with(|f| f.as_ref().map_or(0.0, fullness));
        FULLNESS.iter().position(|(_, _, share)| (share - now).abs() < 1e-9)
    });
    let choose = move |k: usize| {
        if let Some((_, _, share)) = FULLNESS.get(k) {
            desk.change_quick_form(|f| f.set("fullness", share.to_string()));
        }
    };
    let submit = move |ev: leptos::ev::SubmitEvent| {
        ev.prevent_default();
        asked.set(true);
        desk.use_quick_boat();
    };
    view! {
        <form class="quick" on:submit=submit novalidate>
            <h1>{t!("quick.title")}</h1>
            <div class="field">
                <label for="quick-name">{t!("form.name")}</label>
                <div class="entry">
                    <input
                        id="quick-name"
                        data-testid="quick-name"
                        type="text"
                        autocomplete="off"
                        enterkeyhint="next"
                        prop:value=typed("name")
                        on:input=move |ev| {
                            let name = event_target_value(&ev);
                            desk.change_quick_form(|f| f.set("name", name));
                        }
                    />
                </div>
            </div>
            {length}
            <LengthMeant shows=memo(move || problems.with(|p| p.iter().any(|(of, _)| *of == "length"))) />
            {needed}
            <p class="legend">{t!("quick.ends")}</p>
            <Choice label=t!("quick.fullness") options now=fullness choose />
            <p class="legend">{t!("quick.may_be_empty")}</p>
            {more}
            <button type="submit" class="main" data-testid="quick-use">
                {t!("quick.use")}
            </button>
            <button
                type="button"
                class="quiet-button"
                data-testid="quick-leave"
                on:click=move |_| desk.not_now()
            >
                {t!("quick.not_now")}
            </button>
        </form>
    }
}

/// The length that was perhaps meant, to be taken.
#[component]
fn LengthMeant(
    /// Whether the length is asked about.
    #[prop(into)]
    shows: Memo<bool>,
) -> Node {
    let desk = expect_context::<Desk>();
    let doubt = memo(move || desk.quick_form.with(|f| length_doubt(f.as_ref()?)));
    let shown = move || {
        doubt.get().filter(|_| shows.get()).map(|doubt| {
            let text = doubt.text;
            view! {
                <button
                    type="button"
                    class="main second on"
                    data-testid="quick-length-meant"
                    on:click=move |_| desk.change_quick_form(|f| f.set("length", &*text))
                >
                    {doubt.meant}
                </button>
            }
        })
    };
    shown.into_node()
}
