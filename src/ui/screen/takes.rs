//! What the tank of a boat of six numbers takes: asked under water, where it is first needed.

use crate::signal::{RwSignal, memo};
use crate::state::{Desk, read_takes};
use crate::ui::node::{IntoNode, Node, view};
use crate::ui::text::{liquid, liquid_sign};
use crate::ui::widget::NumberField;
use crate::words::t;
use leptos::prelude::*;
use trimwright::diary::QuickRecord;

/// Under what the half typed figure is kept, and its field.
const TAKES: &str = "takes";

/// Asks what the tank takes, or says what was told, with a way to change it.
#[component]
pub(super) fn TankTakes() -> Node {
    let desk = expect_context::<Desk>();
    let told = memo(move || quick(desk).and_then(|q| q.tank_m3));
    let changes = RwSignal::new(false);
    let shown = move || match told.get().filter(|_| !changes.get()) {
        Some(takes) => view! {
            <button
                type="button"
                class="quiet-button"
                data-testid="takes-change"
                on:click=move |_| changes.set(true)
            >
                {if takes > 0.0 {
                    t!("reading.takes_change", takes = liquid(takes))
                } else {
                    t!("reading.takes_none_change")
                }}
            </button>
        },
        None => view! { <Question changes /> },
    };
    shown.into_node()
}

/// The boat in hand, if it is one of six numbers.
fn quick(desk: Desk) -> Option<QuickRecord> {
    desk.derived.record.with(|r| r.as_ref().and_then(|r| r.quick.clone()))
}

#[component]
fn Question(
    /// Whether the figure that was told is being changed.
    changes: RwSignal<bool>,
) -> Node {
    let desk = expect_context::<Desk>();
    let problem = RwSignal::new(None::<String>);
    let keep = move |takes: f64| {
        desk.forget_typed(TAKES);
        changes.set(false);
        desk.change_boat(|boat| {
            if let Some(quick) = &mut boat.quick {
                quick.tank_m3 = Some(takes);
            }
        });
    };
    let submit = move |ev: leptos::ev::SubmitEvent| {
        ev.prevent_default();
        let Some(of) = untrack(|| quick(desk)) else { return };
        let text = untrack(|| desk.half_typed(TAKES, TAKES));
        match read_takes(&text, &of, desk.derived.units.get_untracked()) {
            Ok(takes) => keep(takes),
            Err(words) => problem.set(Some(words)),
        }
    };
    view! {
        <form class="quick" on:submit=submit novalidate>
            <NumberField
                label=t!("reading.what_takes")
                testid="takes-value"
                unit=liquid_sign()
                value=memo(move || desk.half_typed(TAKES, TAKES))
                change=move |text: String| {
                    problem.set(None);
                    desk.type_half(TAKES, TAKES, text);
                }
                problem=problem
            />
            <p class="note">{t!("reading.takes_why")}</p>
            <div class="acts">
                <button type="submit" class="quiet-button" data-testid="takes-use">
                    {t!("reading.takes_use")}
                </button>
                <button
                    type="button"
                    class="quiet-button"
                    data-testid="takes-none"
                    on:click=move |_| keep(0.0)
                >
                    {t!("reading.takes_none")}
                </button>
            </div>
        </form>
    }
}
