//! The words of the checks that come with the app, found by the checks' identities.

use super::t;
use trimwright::diary::CheckRecord;

/// For each check that comes with the app its identity, the key of its words, and the key of why it
/// matters; none where that is plain.
const KEYS: [(&str, &str, Option<&str>); 33] = [
    ("battery-charged", "check.battery_charged", Some("why.battery_charged")),
    ("battery-fixed", "check.battery_fixed", Some("why.battery_fixed")),
    ("ballast-fixed", "check.ballast_fixed", Some("why.ballast_fixed")),
    ("hatch-seal", "check.hatch_seal", Some("why.hatch_seal")),
    ("straps", "check.straps", Some("why.straps")),
    ("box-tight", "check.box_tight", Some("why.box_tight")),
    ("air-line", "check.air_line", Some("why.air_line")),
    ("vents-open", "check.vents_open", Some("why.vents_open")),
    ("surfaces", "check.surfaces", Some("why.surfaces")),
    ("propeller", "check.propeller", Some("why.propeller")),
    ("pitch-control", "check.pitch_control", Some("why.pitch_control")),
    ("tank-works", "check.tank_works", Some("why.tank_works")),
    ("radio-range", "check.radio_range", Some("why.radio_range")),
    ("fail-safe", "check.fail_safe", Some("why.fail_safe")),
    ("alarms", "check.alarms", Some("why.alarms")),
    ("rescue", "check.rescue", Some("why.rescue")),
    ("box-looked-into", "check.box_looked_into", Some("why.box_looked_into")),
    ("battery-good", "check.battery_good", None),
    ("seals-wiped", "check.seals_wiped", None),
    ("straps-again", "check.straps_again", None),
    ("air-left", "check.air_left", Some("why.air_left")),
    ("weed-off", "check.weed_off", None),
    ("surfaces-again", "check.surfaces_again", None),
    ("floats-as-before", "check.floats_as_before", Some("why.floats_as_before")),
    ("drained", "check.drained", None),
    ("battery-out", "check.battery_out", None),
    ("pressure-off", "check.pressure_off", Some("why.pressure_off")),
    ("rinsed", "check.rinsed", None),
    ("dry-and-open", "check.dry_and_open", Some("why.dry_and_open")),
    ("seals-off", "check.seals_off", None),
    ("shafts-dry", "check.shafts_dry", None),
    ("battery-stored", "check.battery_stored", None),
    ("all-home", "check.all_home", None),
];

/// What to check: the builder's words; else those that come with the app; else the identity, so that
/// there is always something to read.
pub(crate) fn words_of(check: &CheckRecord) -> String {
    if !check.words.is_empty() {
        return check.words.clone();
    }
    usual_words(&check.id).unwrap_or_else(|| check.id.clone())
}

/// The words of a check that comes with the app; none for a builder's own.
pub(crate) fn usual_words(id: &str) -> Option<String> {
    KEYS.iter().find(|(known, ..)| *known == id).map(|(_, words, _)| t!(words))
}

/// Why a check matters; empty where that is plain.
pub(crate) fn why_of(check: &CheckRecord) -> String {
    let known = KEYS.iter().find(|(known, ..)| *known == check.id);
    known.and_then(|(.., why)| *why).map_or_else(String::new, |why| t!(why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::diary::{CheckTime, usual_checks};

    #[test]
    fn every_check_that_comes_with_the_app_has_words() {
        let all: Vec<&str> =
            CheckTime::ALL.into_iter().flat_map(usual_checks).map(|check| check.id).collect();
        let known: Vec<&str> = KEYS.iter().map(|(id, ..)| *id).collect();
        assert_eq!(known, all, "each of them, in the order of the lists");
    }

    #[test]
    fn words_are_the_builders_or_the_usual_ones_never_none() {
        let check = |id: &str, words: &str| CheckRecord {
            id: id.to_owned(),
            words: words.to_owned(),
            ..CheckRecord::default()
        };
        let usual = "Straps, latches and caps closed; each one tugged";
        assert_eq!(words_of(&check("straps", "")), usual, "as usual");
        assert_eq!(words_of(&check("straps", "My straps")), "My straps", "in the builder's words");
        assert_eq!(words_of(&check("of-a-later-app", "")), "of-a-later-app", "better than nothing");
        assert_eq!(why_of(&check("mine", "Lamp")), "", "the builder knows why");
    }
}
