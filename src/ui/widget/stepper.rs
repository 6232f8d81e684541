//! A figure with a side, set by two big buttons or typed: water at a mark, list, trim, grams.

use super::problem::Problem;
use crate::signal::{Callback, Memo, StoredValue};
use crate::ui::id::id_of;
use crate::ui::node::{Node, view};
use crate::words::speech::speech;
use leptos::leptos_dom::helpers::{IntervalHandle, TimeoutHandle};
use leptos::prelude::*;
use std::time::Duration;
use trimwright::unit::Unit;
use web_sys::HtmlInputElement;

/// How long a button is held before it steps by itself, and goes on.
const BEFORE_REPEAT: Duration = Duration::from_millis(400);
/// Between repeats.
const REPEAT: Duration = Duration::from_millis(110);
/// Repeats after which each step is five.
const FAST_AFTER: u32 = 9;

/// A figure as typed, and its side: a boat has no signs.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Sided {
    /// What is typed, without a sign.
    pub(crate) text: String,
    /// To the side that counts as less than nothing.
    pub(crate) less: bool,
}

/// A minus, as it is typed and as it is written.
const MINUS: [char; 2] = ['-', '\u{2212}'];

impl Sided {
    /// From a text with its sign.
    pub(crate) fn of(signed: &str) -> Self {
        let text = signed.trim_start_matches(MINUS);
        Self { less: text.len() < signed.len(), text: text.to_owned() }
    }

    /// As one text with its sign.
    pub(crate) fn signed(&self) -> String {
        format!("{}{}", if self.less { "\u{2212}" } else { "" }, self.text)
    }

    /// So much further (SI), through nothing to the other side.
    fn stepped(&self, unit: Unit, by: f64) -> Self {
        Self::of(&speech().stepped(unit, &self.signed(), by))
    }

    /// With another text. A minus in it says the side as the button does; else the side stays.
    fn typed(&self, text: &str) -> Self {
        let typed = Self::of(text);
        Self { less: typed.less || self.less, ..typed }
    }
}

/// One of the two buttons.
#[derive(Debug, Clone)]
pub(crate) struct StepTo {
    /// The sign on it.
    pub(crate) sign: &'static str,
    /// The word under the sign, if there is one.
    pub(crate) word: String,
    /// What a screen reader says.
    pub(crate) label: String,
}

/// A figure with a side. The text is kept as typed.
#[component]
#[expect(clippy::needless_pass_by_value, reason = "components own their props")]
pub(crate) fn Stepper(
    /// What it asks for.
    label: String,
    /// Its name for tests, to which `-value`, `-side`, `-less` and `-more` are added.
    #[prop(into)]
    testid: String,
    /// What is typed.
    #[prop(into)]
    value: Memo<Sided>,
    /// Called with every change.
    #[prop(into)]
    change: Callback<Sided>,
    /// Called when the side is tapped.
    #[prop(into)]
    flip: Callback<()>,
    /// The side in words, with the unit.
    #[prop(into)]
    side: Memo<String>,
    /// What is wrong with it.
    #[prop(into)]
    problem: Memo<Option<String>>,
    /// That it is set aside, in words, while it is.
    #[prop(into)]
    aside: Memo<Option<String>>,
    /// In what it is typed.
    unit: Unit,
    /// The step, SI.
    step: f64,
    /// The buttons to less and to more.
    buttons: [StepTo; 2],
) -> Node {
    let field = format!("{testid}-value");
    let error_id = format!("{field}-error");
    let [id, described] = [&field, &error_id].map(|testid| id_of(testid));
    // Several figures have the same sides.
    let asked = label.clone();
    let by = move |n: i32| {
        change.run(value.with_untracked(|v| v.stepped(unit, f64::from(n) * step)));
    };
    let typed = move |ev| {
        let text = event_target_value(&ev);
        change.run(value.with_untracked(|v| v.typed(&text)));
    };
    // More digits than anyone reads off a ruler come from other units.
    let is_long = move || value.with(|v| v.text.chars().filter(char::is_ascii_digit).count() > 3);
    // What is typed takes the place of what is there.
    let take_place = |ev: leptos::ev::FocusEvent| event_target::<HtmlInputElement>(&ev).select();
    let [less, more] = buttons;
    view! {
        <div
            class="stepper"
            class:bad=move || problem.get().is_some()
            class:aside=move || aside.with(Option::is_some)
        >
            <label for=id.clone()>{label}</label>
            <div class="steps">
                <StepButton to=less testid=format!("{testid}-less") step=move |n: i32| by(-n) />
                <div class="figure">
                    <input
                        id=id
                        data-testid=field
                        type="text"
                        inputmode="decimal"
                        autocomplete="off"
                        enterkeyhint="next"
                        placeholder="–"
                        class:long=is_long
                        prop:value=move || value.with(|v| v.text.clone())
                        aria-invalid=move || problem.get().is_some().then_some("true")
                        aria-describedby=move || problem.get().map(|_| described.clone())
                        on:focus=take_place
                        on:input=typed
                    />
                    <button
                        type="button"
                        class="side"
                        data-testid=format!("{testid}-side")
                        aria-label=move || format!("{asked}: {}", side.get())
                        on:click=move |_| flip.run(())
                    >
                        {side}
                    </button>
                </div>
                <StepButton to=more testid=format!("{testid}-more") step=by />
            </div>
            <p class="note" data-testid=format!("{testid}-aside") hidden=move || aside.with(Option::is_none)>
                {aside}
            </p>
            <Problem testid=error_id text=problem />
        </div>
    }
}

/// A button that steps when it is tapped, and by itself while it is held, faster after a second.
///
/// It steps when the finger is lifted: one that begins to scroll here must change nothing.
#[component]
fn StepButton(
    /// What stands on it.
    to: StepTo,
    /// Its name for tests.
    testid: String,
    /// Called with how many steps to take.
    #[prop(into)]
    step: Callback<i32>,
) -> Node {
    let waiting = StoredValue::new(None::<TimeoutHandle>);
    let repeating = StoredValue::new(None::<IntervalHandle>);
    // How often it stepped by itself since it was pressed.
    let count = StoredValue::new(0_u32);
    let release = move || {
        if let Some(handle) = waiting.try_update_value(Option::take).flatten() {
            handle.clear();
        }
        if let Some(handle) = repeating.try_update_value(Option::take).flatten() {
            handle.clear();
        }
    };
    let again = move || {
        let n = count.try_update_value(|c| {
            *c += 1;
            *c
        });
        step.run(if n.unwrap_or(0) > FAST_AFTER { 5 } else { 1 });
    };
    let press = move |_| {
        release();
        count.set_value(0);
        let start = move || {
            again();
            repeating.set_value(set_interval_with_handle(again, REPEAT).ok());
        };
        waiting.set_value(set_timeout_with_handle(start, BEFORE_REPEAT).ok());
    };
    on_cleanup(release);
    // Lifting the finger from a button that stepped by itself is no tap. A click without a pointer
    // comes from a keyboard or a screen reader.
    let click = move |ev: leptos::ev::MouseEvent| {
        if ev.detail() == 0 || count.get_value() == 0 {
            step.run(1);
        }
    };
    view! {
        <button
            type="button"
            class="step"
            aria-label=to.label
            data-testid=testid
            on:pointerdown=press
            on:pointerup=move |_| release()
            on:pointerleave=move |_| release()
            on:pointercancel=move |_| release()
            on:contextmenu=move |ev| ev.prevent_default()
            on:click=click
        >
            {to.sign}
            <span>{to.word}</span>
        </button>
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::unit::{DEGREE, Units};

    fn sided(text: &str, less: bool) -> Sided {
        Sided { text: text.to_owned(), less }
    }

    #[test]
    fn steps_go_through_nothing_to_the_other_side() {
        let (mm, step) = (Units::METRIC.length_unit(), Units::METRIC.length_step());
        assert_eq!(sided("7", true).stepped(mm, step), sided("6", true), "7 below");
        assert_eq!(sided("1", true).stepped(mm, 5.0 * step), sided("4", false), "1 below, 5 up");
        assert_eq!(sided("", false).stepped(mm, -step), sided("1", true), "not read yet");
        let tenth = 0.1 * DEGREE;
        let near = sided("0.1", true).stepped(Unit::DEGREES, tenth);
        assert_eq!(near, sided("0.0", false), "upright has no side");
    }

    #[test]
    fn a_typed_minus_says_the_side_and_what_is_typed_after_it_keeps_it() {
        let typed = sided("", false).typed("-6");
        assert_eq!(typed, sided("6", true), "a minus");
        assert_eq!(typed.typed("65"), sided("65", true), "typed on");
        assert_eq!(sided("65", false).typed("6"), sided("6", false), "the other side");
        assert_eq!(Sided::of("\u{2212}7,5").signed(), "\u{2212}7,5", "as it is kept");
    }
}
