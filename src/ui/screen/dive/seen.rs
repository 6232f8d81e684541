//! What was really seen on the way: leans at about this fill, and what they say of the model.

use crate::device::motion::focus;
use crate::signal::{Callback, Memo, RwSignal, memo};
use crate::state::Desk;
use crate::ui::dive_text::{self, share};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::text::list;
use crate::ui::widget::NumberField;
use crate::words::{self, t, word};
use leptos::prelude::*;
use trimwright::answer::NotedLean;
use trimwright::float::Heading;
use trimwright::unit::{DEGREE, read_number_within};

/// The field for a lean, and the list of those noted.
#[component]
pub(super) fn Seen() -> Node {
    let desk = expect_context::<Desk>();
    let typed = memo(move || desk.half_typed("lean", "list"));
    let to_port = memo(move || !desk.half_typed("lean", "to-port").is_empty());
    let asked = RwSignal::new(false);
    let problem = memo(move || {
        let read = typed.with(|t| read_number_within(t, 0.0, 90.0));
        read.err().filter(|_| asked.get()).map(|e| words::number::number(&e))
    });
    let note = move |_| {
        asked.set(true);
        let read = typed.with_untracked(|t| read_number_within(t, 0.0, 90.0));
        if let Ok(degrees) = read {
            let side = if to_port.get_untracked() { -1.0 } else { 1.0 };
            desk.note_lean(side * degrees * DEGREE);
            desk.type_half("lean", "list", String::new());
            asked.set(false);
        }
    };
    let fill = desk.dive.fill;
    let label = memo(move || t!("dive.note_it", at = share(fill.get())));
    let noted = memo(move || desk.derived.leans.with(|leans| leans.counting.clone()));
    let before = memo(move || match desk.derived.leans.with(|leans| leans.before) {
        0 => None,
        1 => Some(t!("dive.before_one")),
        count => Some(t!("dive.before_other", count = count)),
    });
    let side = Memo::from(move || {
        t!(if to_port.get() { word!("dive.to_port") } else { word!("dive.to_starboard") })
    });
    let flip = Callback::new(move |()| {
        let port = if to_port.get_untracked() { "" } else { "yes" };
        desk.type_half("lean", "to-port", port.to_owned());
    });
    let says = memo(move || {
        desk.dive.dived.with(|d| {
            let dived = d.as_ref()?;
            let none = || (!dived.seen.is_empty()).then(|| format!("✕ {}.", t!("way.no_fit")));
            dived.told.as_ref().map(|told| dive_text::told(told, &dived.seen)).or_else(none)
        })
    });
    let rows = move || {
        noted.get().into_iter().enumerate().map(|(k, noted)| row(desk, k, noted)).collect_node()
    };
    view! {
        <section aria-label=t!("dive.seen") class="seen-list">
            <h2>{t!("dive.seen")}</h2>
            <NumberField
                label=t!("dive.lean_seen")
                testid="seen-lean"
                unit="°"
                value=typed
                change=move |text: String| desk.type_half("lean", "list", text)
                problem
                side=Some((side, flip))
                side_testid="seen-side"
            />
            <button type="button" class="second main" data-testid="seen-note" on:click=note>{label}</button>
            <ul class="rows">{rows}</ul>
            <p data-testid="seen-before" hidden=move || before.with(Option::is_none)>{before}</p>
            <p data-testid="seen-says" hidden=move || says.with(Option::is_none)>{says}</p>
        </section>
    }
}

fn row(desk: Desk, k: usize, noted: NotedLean) -> Node {
    let seen = &noted.lean;
    let way = if seen.going_up { Heading::Up } else { Heading::Down };
    let key = if way == Heading::Up {
        word!("dive.seen_going_up")
    } else {
        word!("dive.seen_going_down")
    };
    let words = t!(key, at = share(seen.fill), list = list(seen.list_deg * DEGREE));
    let label = t!("dive.remove", what = words);
    view! {
        <li class="entry-row seen-row" data-testid=format!("seen-{k}")>
            <span>{words}</span>
            <button
                type="button"
                class="quiet-button"
                data-testid=format!("seen-{k}-remove")
                aria-label=label
                on:click=move |_| {
                    desk.forget_lean(&noted);
                    focus("seen-lean");
                }
            >
                {t!("diary.remove")}
            </button>
        </li>
    }
}
