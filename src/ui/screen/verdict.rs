//! The lines under the advice: what comes of it, what does not fit, what to read next.

use crate::state::{PoolAnswer, WayAfter};
use crate::ui::node::{Node, view};
use crate::ui::{advice_text, both_text};
use crate::words::t;
use trimwright::answer::Advised;
use trimwright::ballast::Verdict;
use trimwright::reading::Condition;

/// The lines under the advice: what comes of it, what does not fit, what to read next.
pub(super) fn verdict(answer: &PoolAnswer, is_quick: bool) -> Option<Node> {
    let PoolAnswer::Advised(advised) = answer else { return None };
    let Advised { reading, fit, advice, .. } = advised.as_ref();
    // Angles of a boat of six numbers under water tell little: nobody is sent for them.
    let asks = !(is_quick && reading.condition == Condition::Under);
    let is_told = fit.untold.is_empty() || !asks;
    let settled = fit.contradiction.is_none() && is_told && advice.mass_left.is_none();
    let (holds, after) = both_text::after(advised, is_quick);
    let (class, sign) = match advice.verdict {
        Verdict::Lower { .. } | Verdict::LiesOver { .. } | Verdict::TankTooSmall { .. } => {
            ("bad", "✕")
        }
        Verdict::LeaveIt if settled && holds => ("ok", "✓"),
        Verdict::Do if fit.contradiction.is_none() && advice.mass_left.is_none() && holds => {
            ("ok", "✓")
        }
        _ => ("warn", "!"),
    };
    let left = advice_text::mass_left(advice);
    let rough = (is_quick && advice.verdict == Verdict::Do).then(|| t!("reading.rough"));
    let clash = fit.contradiction.as_ref().map(|c| advice_text::contradiction(c, reading));
    let lean = advice_text::lean(fit);
    let other = both_text::the_other(advised, is_quick).map(|(right, words)| {
        let (class, sign) = if right { ("after ok", "✓") } else { ("after warn", "!") };
        view! { <p class=class data-testid="answer-other">{format!("{sign} {words}")}</p> }
    });
    let bg = both_text::bg(advised);
    let next = advice_text::help(&fit.untold, fit.help.as_ref()).filter(|_| asks);
    Some(view! {
        {lean.map(|words| view! { <p class="after" data-testid="answer-lean">{words}</p> })}
        {clash.map(|words| view! { <p class="after bad">"✕ " {words}</p> })}
        <p class=format!("after {class}") data-testid="answer-after">
            {format!("{sign} {after}")}
        </p>
        {left.map(|words| view! { <p class="after warn" data-testid="answer-left">"! " {words}</p> })}
        {other}
        {bg.map(|words| view! { <p class="after warn" data-testid="answer-bg">"! " {words}</p> })}
        {rough.map(|words| view! { <p class="after warn">{words}</p> })}
        {next.map(|words| view! { <p class="after warn" data-testid="answer-next">"! " {words}</p> })}
    })
}

/// The line of how it goes down after what is advised.
pub(super) fn on_the_way(way: &WayAfter) -> Node {
    let (right, words) = both_text::on_the_way(way);
    let (class, sign) = if right { ("after ok", "✓") } else { ("after warn", "!") };
    let next = way.next.map(advice_text::read_next);
    view! {
        <p class=class data-testid="answer-way">{format!("{sign} {words}")}</p>
        {next.map(|words| view! { <p class="after" data-testid="answer-narrow">{words}</p> })}
    }
}
