//! Water at one mark: two big buttons, the figure between them, and its side.

use super::problem::Problem;
use crate::ui::text;
use crate::words::speech::speech;
use crate::words::t;
use leptos::leptos_dom::helpers::{IntervalHandle, TimeoutHandle};
use leptos::prelude::*;
use std::time::Duration;
use trimwright::unit::read_number;

/// How long a button is held before it repeats.
const BEFORE_REPEAT: Duration = Duration::from_millis(400);
/// Between repeats.
const REPEAT: Duration = Duration::from_millis(110);
/// Repeats after which each step is five.
const FAST_AFTER: u32 = 9;

/// Water at one mark, a length; positive above the mark. The text is kept as typed.
#[component]
#[expect(clippy::needless_pass_by_value, reason = "components own their props")]
pub(crate) fn MarkStepper(
    /// The mark's name.
    name: String,
    /// What is typed, with its sign.
    #[prop(into)]
    value: Signal<String>,
    /// Called with every change.
    #[prop(into)]
    change: Callback<String>,
    /// What is wrong with it.
    #[prop(into)]
    problem: Signal<Option<String>>,
) -> impl IntoView {
    let id = format!("mark-{name}-value");
    let error_id = format!("mark-{name}-value-error");
    let step = Callback::new(move |by: i32| {
        change.run(value.with_untracked(|v| speech().stepped(v, by)));
    });
    let shown = move || value.with(|v| v.trim_start_matches(['-', '\u{2212}']).to_owned());
    let is_long = move || value.with(|v| v.chars().filter(char::is_ascii_digit).count() > 3);
    let is_below = move || value.with(|v| v.starts_with(['-', '\u{2212}']));
    let typed = move |text: String| {
        // A minus says "below" as the button does; what is typed after it keeps the side.
        let digits = text.trim_start_matches(['-', '\u{2212}']);
        let below = digits.len() < text.len() || (is_below() && !text.is_empty());
        change.run(format!("{}{digits}", if below { "\u{2212}" } else { "" }));
    };
    let flip = move |_| {
        let text = value.get_untracked();
        match text.strip_prefix(['-', '\u{2212}']) {
            Some(rest) => change.run(rest.to_owned()),
            None if text.is_empty() => change.run("0".to_owned()),
            None => change.run(format!("\u{2212}{text}")),
        }
    };
    let unit = text::length_sign();
    let side = move || {
        value.with(|v| match read_number(v) {
            Err(_) if v.is_empty() => t!("widget.not_read"),
            Ok(mm) if mm.abs() < f64::MIN_POSITIVE => t!("said.at_mark"),
            _ if is_below() => t!("said.below_mark", length = unit),
            _ => t!("said.above_mark", length = unit),
        })
    };
    let by = text::millimetres(speech().length_step());
    let described = error_id.clone();
    view! {
        <div class="stepper" class:bad=move || problem.get().is_some()>
            <label for=id.clone()>{t!("widget.water_at", mark = name)}</label>
            <div class="steps">
                <StepButton
                    sign="▼"
                    label=t!("widget.mark_lower", mark = name, length = by)
                    testid=format!("mark-{name}-less")
                    step=move |n: i32| step.run(-n)
                />
                <div class="figure">
                    <input
                        id=id.clone()
                        data-testid=id
                        type="text"
                        inputmode="decimal"
                        autocomplete="off"
                        enterkeyhint="next"
                        placeholder="–"
                        class:long=is_long
                        prop:value=shown
                        aria-invalid=move || problem.get().is_some().then_some("true")
                        aria-describedby=move || problem.get().map(|_| described.clone())
                        on:input=move |ev| typed(event_target_value(&ev))
                    />
                    <button
                        type="button"
                        class="side"
                        data-testid=format!("mark-{name}-side")
                        on:click=flip
                    >
                        {side}
                    </button>
                </div>
                <StepButton
                    sign="▲"
                    label=t!("widget.mark_higher", mark = name, length = by)
                    testid=format!("mark-{name}-more")
                    step=move |n: i32| step.run(n)
                />
            </div>
            <Problem id=error_id text=problem />
        </div>
    }
}

/// A button that steps once when tapped and goes on while it is held, faster after a second.
#[component]
fn StepButton(
    /// What stands on it.
    sign: &'static str,
    /// What a screen reader says.
    label: String,
    /// Its name for tests.
    testid: String,
    /// Called with how many steps to take.
    #[prop(into)]
    step: Callback<i32>,
) -> impl IntoView {
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let repeating = StoredValue::new(None::<IntervalHandle>);
    let release = move || {
        if let Some(handle) = waiting.try_update_value(Option::take).flatten() {
            handle.clear();
        }
        if let Some(handle) = repeating.try_update_value(Option::take).flatten() {
            handle.clear();
        }
    };
    let press = move |_| {
        release();
        step.run(1);
        let count = StoredValue::new(0_u32);
        let again = move || {
            let n = count.try_update_value(|c| {
                *c += 1;
                *c
            });
            step.run(if n.unwrap_or(0) > FAST_AFTER { 5 } else { 1 });
        };
        let start = move || {
            repeating.set_value(set_interval_with_handle(again, REPEAT).ok());
        };
        waiting.set_value(set_timeout_with_handle(start, BEFORE_REPEAT).ok());
    };
    on_cleanup(release);
    // A click without a pointer comes from a keyboard or a screen reader.
    let click = move |ev: leptos::ev::MouseEvent| {
        if ev.detail() == 0 {
            step.run(1);
        }
    };
    view! {
        <button
            type="button"
            class="step"
            aria-label=label
            data-testid=testid
            on:pointerdown=press
            on:pointerup=move |_| release()
            on:pointerleave=move |_| release()
            on:pointercancel=move |_| release()
            on:contextmenu=move |ev| ev.prevent_default()
            on:click=click
        >
            {sign}
        </button>
    }
}
