//! What the Checks screen says.

use crate::device::clock;
use crate::words::{checks::words_of, t, word};
use trimwright::diary::{CheckRecord, CheckState, CheckSummary, CheckTime, short_words};

/// What a list is called.
pub(super) fn name_of(time: CheckTime) -> String {
    t!(match time {
        CheckTime::Before => word!("checks.before"),
        CheckTime::Between => word!("checks.between"),
        CheckTime::After => word!("checks.after"),
    })
}

/// When a list is gone through.
pub(super) fn when_of(time: CheckTime) -> String {
    t!(match time {
        CheckTime::Before => word!("checks.when_before"),
        CheckTime::Between => word!("checks.when_between"),
        CheckTime::After => word!("checks.when_after"),
    })
}

/// A list's name for tests and links.
pub(super) fn slug_of(time: CheckTime) -> &'static str {
    match time {
        CheckTime::Before => "before",
        CheckTime::Between => "between",
        CheckTime::After => "after",
    }
}

/// What to call a check, and what is wrong with it or why it is left out: "Seals — weep".
pub(crate) fn called(check: &CheckRecord) -> String {
    let words = words_of(check);
    let name = short_words(&words);
    match check.because.trim() {
        "" => name.to_owned(),
        because => format!("{name} — {because}"),
    }
}

/// The sign of a state.
pub(super) fn sign_of(state: CheckState) -> &'static str {
    match state {
        CheckState::Open => "",
        CheckState::Good => "✓",
        CheckState::Failed => "✕",
        CheckState::NotToday => "–",
    }
}

/// A state's name for styles.
pub(super) fn state_name(state: CheckState) -> &'static str {
    match state {
        CheckState::Open => "open",
        CheckState::Good => "good",
        CheckState::Failed => "failed",
        CheckState::NotToday => "not-today",
    }
}

/// How a check stands: "Good, 14:05"; nothing for one that is open.
pub(super) fn state_words(check: &CheckRecord) -> String {
    let state = t!(match check.state {
        CheckState::Open => return String::new(),
        CheckState::Good => word!("checks.state_good"),
        CheckState::Failed => word!("checks.state_failed"),
        CheckState::NotToday => word!("checks.not_today"),
    });
    let (_, time) = clock::local_day_and_time(&check.at);
    if time.is_empty() { state } else { format!("{state}, {time}") }
}

/// How a list stands, in little room: "✓ 9 of 9".
pub(super) fn short_summary(summary: CheckSummary) -> String {
    let CheckSummary { failed, open, .. } = summary;
    let total = summary.total();
    let looked_at = total - open;
    match (total, failed) {
        (0, _) => t!("checks.none"),
        (_, 1..) => t!("checks.n_failed", count = failed),
        _ if summary.is_done() => t!("checks.all_done", some = looked_at, all = total),
        _ => t!("past.of", some = looked_at, all = total),
    }
}

/// How a list stands, in a sentence.
pub(super) fn summary_words(summary: CheckSummary) -> String {
    let CheckSummary { failed, left_out, open, .. } = summary;
    let total = summary.total();
    if total == 0 {
        return t!("checks.no_checks");
    }
    let first = match (summary.is_done(), open) {
        (true, _) => t!("entry.done"),
        (false, 0) => t!("checks.all_looked_at"),
        (false, open) => t!("checks.to_look_at", open = open, all = total),
    };
    let failed = (failed > 0).then(|| t!("checks.n_failed", count = failed));
    let left_out = (left_out > 0).then(|| t!("checks.n_not_today", count = left_out));
    let all: Vec<String> = std::iter::once(first).chain(failed).chain(left_out).collect();
    format!("{}.", all.join(" · "))
}

/// What a reason is asked with.
pub(super) fn question_of(state: CheckState) -> String {
    t!(if state == CheckState::Failed {
        word!("checks.what_is_wrong")
    } else {
        word!("checks.because")
    })
}

/// Reasons that need no typing.
pub(super) fn usual_reasons(state: CheckState) -> [String; 4] {
    let keys = match state {
        CheckState::Failed => [
            word!("checks.leaks"),
            word!("checks.loose"),
            word!("checks.stuck"),
            word!("checks.worn"),
        ],
        _ => [
            word!("checks.not_fitted"),
            word!("checks.not_needed"),
            word!("checks.done_at_home"),
            word!("checks.no_help"),
        ],
    };
    keys.map(|key| t!(key))
}
