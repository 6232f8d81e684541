//! A list as its builder wants it: other words, other checks, another order.

use super::row::check_of;
use super::{InHand, ids_of, words};
use crate::device::motion::focus;
use crate::signal::{RwSignal, memo};
use crate::state::Desk;
use crate::ui::id::id_of;
use crate::ui::node::{CollectNode, Node, view};
use crate::words::{checks::words_of, t};
use leptos::prelude::*;
use trimwright::diary::{CheckMove, short_words};

/// The list that is looked at, to be changed.
#[component]
pub(super) fn EditList(
    /// The lists.
    checks: InHand,
) -> Node {
    let desk = expect_context::<Desk>();
    let time = desk.checking.time;
    let ids = memo(move || ids_of(checks, time.get()));
    let done = move |_| {
        desk.message.set(None);
        desk.checking.editing.set(false);
    };
    let rows = move || {
        let ids = ids.get();
        let last = ids.len().saturating_sub(1);
        ids.into_iter()
            .enumerate()
            .map(|(k, id)| view! { <EditRow checks id first={k == 0} last={k == last} /> })
            .collect_node()
    };
    view! {
        <h2 class="check-head">{move || t!("checks.edit_head", list = words::when_of(time.get()))}</h2>
        <ol class="rows">{rows}</ol>
        <AddCheck />
        <button
            class="main second"
            data-testid="checks-usual"
            on:click=move |_| desk.back_to_usual_checks(time.get_untracked())
        >
            {t!("checks.back_to_usual")}
        </button>
        <button class="main" data-testid="checks-done" on:click=done>
            {t!("reading.done")}
        </button>
    }
}

/// One check: its words, its place, and a way off the list.
#[component]
fn EditRow(
    /// The lists.
    checks: InHand,
    /// Its identity.
    id: String,
    /// It is the first of its list.
    first: bool,
    /// It is the last.
    last: bool,
) -> Node {
    let desk = expect_context::<Desk>();
    let check = check_of(checks, &id);
    let words = memo(move || check.with(words_of));
    let name = move || words.with(|w| short_words(w).to_owned());
    // What is being typed, as typed: a field that is empty for a moment stays empty.
    let typed = RwSignal::new(None::<String>);
    let [for_typing, for_leaving, for_removal] = [(); 3].map(|()| id.clone());
    let type_in = move |ev| {
        let text = event_target_value(&ev);
        if !text.trim().is_empty() {
            desk.rename_check(&for_typing, &text);
        }
        typed.set(Some(text));
    };
    let leave = move |_| {
        // Left without words, a check that comes with the app has its own again.
        if typed.with_untracked(|t| t.as_deref().is_some_and(|t| t.trim().is_empty())) {
            desk.rename_check(&for_leaving, "");
        }
        typed.set(None);
    };
    let shift = |way: CheckMove, testid: String| {
        let id = id.clone();
        move |_| {
            desk.shift_check(&id, way);
            // The list is made anew: the same button stays under the finger of a keyboard's user.
            let same = testid.clone();
            request_animation_frame(move || focus(&id_of(&same)));
        }
    };
    let [up, down] = ["up", "down"].map(|way| format!("check-{id}-{way}"));
    let [go_up, go_down] = [shift(CheckMove::Up, up.clone()), shift(CheckMove::Down, down.clone())];
    view! {
        <li class="check-edit">
            <input
                type="text"
                autocomplete="off"
                enterkeyhint="done"
                aria-label=t!("checks.what")
                data-testid=format!("check-{id}-words")
                prop:value=move || typed.get().unwrap_or_else(|| words.get())
                on:input=type_in
                on:blur=leave
            />
            <div class="check-moves">
                <button
                    id=id_of(&up)
                    data-testid=up.clone()
                    aria-label=move || t!("checks.up", check = name())
                    disabled=first
                    on:click=go_up
                >
                    "↑"
                </button>
                <button
                    id=id_of(&down)
                    data-testid=down.clone()
                    aria-label=move || t!("checks.down", check = name())
                    disabled=last
                    on:click=go_down
                >
                    "↓"
                </button>
                <button
                    data-testid=format!("check-{id}-remove")
                    aria-label=move || t!("dive.remove", what = name())
                    on:click=move |_| desk.remove_check(&for_removal)
                >
                    {t!("diary.remove")}
                </button>
            </div>
        </li>
    }
}

/// A check of the builder's own.
#[component]
fn AddCheck() -> Node {
    let desk = expect_context::<Desk>();
    let text = memo(move || desk.half_typed("check", "text"));
    let add = move || {
        if desk.add_check(desk.checking.time.get_untracked(), &text.get_untracked()) {
            desk.forget_typed("check");
        }
    };
    view! {
        <div class="check-add">
            <label class="words">
                <span>{t!("checks.one_more")}</span>
                <input
                    type="text"
                    autocomplete="off"
                    enterkeyhint="done"
                    data-testid="check-new"
                    prop:value=move || text.get()
                    on:input=move |ev| desk.type_half("check", "text", event_target_value(&ev))
                    on:keydown=move |ev| {
                        if ev.key() == "Enter" {
                            add();
                        }
                    }
                />
            </label>
            <button class="main second" data-testid="check-add" on:click=move |_| add()>
                {t!("checks.add")}
            </button>
        </div>
    }
}
