//! The answer: the largest text on the screen; it never scrolls away.

use super::alarm::{Alarm, AlarmView, alarm};
use super::doubts::{PushOver, SetAside};
use super::fold::Fold;
use super::plans::PlansView;
use super::verdict::{on_the_way, verdict};
use crate::device::clock;
use crate::signal::{Memo, memo};
use crate::state::{Datum, Desk, Keeping, PoolAnswer, way_after};
use crate::ui::node::{CollectNode, Node, view};
use crate::ui::widget::Spoken;
use crate::ui::{advice_text, both_text, text};
use crate::words::{t, word};
use leptos::prelude::*;
use trimwright::answer::Shifted;
use trimwright::ballast::{Step, Verdict};
use trimwright::unit::{GRAM, MILLIMETRE};

/// Letters of an answer that stand large in one line beside its button on the narrowest phone.
const SHORT: usize = 15;

/// The answer card.
#[component]
pub(crate) fn AnswerCard(
    /// Where lengths are measured from.
    datum: Datum,
    /// The boat was made of six numbers.
    is_quick: bool,
    /// Whether it is one line.
    fold: Fold,
) -> Node {
    let desk = expect_context::<Desk>();
    let answer = desk.derived.answer;
    let figures = memo(move || answer.with(|a| StepFigures::of(a)));
    let way = way_after(desk);
    let is_old = memo(move || answer.with(|a| matches!(a.as_ref(), PoolAnswer::Old(_))));
    let just_done = memo(move || desk.waits_to_be_read());
    let text = memo(move || match just_done.get() {
        Some(done) => after_it_was_done(&done.lines),
        None if desk.waits_on_the_other_side() => after_it_stayed(),
        None => answer.with(|a| text(a, datum, is_quick)),
    });
    let alarm = alarm(desk, datum);
    let spoken = move || text.with(|s| s.clone().lines().join(". "));
    view! {
        <Spoken words=Memo::from(spoken) />
        <section
            id="answer"
            class="answer"
            tabindex="-1"
            class:brief=fold.is_line
            aria-label=t!("reading.advice")
            data-testid="answer"
            data-kind=move || text.get().kind
            data-grams=move || figures.get().grams
            data-x-mm=move || figures.get().x_mm
            data-y-mm=move || figures.get().y_mm
        >
            <AlarmView alarm />
            <p class="large">
                <strong
                    class:long=move || text.with(|s| s.main.chars().count() > SHORT)
                    data-testid="answer-main"
                >
                    {move || text.get().main}
                </strong>
                " "
                <span class="spread" data-testid="answer-spread">
                    {move || text.get().spread}
                </span>
            </p>
            <div class="where" data-testid="answer-place">
                {move || text.get().places.into_iter().map(|line| view! { <p>{line}</p> }).collect_node()}
            </div>
            <div class="last">
                <div>
                    {move || answer.with(|a| verdict(a, is_quick))}
                    {move || way.with(|w| w.as_ref().map(on_the_way))}
                    <TakeOffAgain />
                    <ShiftChosen />
                </div>
                <KeepAndDo text alarm is_quick />
            </div>
            <SetAside />
            <PushOver advice=move |()| advice_lines(desk, is_quick, text) />
            {move || is_old.get().then(|| view! { <StillHolds /> })}
            {move || just_done.get().map(|done| view! { <AfterDone can_correct=done.part.is_some() && !is_quick /> })}
            <button
                type="button"
                class="unfold"
                data-testid="answer-whole"
                hidden=move || !fold.is_line.get()
                aria-label=t!("reading.whole_answer")
                on:click=move |_| fold.unfold()
            >
                "▴"
            </button>
        </section>
        <PlansView datum advice=move |()| advice_lines(desk, is_quick, text) />
    }
}

/// The advice as lines for the diary.
fn advice_lines(desk: Desk, is_quick: bool, text: Memo<advice_text::AdviceText>) -> Vec<String> {
    let has_weight = desk.derived.draft.with_untracked(|d| !d.weight.mass.trim().is_empty());
    desk.derived.answer.with_untracked(|a| match a.as_ref() {
        PoolAnswer::Advised(a) => {
            let mut lines = both_text::lines(a, is_quick, text.get_untracked());
            lines.extend(has_weight.then(|| t!("on_it.take_off")));
            lines
        }
        _ => Vec::new(),
    })
}

/// A known weight that was on it for the reading comes off again.
#[component]
fn TakeOffAgain() -> Node {
    let desk = expect_context::<Desk>();
    let is_on = memo(move || {
        let answer = desk.derived.answer;
        desk.derived.draft.with(|d| !d.weight.mass.trim().is_empty())
            && answer.with(|a| matches!(a.as_ref(), PoolAnswer::Advised(_)))
    });
    view! {
        <p class="after warn" data-testid="answer-take-off" hidden=move || !is_on.get()>
            "! "
            {t!("on_it.take_off")}
        </p>
    }
}

/// Keeps the reading; once it is kept and what it advises is done, says so.
#[component]
fn KeepAndDo(
    /// The advice in words.
    text: Memo<advice_text::AdviceText>,
    /// What has changed.
    alarm: Memo<Alarm>,
    /// The boat was made of six numbers.
    is_quick: bool,
) -> Node {
    let desk = expect_context::<Desk>();
    let answer = desk.derived.answer;
    let standing = memo(move || desk.standing());
    let [is_kept, is_done] = [0, 1].map(|k| memo(move || standing.with(|s| s[k])));
    let to_do = memo(move || {
        answer.with(
            |a| matches!(a.as_ref(), PoolAnswer::Advised(a) if a.advice.verdict == Verdict::Do),
        )
    });
    let advice = move || {
        let changed = alarm.with_untracked(|a| a.as_ref().map(|(text, _)| text.line()));
        changed.into_iter().chain(advice_lines(desk, is_quick, text)).collect()
    };
    let do_it = move |share: f64| desk.do_it(advice(), text.get_untracked().lines(), share);
    let act = move |_| {
        if is_kept.get_untracked() {
            do_it(1.0);
        } else {
            desk.keep_reading(advice());
        }
    };
    let can_be_done = memo(move || is_kept.get() && to_do.get() && !is_done.get());
    let is_written = memo(move || desk.keeping.with(|k| *k == Keeping::Kept));
    let label = move || match (is_kept.get(), is_done.get(), is_written.get()) {
        (false, ..) => t!("reading.keep"),
        (true, _, false) => t!("reading.keeping"),
        (true, true, true) => t!("entry.done"),
        (true, false, true) if to_do.get() => t!("reading.done"),
        (true, false, true) => t!("reading.kept"),
    };
    view! {
        <button
            type="button"
            class="half"
            data-testid="done-half"
            hidden=move || !can_be_done.get()
            on:click=move |_| do_it(0.5)
        >
            {t!("reading.half")}
        </button>
        <button
            type="button"
            class="keep"
            data-testid="keep-reading"
            hidden=move || !answer.with(|a| matches!(a.as_ref(), PoolAnswer::Advised(_)))
            disabled=move || is_done.get() || (is_kept.get() && !to_do.get())
            on:click=act
        >
            {label}
        </button>
    }
}

/// What may be wrong with what was just done: it was done otherwise, or not at all.
#[component]
fn AfterDone(
    /// Whether a form has what came of it.
    can_correct: bool,
) -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <div class="after-done">
            <button
                type="button"
                data-testid="done-otherwise"
                hidden=!can_correct
                on:click=move |_| desk.correct_done()
            >
                {t!("reading.done_otherwise")}
            </button>
            <button
                type="button"
                data-testid="done-back"
                hidden=move || !desk.can_undo()
                on:click=move |_| desk.undo()
            >
                {t!("boats.put_back")}
            </button>
        </div>
    }
}

/// Figures of another outing: that they still hold is for the builder to say.
#[component]
fn StillHolds() -> Node {
    let desk = expect_context::<Desk>();
    view! {
        <div class="after-done">
            <button type="button" data-testid="figures-hold" on:click=move |_| desk.hold_figures()>
                {t!("reading.still_hold")}
            </button>
            <button type="button" data-testid="figures-gone" on:click=move |_| desk.clear_figures()>
                {t!("reading.clear_old")}
            </button>
        </div>
    }
}

/// What was done, and that the boat is to be read again.
fn after_it_was_done(lines: &[String]) -> advice_text::AdviceText {
    advice_text::AdviceText {
        main: t!("reading.read_again"),
        places: vec![t!("reading.was_done", what = lines.join(", "))],
        kind: "none",
        ..advice_text::AdviceText::default()
    }
}

/// The boat stayed on its other side, and is to be read there.
fn after_it_stayed() -> advice_text::AdviceText {
    advice_text::AdviceText {
        main: t!("push.read_there"),
        places: vec![t!("push.read_there_why")],
        kind: "none",
        ..advice_text::AdviceText::default()
    }
}

/// What was chosen to be shifted, and the way back to weight put on.
#[component]
fn ShiftChosen() -> Node {
    let desk = expect_context::<Desk>();
    let shifted = memo(move || desk.derived.answer.with(|a| shifted(a)));
    view! {
        <p class="chosen" hidden=move || shifted.with(Option::is_none)>
            <span data-testid="answer-shifted">
                {move || {
                    t!("reading.by_shifting", what = shifted.get().unwrap_or_default())
                }}
            </span>
            " "
            <button
                type="button"
                class="quiet-button"
                data-testid="answer-weight"
                on:click=move |_| desk.put_weight()
            >
                {t!("reading.weight_instead")}
            </button>
        </p>
    }
}

/// The first step's figures, whole, for tests and other machines.
#[derive(Debug, Clone, PartialEq, Default)]
struct StepFigures {
    grams: String,
    x_mm: String,
    y_mm: String,
}

impl StepFigures {
    fn of(answer: &PoolAnswer) -> Self {
        let PoolAnswer::Advised(advised) = answer else { return Self::default() };
        let whole = |value: f64, unit: f64| format!("{:.0}", (value / unit).round() + 0.0);
        match advised.advice.steps.first() {
            Some(Step::Add(w) | Step::TakeOff(w)) => Self {
                grams: whole(w.mass.value, GRAM),
                x_mm: whole(w.x.value, MILLIMETRE),
                y_mm: whole(w.y.value, MILLIMETRE),
            },
            Some(Step::Shift { mass, forward, to_port }) => Self {
                grams: whole(*mass, GRAM),
                x_mm: whole(forward.value, MILLIMETRE),
                y_mm: whole(to_port.value, MILLIMETRE),
            },
            None => Self::default(),
        }
    }
}

/// What the builder chose to shift, in words.
fn shifted(answer: &PoolAnswer) -> Option<String> {
    let PoolAnswer::Advised(advised) = answer else { return None };
    let Shifted { part, mass } = advised.shifted.clone()?;
    Some(part.unwrap_or_else(|| text::whole_grams(mass)))
}

fn text(answer: &PoolAnswer, datum: Datum, is_quick: bool) -> advice_text::AdviceText {
    let plain = |main: String, place: String| advice_text::AdviceText {
        main,
        places: vec![place],
        kind: "none",
        ..advice_text::AdviceText::default()
    };
    match answer {
        PoolAnswer::Advised(advised) => {
            let text = both_text::advice(advised, datum, is_quick);
            match advised.shifted.as_ref().and_then(|s| s.part.as_deref()) {
                Some(part) => text.of_part(part),
                None => text,
            }
        }
        PoolAnswer::NothingRead(model) => {
            let key = match model.outcome.submerged() {
                Some(_) if is_quick => word!("reading.how_heavy"),
                Some(_) => word!("reading.what_under"),
                None => word!("reading.what_afloat"),
            };
            plain(t!("reading.read_the_boat"), t!(key, lies = text::lies(model, &[])))
        }
        PoolAnswer::Old(at) => {
            plain(t!("reading.read_again"), t!("reading.of_then", when = clock::local_words(at)))
        }
        PoolAnswer::BadFields(_) => {
            plain(t!("reading.check_figures"), t!("reading.check_figures_where"))
        }
        PoolAnswer::Refused(why) => {
            plain(t!("reading.no_answer"), format!("{}.", text::upper_first(why)))
        }
        PoolAnswer::BadBoat(why) => {
            plain(t!("reading.check_boat"), format!("{}.", text::upper_first(why)))
        }
        PoolAnswer::NoBoat => {
            advice_text::AdviceText { kind: "none", ..advice_text::AdviceText::default() }
        }
    }
}
