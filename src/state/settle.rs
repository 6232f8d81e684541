//! What comes to stand in the store when two windows have changed one record. Pure.

use crate::device::storage::ResolvedText;
use serde_json::Value;
use trimwright::diary::{UnitsRecord, is_of_later_version, join, read, write};
use trimwright::unit::Decimal;

/// `base` is what this window last saw there, `theirs` what stands there now, `mine` what this
/// window wants there.
pub(super) fn settle(base: Option<&str>, theirs: Option<&str>, mine: Option<&str>) -> ResolvedText {
    let plain = |text: Option<&str>| ResolvedText { text: text.map(str::to_owned), aside: None };
    if theirs.is_some_and(is_of_later_version) {
        // It says more than this app can read: it stays, and what is typed here waits beside it.
        let aside = mine.filter(|_| mine != base && mine != theirs).map(str::to_owned);
        return ResolvedText { aside, ..plain(theirs) };
    }
    match (base, theirs, mine) {
        _ if theirs == base || theirs == mine => plain(mine),
        _ if mine == base => plain(theirs),
        // What one changed is not lost because the other removed it.
        (_, kept, None) | (_, None, kept) => plain(kept),
        (base, Some(theirs), Some(mine)) => joined(base, theirs, mine),
    }
}

fn joined(base: Option<&str>, theirs: &str, mine: &str) -> ResolvedText {
    let Some(theirs_read) = value(theirs) else {
        return ResolvedText { text: Some(mine.to_owned()), aside: Some(theirs.to_owned()) };
    };
    let text = match value(mine) {
        Some(mine) => {
            // Typed in two units, one figure would be joined with the other's unit.
            let same = |text: &str| in_units_of(text, &mine).or_else(|| value(text));
            let base = base.and_then(same).unwrap_or(Value::Null);
            let theirs = same(theirs).unwrap_or(theirs_read);
            join(&base, &theirs, &mine).to_string()
        }
        // What this window wrote itself can be read; if not, the other's stays.
        None => theirs.to_owned(),
    };
    ResolvedText { text: Some(text), aside: None }
}

fn value(text: &str) -> Option<Value> {
    serde_json::from_str(text).ok()
}

/// A record in which something is typed, in the units of another such one; none where there is nothing
/// to do.
fn in_units_of(text: &str, other: &Value) -> Option<Value> {
    let units = |record: &Value| {
        let units = record.pointer("/draft/units").cloned().unwrap_or_default();
        serde_json::from_value::<UnitsRecord>(units).unwrap_or_default()
    };
    let wanted = units(other);
    if units(&value(text)?) == wanted {
        return None;
    }
    let mut diary = read(text).ok()?;
    diary.draft.turn_to_units(wanted, Decimal::Point);
    value(&write(&diary))
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::diary::{Diary, Draft, LengthUnit};

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

    #[test]
    fn what_a_later_version_wrote_stays_and_what_is_typed_here_waits_beside_it() {
        let later = r#"{"format":"trimwright","version":99,"boats":[]}"#;
        let [base, mine] = [r#"{"version":3,"a":1}"#, r#"{"version":3,"a":2}"#];
        for base in [None, Some(base), Some(later)] {
            let settled = settle(base, Some(later), Some(mine));
            assert_eq!(settled.text.as_deref(), Some(later), "theirs, before: {base:?}");
            assert_eq!(settled.aside.as_deref(), Some(mine), "mine, before: {base:?}");
        }
        assert_eq!(settle(Some(base), Some(later), Some(base)).aside, None, "nothing was typed");
        assert_eq!(settle(Some(later), Some(later), None).text.as_deref(), Some(later), "removed");
    }

    #[test]
    fn what_is_typed_in_two_units_is_joined_in_those_of_this_window() {
        let draft = |units: LengthUnit, bow: &str, list: &str| {
            let draft = Draft {
                boat: "teal".to_owned(),
                units: UnitsRecord { length: units, ..UnitsRecord::default() },
                marks: [("bow".to_owned(), bow.to_owned())].into_iter().collect(),
                list: list.to_owned(),
                ..Draft::default()
            };
            write(&Diary { draft, ..Diary::default() })
        };
        let base = draft(LengthUnit::Millimetre, "25.4", "1");
        let theirs = draft(LengthUnit::Millimetre, "50.8", "1");
        let mine = draft(LengthUnit::Inch, "1", "2");
        let settled = settle(Some(&base), Some(&theirs), Some(&mine)).text.expect("a text");
        let joined = read(&settled).expect("a record").draft;
        assert_eq!(joined.units.length, LengthUnit::Inch, "as in this window");
        assert_eq!(
            joined.marks.get("bow").map(String::as_str),
            Some("2"),
            "their new figure, in inches"
        );
        assert_eq!(joined.list, "2", "my new angle");
    }
}
