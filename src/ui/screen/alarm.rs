//! The alarm: the boat is not the one that was read before.

use crate::device::clock;
use crate::device::motion::focus;
use crate::signal::{Memo, memo};
use crate::state::{Datum, Desk, PoolAnswer, suspects};
use crate::ui::change_text::{ChangeText, change};
use crate::ui::id::id_of;
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::widget::SpokenAlarm;
use crate::words::t;
use leptos::prelude::*;
use trimwright::answer::{Advised, read_before};
use trimwright::reading::Seen;

/// What it says, if there is something to say; with when the boat was read before.
pub(super) type Alarm = Option<(ChangeText, String)>;

/// What the alarm says now.
pub(super) fn alarm(desk: Desk, datum: Datum) -> Memo<Alarm> {
    let suspects = suspects(desk);
    memo(move || {
        let suspects = suspects.get();
        desk.derived.answer.with(|answer| {
            let PoolAnswer::Advised(advised) = answer.as_ref() else { return None };
            let text = change(advised, suspects.as_deref(), datum)?;
            Some((text, since(desk, advised)))
        })
    })
}

/// When it was read before.
fn since(desk: Desk, advised: &Advised) -> String {
    let at = desk
        .diary
        .with_untracked(|d| read_before(d, &advised.reading, advised.fill).map(ToOwned::to_owned));
    let Some(at) = at else { return t!("changed.since_before") };
    let (day, time) = clock::local_day_and_time(&at);
    let (today, _) = clock::local_day_and_time(&clock::now_iso());
    let when = if day == today { time } else { format!("{day} {time}") };
    t!("changed.since", when = when)
}

/// The alarm, first in the answer card.
#[component]
pub(super) fn AlarmView(
    /// What it says.
    alarm: Memo<Alarm>,
) -> Node {
    let words =
        memo(move || alarm.with(|a| a.as_ref().map_or_else(String::new, |(a, _)| a.spoken())));
    view! {
        <SpokenAlarm words />
        {move || alarm.get().map(|(text, since)| view! { <Loud text since /> })}
    }
}

#[component]
fn Loud(
    /// What it says.
    text: ChangeText,
    /// Since when.
    since: String,
) -> Node {
    let desk = expect_context::<Desk>();
    let lines = vec![text.line()];
    let ChangeText { main, spread, place, suspects, is_looked_for, to_do, figure } = text;
    let suspects = suspects
        .into_iter()
        .map(|[what, chance]| view! { <li>{what} " " <span class="spread">{chance}</span></li> })
        .collect_node();
    let to_do = to_do.into_iter().map(|line| view! { <p class="after">{line}</p> }).collect_node();
    let where_it_is = place.map(|place| format!("{place}. "));
    view! {
        <div class="alarm" data-testid="alarm">
            <p class="alarm-main">
                <strong data-testid="alarm-main">"✕ " {main}</strong>
                " "
                <span class="spread">{spread}</span>
            </p>
            <p class="alarm-where" data-testid="alarm-where">{where_it_is} {since}</p>
            <p class="after" hidden=!is_looked_for>{t!("changed.looking")}</p>
            <ol data-testid="alarm-suspects">{suspects}</ol>
            {to_do}
            <div class="after-done">
                <button
                    type="button"
                    data-testid="alarm-misread"
                    disabled=is_looked_for
                    on:click=move |_| misread(desk, figure)
                >
                    {t!("changed.misread_it")}
                </button>
                <button
                    type="button"
                    data-testid="alarm-new-boat"
                    on:click=move |_| desk.begin_new_boat(lines.clone())
                >
                    {t!("changed.new_boat")}
                </button>
            </div>
        </div>
        <p class="after">{t!("changed.as_it_is")}</p>
    }
}

/// Takes a misread reading out of the session, and goes to the figure that was most likely misread.
fn misread(desk: Desk, figure: Option<usize>) {
    let field = desk.derived.answer.with_untracked(|answer| {
        let PoolAnswer::Advised(advised) = answer.as_ref() else { return None };
        let seen = &advised.reading.observations.get(figure.unwrap_or(0))?.seen;
        Some(match seen {
            Seen::WaterAtMark { mark, .. } => format!("mark-{}-value", mark.name),
            Seen::List(_) => "list-value".to_owned(),
            Seen::Trim(_) => "trim-value".to_owned(),
            Seen::Residual(_) => "residual-value".to_owned(),
        })
    });
    desk.forget_misread();
    if let Some(field) = field {
        focus(&id_of(&field));
    }
}
