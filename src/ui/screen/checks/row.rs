//! One check to look at: a tap says that it is good, two buttons beside it what else there is.

use super::InHand;
use super::caution::CautionView;
use super::words;
use crate::signal::{Memo, memo};
use crate::state::Desk;
use crate::ui::id::id_of;
use crate::ui::node::{CollectNode, Node, view};
use crate::words::{
    checks::{why_of, words_of},
    t,
};
use leptos::prelude::*;
use trimwright::diary::{CheckRecord, CheckState, short_words};

/// A check as it stands.
pub(super) type Check = Memo<CheckRecord>;

/// The check of an identity; an empty one when it is gone.
pub(super) fn check_of(checks: InHand, id: &str) -> Check {
    let id = id.to_owned();
    memo(move || {
        let find = |c: &trimwright::diary::ChecksRecord| c.find(&id).map(|(_, c)| c.clone());
        checks.with(|c| c.as_ref().and_then(find)).unwrap_or_default()
    })
}

/// A check in its list.
#[component]
pub(super) fn CheckRow(
    /// The lists.
    checks: InHand,
    /// Its identity.
    id: String,
) -> Node {
    let desk = expect_context::<Desk>();
    let check = check_of(checks, &id);
    let state = memo(move || check.with(|c| c.state));
    let text = memo(move || check.with(words_of));
    let name = move || text.with(|t| short_words(t).to_owned());
    let rest = move || text.with(|t| t.strip_prefix(short_words(t)).unwrap_or_default().to_owned());
    let why = check.with_untracked(why_of);
    let cautions = check.with_untracked(CheckRecord::cautions);
    let main_id = format!("check-{id}");
    // Whether it is good is said by the button being pressed: its name stays the same.
    let [name_id, state_id] = ["name", "state"].map(|of| id_of(&format!("{main_id}-{of}")));
    let mark = |state: CheckState| {
        let id = id.clone();
        move |_| desk.mark_check(&id, state)
    };
    let [good, failed, not_today] =
        [CheckState::Good, CheckState::Failed, CheckState::NotToday].map(mark);
    let pressed = move |of: CheckState| (state.get() == of).to_string();
    let cautions = cautions
        .iter()
        .map(|caution| view! { <CautionView caution=*caution place=main_id.clone() /> })
        .collect_node();
    let reason_of = id;
    view! {
        <li
            class="check"
            data-state=move || words::state_name(state.get())
            data-testid=format!("{main_id}-row")
        >
            <button
                class="check-main"
                id=id_of(&main_id)
                data-testid=main_id.clone()
                aria-labelledby=name_id
                aria-describedby=state_id
                aria-pressed=move || pressed(CheckState::Good)
                on:click=good
            >
                <span class="check-sign" aria-hidden="true">
                    {move || words::sign_of(state.get())}
                </span>
                <span class="check-text">
                    <span id=name_id.clone()><strong>{name}</strong>{rest}</span>
                    <span class="quiet" hidden=why.is_empty()>{why.clone()}</span>
                    <span
                        class="check-state"
                        id=state_id.clone()
                        hidden=move || state.get() == CheckState::Open
                        data-testid=format!("{main_id}-state")
                    >
                        {move || check.with(words::state_words)}
                    </span>
                </span>
            </button>
            <div class="check-side">
                <button
                    data-testid=format!("{main_id}-failed")
                    aria-label=move || t!("checks.failed_of", check = name())
                    aria-pressed=move || pressed(CheckState::Failed)
                    on:click=failed
                >
                    {t!("checks.failed")}
                </button>
                <button
                    data-testid=format!("{main_id}-not-today")
                    aria-label=move || t!("checks.not_today_of", check = name())
                    aria-pressed=move || pressed(CheckState::NotToday)
                    on:click=not_today
                >
                    {t!("checks.not_today")}
                </button>
            </div>
            {move || {
                let asked = matches!(state.get(), CheckState::Failed | CheckState::NotToday);
                let id = reason_of.clone();
                asked.then(|| view! { <Reason check id state=state.get() /> })
            }}
            {cautions}
        </li>
    }
}

/// Asks what is wrong, or why it is left out: typed, or with one tap.
#[component]
fn Reason(
    /// The check.
    check: Check,
    /// Its identity.
    id: String,
    /// Failed, or left out today.
    state: CheckState,
) -> Node {
    let desk = expect_context::<Desk>();
    let because = memo(move || check.with(|c| c.because.clone()));
    let testid = format!("check-{id}-because");
    let give = move |id: &str, words: &str| desk.give_reason(id, words);
    let chips = words::usual_reasons(state)
        .into_iter()
        .enumerate()
        .map(|(k, words)| {
            let (id, reason) = (id.clone(), words.clone());
            view! {
                <button
                    class="chip"
                    data-testid=format!("check-{id}-reason-{k}")
                    on:click=move |_| give(&id, &reason)
                >
                    {words}
                </button>
            }
        })
        .collect_node();
    view! {
        <div class="check-reason">
            <label class="words">
                <span>{words::question_of(state)}</span>
                <input
                    type="text"
                    autocomplete="off"
                    enterkeyhint="done"
                    data-testid=testid
                    prop:value=move || because.get()
                    on:input=move |ev| give(&id, &event_target_value(&ev))
                />
            </label>
            <div class="chips" hidden=move || !because.with(String::is_empty)>
                {chips}
            </div>
        </div>
    }
}
