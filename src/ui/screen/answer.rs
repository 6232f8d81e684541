//! The answer: the largest text on the screen; it never scrolls away.

use crate::state::{Advised, Answer, Datum, Session};
use crate::ui::text;
use leptos::prelude::*;
use trimwright::ballast::{Forecast, Step, Verdict};
use trimwright::fit::Lean;
use trimwright::unit::{GRAM, MILLIMETRE};

/// The answer card.
#[component]
pub(crate) fn AnswerCard(
    /// Where lengths are measured from.
    datum: Datum,
) -> impl IntoView {
    let session = expect_context::<Session>();
    let answer = session.derived.answer;
    let figures = Memo::new(move |_| answer.with(|a| Figures::of(a)));
    let part = Memo::new(move |_| session.derived.draft.with(|d| d.shift_part.clone()));
    let said = Memo::new(move |_| {
        let said = answer.with(|a| said(a, datum));
        part.with(|name| if name.is_empty() { said } else { said.of_part(name) })
    });
    let keep = move |_| {
        answer.with_untracked(|a| {
            if let Answer::Advised(advised) = a.as_ref() {
                session.keep_reading(text::advice_lines(&advised.advice, datum));
            }
        });
    };
    view! {
        <section
            class="answer"
            aria-live="polite"
            aria-label="Advice"
            data-testid="answer"
            data-kind=move || said.get().kind
            data-grams=move || figures.get().grams
            data-x-mm=move || figures.get().x_mm
            data-y-mm=move || figures.get().y_mm
        >
            <p class="large">
                <strong data-testid="answer-main">{move || said.get().main}</strong>
                " "
                <span class="spread" data-testid="answer-spread">
                    {move || said.get().spread}
                </span>
            </p>
            <div class="where" data-testid="answer-place">
                {move || said.get().places.into_iter().map(|line| view! { <p>{line}</p> }).collect_view()}
            </div>
            <div class="last">
                <div>{move || answer.with(|a| verdict(a))}</div>
                <button
                    type="button"
                    class="keep"
                    data-testid="keep-reading"
                    hidden=move || !answer.with(|a| matches!(a.as_ref(), Answer::Advised(_)))
                    on:click=keep
                >
                    "Keep"
                </button>
            </div>
        </section>
    }
}

/// The first step's figures, whole, for tests and other machines.
#[derive(Debug, Clone, PartialEq, Default)]
struct Figures {
    grams: String,
    x_mm: String,
    y_mm: String,
}

impl Figures {
    fn of(answer: &Answer) -> Self {
        let Answer::Advised(advised) = answer else { return Self::default() };
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

fn said(answer: &Answer, datum: Datum) -> text::Said {
    let plain = |main: &str, place: String| text::Said {
        main: main.to_owned(),
        places: vec![place],
        kind: "none",
        ..text::Said::default()
    };
    match answer {
        Answer::Advised(advised) => text::advice(&advised.advice, datum),
        Answer::NothingRead(model) => plain(
            "Read the boat",
            format!("Water at a mark, or the list. As modelled: {}.", text::lies(model, &[])),
        ),
        Answer::BadFields(_) => {
            plain("Check the figures", "One of them cannot be read: see beside it.".to_owned())
        }
        Answer::Refused(why) => plain("No answer", format!("{why}.")),
        Answer::BadBoat(why) => plain("Check the boat", format!("{why}.")),
        Answer::NoBoat => text::Said { kind: "none", ..text::Said::default() },
    }
}

/// The lines under the advice: what comes of it, what does not fit, what to read next.
fn verdict(answer: &Answer) -> Option<impl IntoView + use<>> {
    let Answer::Advised(advised) = answer else { return None };
    let Advised { reading, fit, advice, .. } = advised.as_ref();
    let good = advice.verdict != Verdict::LeaveIt && holds(&advice.after);
    let (class, sign) = match advice.verdict {
        Verdict::Lower { .. } => ("bad", "✕"),
        Verdict::LeaveIt => ("ok", "✓"),
        Verdict::Do if good => ("ok", "✓"),
        Verdict::Do => ("warn", "!"),
    };
    let clash = fit.contradiction.as_ref().map(|c| text::contradiction(c, reading));
    let caution = (fit.lean == Lean::ListOrLoll).then_some(
        "! Perhaps top-heavy. Push it over to the other side: if it stays there, lower weight instead.",
    );
    let next = text::help(&fit.untold, fit.help.as_ref());
    Some(view! {
        <p class=format!("after {class}") data-testid="answer-after">
            {format!("{sign} {}", text::after(advice))}
        </p>
        {caution.map(|words| view! { <p class="after warn">{words}</p> })}
        {clash.map(|words| view! { <p class="after bad">"✕ " {words}</p> })}
        {next.map(|words| view! { <p class="after warn" data-testid="answer-next">"! " {words}</p> })}
    })
}

/// True when the boat will lie as it should, within two millimetres and half a degree.
fn holds(after: &Forecast) -> bool {
    let angle = 0.5_f64.to_radians();
    let near = after.worst_mark().is_none_or(|m| m.above.abs() < 2.0 * MILLIMETRE);
    near && after.pose.heel().abs() < angle
}
