//! The lists of checks that come with the app: what a careful builder looks at before, between and
//! after dives of a model that dives by its ballast tank. Common practice, no source. Their words are
//! the app's, in its languages; here they are identities.
//!
//! A boat's own lists begin as copies of these ([`ChecksRecord::usual`]) and are its builder's from
//! then on. An identity stays with its check for ever: kept lists name checks by it.

use super::caution::Caution;
use super::checks::{CheckRecord, CheckTime, ChecksRecord};

/// A check that comes with the app.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UsualCheck {
    /// Its identity.
    pub id: &'static str,
    /// What to be careful with meanwhile.
    pub cautions: &'static [Caution],
}

const fn check(id: &'static str, cautions: &'static [Caution]) -> UsualCheck {
    UsualCheck { id, cautions }
}

/// Before the first dive: inside, then closed, then outside, then switched on, then at the edge.
const BEFORE: [UsualCheck; 16] = [
    check("battery-charged", &[Caution::Lithium, Caution::Mains]),
    check("battery-fixed", &[]),
    check("ballast-fixed", &[Caution::Lead]),
    check("hatch-seal", &[]),
    check("straps", &[]),
    check("box-tight", &[]),
    check("air-line", &[]),
    check("vents-open", &[]),
    check("surfaces", &[]),
    check("propeller", &[]),
    check("pitch-control", &[]),
    check("tank-works", &[]),
    check("radio-range", &[]),
    check("fail-safe", &[]),
    check("alarms", &[]),
    check("rescue", &[Caution::GoingIn, Caution::Alone]),
];

/// Between dives: what the last dive may have changed.
const BETWEEN: [UsualCheck; 8] = [
    check("box-looked-into", &[]),
    check("battery-good", &[Caution::Lithium, Caution::Mains]),
    check("seals-wiped", &[]),
    check("straps-again", &[]),
    check("air-left", &[]),
    check("weed-off", &[]),
    check("surfaces-again", &[]),
    check("floats-as-before", &[Caution::GoingIn]),
];

/// After the last dive: safe first, then dry.
const AFTER: [UsualCheck; 9] = [
    check("drained", &[Caution::Lifting]),
    check("battery-out", &[Caution::Lithium]),
    check("pressure-off", &[]),
    check("rinsed", &[]),
    check("dry-and-open", &[]),
    check("seals-off", &[]),
    check("shafts-dry", &[]),
    check("battery-stored", &[Caution::Lithium, Caution::Mains]),
    check("all-home", &[Caution::Lead]),
];

/// The list of a time that comes with the app.
pub fn usual_checks(time: CheckTime) -> &'static [UsualCheck] {
    match time {
        CheckTime::Before => &BEFORE,
        CheckTime::Between => &BETWEEN,
        CheckTime::After => &AFTER,
    }
}

/// The check of an identity that comes with the app; none for a builder's own.
pub fn usual_check(id: &str) -> Option<&'static UsualCheck> {
    CheckTime::ALL.into_iter().flat_map(usual_checks).find(|check| check.id == id)
}

/// A check that comes with the app as a record, not looked at yet.
pub(super) fn usual_record(check: &UsualCheck) -> CheckRecord {
    CheckRecord { id: check.id.to_owned(), ..CheckRecord::default() }
}

impl ChecksRecord {
    /// The lists that come with the app, for a boat by its identity.
    pub fn usual(boat: impl Into<String>) -> Self {
        let list = |time| usual_checks(time).iter().map(usual_record).collect();
        Self {
            id: boat.into(),
            before: list(CheckTime::Before),
            between: list(CheckTime::Between),
            after: list(CheckTime::After),
            ..Self::default()
        }
    }
}

/// A check's short name for where room is scarce: its words up to the first colon, comma or
/// semicolon.
pub fn short_words(words: &str) -> &str {
    let first = words.split([':', ',', ';']).next().unwrap_or_default().trim();
    if first.is_empty() { words } else { first }
}

impl CheckRecord {
    /// What to be careful with meanwhile.
    pub fn cautions(&self) -> &'static [Caution] {
        usual_check(&self.id).map_or(&[], |usual| usual.cautions)
    }
}
