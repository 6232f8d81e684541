//! What the Checks screen says.

use crate::device::clock;
use trimwright::diary::{
    CheckRecord, CheckState, CheckSummary, CheckTime, short_words, usual_check,
};

/// What a list is called.
pub(super) fn name_of(time: CheckTime) -> &'static str {
    match time {
        CheckTime::Before => "Before",
        CheckTime::Between => "Between",
        CheckTime::After => "After",
    }
}

/// When a list is gone through.
pub(super) fn when_of(time: CheckTime) -> &'static str {
    match time {
        CheckTime::Before => "Before the first dive",
        CheckTime::Between => "Between dives",
        CheckTime::After => "After the last dive",
    }
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
    let name = short_words(check.words());
    match check.because.trim() {
        "" => name.to_owned(),
        because => format!("{name} — {because}"),
    }
}

/// Why a check matters; empty where that is plain.
pub(super) fn why_of(check: &CheckRecord) -> &'static str {
    usual_check(&check.id).map_or("", |usual| usual.why)
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
    let state = match check.state {
        CheckState::Open => return String::new(),
        CheckState::Good => "Good",
        CheckState::Failed => "Failed",
        CheckState::NotToday => "Not today",
    };
    let when = clock::local_words(&check.at);
    match when.split_once(' ') {
        Some((_, time)) => format!("{state}, {time}"),
        None => state.to_owned(),
    }
}

/// How a list stands, in little room: "✓ 9 of 9".
pub(super) fn short_summary(summary: CheckSummary) -> String {
    let CheckSummary { failed, open, .. } = summary;
    let total = summary.total();
    let looked_at = total - open;
    match (total, failed) {
        (0, _) => "no checks".to_owned(),
        (_, 1..) => format!("✕ {failed} failed"),
        _ if summary.is_done() => format!("✓ {looked_at} of {total}"),
        _ => format!("{looked_at} of {total}"),
    }
}

/// How a list stands, in a sentence.
pub(super) fn summary_words(summary: CheckSummary) -> String {
    let CheckSummary { failed, left_out, open, .. } = summary;
    let total = summary.total();
    if total == 0 {
        return "There are no checks in this list.".to_owned();
    }
    let first = match (summary.is_done(), open) {
        (true, _) => "✓ Done".to_owned(),
        (false, 0) => "All looked at".to_owned(),
        (false, open) => format!("{open} of {total} to look at"),
    };
    let failed = (failed > 0).then(|| format!("✕ {failed} failed"));
    let left_out = (left_out > 0).then(|| format!("{left_out} not today"));
    let all: Vec<String> = std::iter::once(first).chain(failed).chain(left_out).collect();
    format!("{}.", all.join(" · "))
}

/// What a reason is asked with.
pub(super) fn question_of(state: CheckState) -> &'static str {
    if state == CheckState::Failed { "What is wrong?" } else { "Not today because" }
}

/// Reasons that need no typing.
pub(super) fn usual_reasons(state: CheckState) -> [&'static str; 4] {
    match state {
        CheckState::Failed => ["Leaks", "Loose", "Stuck", "Worn"],
        _ => ["Not fitted", "Not needed", "Done at home", "Nobody to help"],
    }
}
