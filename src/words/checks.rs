//! The words of the checks that come with the app, found by the checks' identities.

use super::t;
use crate::words::{Word, word};
use trimwright::diary::CheckRecord;

/// For each check that comes with the app its identity, the key of its words, and the key of why it
/// matters; none where that is plain.
const KEYS: [(&str, Word, Option<Word>); 33] = [
    ("battery-charged", word!("check.battery_charged"), Some(word!("why.battery_charged"))),
    ("battery-fixed", word!("check.battery_fixed"), Some(word!("why.battery_fixed"))),
    ("ballast-fixed", word!("check.ballast_fixed"), Some(word!("why.ballast_fixed"))),
    ("hatch-seal", word!("check.hatch_seal"), Some(word!("why.hatch_seal"))),
    ("straps", word!("check.straps"), Some(word!("why.straps"))),
    ("box-tight", word!("check.box_tight"), Some(word!("why.box_tight"))),
    ("air-line", word!("check.air_line"), Some(word!("why.air_line"))),
    ("vents-open", word!("check.vents_open"), Some(word!("why.vents_open"))),
    ("surfaces", word!("check.surfaces"), Some(word!("why.surfaces"))),
    ("propeller", word!("check.propeller"), Some(word!("why.propeller"))),
    ("pitch-control", word!("check.pitch_control"), Some(word!("why.pitch_control"))),
    ("tank-works", word!("check.tank_works"), Some(word!("why.tank_works"))),
    ("radio-range", word!("check.radio_range"), Some(word!("why.radio_range"))),
    ("fail-safe", word!("check.fail_safe"), Some(word!("why.fail_safe"))),
    ("alarms", word!("check.alarms"), Some(word!("why.alarms"))),
    ("rescue", word!("check.rescue"), Some(word!("why.rescue"))),
    ("box-looked-into", word!("check.box_looked_into"), Some(word!("why.box_looked_into"))),
    ("battery-good", word!("check.battery_good"), None),
    ("seals-wiped", word!("check.seals_wiped"), None),
    ("straps-again", word!("check.straps_again"), None),
    ("air-left", word!("check.air_left"), Some(word!("why.air_left"))),
    ("weed-off", word!("check.weed_off"), None),
    ("surfaces-again", word!("check.surfaces_again"), None),
    ("floats-as-before", word!("check.floats_as_before"), Some(word!("why.floats_as_before"))),
    ("drained", word!("check.drained"), None),
    ("battery-out", word!("check.battery_out"), None),
    ("pressure-off", word!("check.pressure_off"), Some(word!("why.pressure_off"))),
    ("rinsed", word!("check.rinsed"), None),
    ("dry-and-open", word!("check.dry_and_open"), Some(word!("why.dry_and_open"))),
    ("seals-off", word!("check.seals_off"), None),
    ("shafts-dry", word!("check.shafts_dry"), None),
    ("battery-stored", word!("check.battery_stored"), None),
    ("all-home", word!("check.all_home"), None),
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
    KEYS.iter().find(|(known, ..)| *known == id).map(|(_, words, _)| t!(*words))
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
