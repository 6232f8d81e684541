//! The lists of checks that come with the app: what a careful builder looks at before, between and
//! after dives of a model that dives by its ballast tank. Common practice, no source.
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
    /// What to check.
    pub words: &'static str,
    /// Why it matters, in a line; empty where that is plain.
    pub why: &'static str,
    /// What to be careful with meanwhile.
    pub cautions: &'static [Caution],
}

const fn check(
    id: &'static str,
    words: &'static str,
    why: &'static str,
    cautions: &'static [Caution],
) -> UsualCheck {
    UsualCheck { id, words, why, cautions }
}

/// Before the first dive: inside, then closed, then outside, then switched on, then at the edge.
const BEFORE: [UsualCheck; 16] = [
    check(
        "battery-charged",
        "Battery charged and measured, not warm, not swollen",
        "An empty battery cannot blow the tank.",
        &[Caution::Lithium, Caution::Mains],
    ),
    check(
        "battery-fixed",
        "Battery strapped down, plug home, leads clear of all that moves",
        "A battery that slides changes the trim.",
        &[],
    ),
    check(
        "ballast-fixed",
        "Ballast fixed where the last good trim had it",
        "A loose weight rolls to the low side.",
        &[Caution::Lead],
    ),
    check(
        "hatch-seal",
        "Seals of hatch and dry box: whole, clean, greased, in their grooves",
        "One hair across a seal is a leak.",
        &[],
    ),
    check(
        "straps",
        "Straps, latches and caps closed; each one tugged",
        "What is only laid over opens on the way.",
        &[],
    ),
    check(
        "box-tight",
        "Dry box held under by hand: no bubbles",
        "It leaks more at depth than here.",
        &[],
    ),
    check(
        "air-line",
        "Air line tight: no hiss, no kink; reserve full",
        "Air that leaks now is missing when the tank is blown.",
        &[],
    ),
    check(
        "vents-open",
        "Vents and flood holes open, nothing stuck in them",
        "Trapped air holds the boat up, then lets go.",
        &[],
    ),
    check(
        "surfaces",
        "Rudders and planes: free from stop to stop, tight on their shafts, centred",
        "A plane that slips on its shaft cannot be steered back.",
        &[],
    ),
    check(
        "propeller",
        "Propeller tight, shaft turns freely and is greased",
        "Hands off it while the battery is in.",
        &[],
    ),
    check(
        "pitch-control",
        "Pitch controller, if there is one: bow held down, the planes lift it",
        "Set the wrong way round it dives the boat deeper.",
        &[],
    ),
    check(
        "tank-works",
        "Ballast tank filled and emptied once: runs freely, stops at both ends",
        "What sticks on the bench sticks under water.",
        &[],
    ),
    check(
        "radio-range",
        "Radio range tried on land, as its maker says, motor running",
        "Under water it is much less.",
        &[],
    ),
    check(
        "fail-safe",
        "Fail-safe tried: transmitter off, motor stops, tank empties",
        "Without a signal nobody else brings the boat up.",
        &[],
    ),
    check(
        "alarms",
        "Low-battery guard set for these cells; leak alarm answers a wet finger",
        "Both must bring the boat up while it still can.",
        &[],
    ),
    check(
        "rescue",
        "Line or pole at hand; depth and weed known; somebody knows where I am",
        "A boat on the bottom is fetched from the shore.",
        &[Caution::GoingIn, Caution::Alone],
    ),
];

/// Between dives: what the last dive may have changed.
const BETWEEN: [UsualCheck; 8] = [
    check(
        "box-looked-into",
        "Dry box opened and looked into: no drop, no mist",
        "A drop now is a flooded box some dives later.",
        &[],
    ),
    check(
        "battery-good",
        "Battery cool, measured, good for one more dive",
        "",
        &[Caution::Lithium, Caution::Mains],
    ),
    check("seals-wiped", "Seals wiped and looked at, before they are closed", "", &[]),
    check("straps-again", "Straps, latches and caps closed; each one tugged", "", &[]),
    check(
        "air-left",
        "Air or gas for every blow of the next dive, and one more",
        "The last blow is the one that brings it up.",
        &[],
    ),
    check("weed-off", "Weed and line off propeller, planes, vents and flood holes", "", &[]),
    check("surfaces-again", "Rudders and planes still free, tight and centred", "", &[]),
    check(
        "floats-as-before",
        "Floats at its marks as before the last dive, no new list",
        "A changed waterline is water inside, or a weight that moved.",
        &[Caution::GoingIn],
    ),
];

/// After the last dive: safe first, then dry.
const AFTER: [UsualCheck; 9] = [
    check(
        "drained",
        "Tank and flooded parts drained, bow up and bow down, before lifting",
        "",
        &[Caution::Lifting],
    ),
    check("battery-out", "Switched off; battery out, cool and dry", "", &[Caution::Lithium]),
    check(
        "pressure-off",
        "Air or gas let off, lines empty",
        "Nothing rides home under pressure.",
        &[],
    ),
    check("rinsed", "Rinsed with fresh water after the sea or a pool", "", &[]),
    check(
        "dry-and-open",
        "Dry box wiped dry and left open, with hatches and caps",
        "Closed damp, it rusts from inside.",
        &[],
    ),
    check("seals-off", "Seals off, wiped, looked at, laid flat", "", &[]),
    check("shafts-dry", "Shafts and linkages dried and greased", "", &[]),
    check(
        "battery-stored",
        "Battery brought to the charge its maker wants for storing",
        "",
        &[Caution::Lithium, Caution::Mains],
    ),
    check(
        "all-home",
        "Weights and tools counted, nothing left at the water; what wore is noted",
        "",
        &[Caution::Lead],
    ),
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

/// What to call a check where there is little room: its words up to the first colon, comma or
/// semicolon.
pub fn short_words(words: &str) -> &str {
    let first = words.split([':', ',', ';']).next().unwrap_or_default().trim();
    if first.is_empty() { words } else { first }
}

impl CheckRecord {
    /// What to check: the builder's words; else those that come with the app, in English; else the
    /// identity, so that there is always something to read.
    pub fn words(&self) -> &str {
        if !self.words.is_empty() {
            return &self.words;
        }
        usual_check(&self.id).map_or(&self.id, |usual| usual.words)
    }

    /// What to be careful with meanwhile.
    pub fn cautions(&self) -> &'static [Caution] {
        usual_check(&self.id).map_or(&[], |usual| usual.cautions)
    }
}
