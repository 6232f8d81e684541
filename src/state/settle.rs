//! What comes to stand in the store when two windows have changed one record. Pure.

use crate::device::storage::Settled;
use serde_json::Value;
use trimwright::diary::join;

/// `base` is what this window last saw there, `theirs` what stands there now, `mine` what this
/// window wants there.
pub(super) fn settle(base: Option<&str>, theirs: Option<&str>, mine: Option<&str>) -> Settled {
    let plain = |text: Option<&str>| Settled { text: text.map(str::to_owned), aside: None };
    match (base, theirs, mine) {
        _ if theirs == base || theirs == mine => plain(mine),
        _ if mine == base => plain(theirs),
        // What one changed is not lost because the other removed it.
        (_, kept, None) | (_, None, kept) => plain(kept),
        (base, Some(theirs), Some(mine)) => joined(base, theirs, mine),
    }
}

fn joined(base: Option<&str>, theirs: &str, mine: &str) -> Settled {
    let value = |text: &str| serde_json::from_str::<Value>(text).ok();
    let Some(theirs_read) = value(theirs) else {
        return Settled { text: Some(mine.to_owned()), aside: Some(theirs.to_owned()) };
    };
    let base = base.and_then(value).unwrap_or(Value::Null);
    let text = match value(mine) {
        Some(mine) => join(&base, &theirs_read, &mine).to_string(),
        // What this window wrote itself can be read; if not, the other's stays.
        None => theirs.to_owned(),
    };
    Settled { text: Some(text), aside: None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_edits_of_two_windows_are_there() {
        let settled =
            settle(Some(r#"{"a":1,"b":1}"#), Some(r#"{"a":2,"b":1}"#), Some(r#"{"a":1,"b":2}"#));
        assert_eq!(settled.text.as_deref(), Some(r#"{"a":2,"b":2}"#), "a from them, b from here");
    }

    #[test]
    fn what_cannot_be_read_is_put_aside_not_overwritten() {
        let settled = settle(Some("{}"), Some("{\"a\":"), Some("{\"b\":1}"));
        assert_eq!(settled.text.as_deref(), Some("{\"b\":1}"), "this window's record");
        assert_eq!(settled.aside.as_deref(), Some("{\"a\":"), "the damaged text");
    }

    #[test]
    fn a_change_outlives_a_removal_beside_it() {
        for (theirs, mine) in [(Some("2"), None), (None, Some("2"))] {
            assert_eq!(
                settle(Some("1"), theirs, mine).text.as_deref(),
                Some("2"),
                "{theirs:?} {mine:?}"
            );
        }
        assert_eq!(settle(Some("1"), Some("1"), None).text, None, "only one removed it");
        assert_eq!(settle(Some("1"), None, Some("1")).text, None, "the other removed it");
    }
}
