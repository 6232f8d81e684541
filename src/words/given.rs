//! What the boats that come with the app call their parts, tanks, marks and places: in the language in which one
//! is taken in hand. From then on the names are its builder's.

use super::{Language, language};
use crate::words::{Word, word};
use litemap::LiteMap;
use trimwright::diary::BoatRecord;

/// The keys of the names, which are in English in the boats.
const KEYS: [Word; 64] = [
    word!("given.ballast_tank"),
    word!("given.battery"),
    word!("given.sealed"),
    word!("given.bilge_foam"),
    word!("given.bow_foam"),
    word!("given.foam"),
    word!("given.top"),
    word!("given.deck_casing"),
    word!("given.nose_casing"),
    word!("given.tail_casing"),
    word!("given.casing"),
    word!("given.dry_cylinder"),
    word!("given.dry_hull"),
    word!("given.outer_hull"),
    word!("given.hull"),
    word!("given.hull_with_everything_aboard"),
    word!("given.end_cap_rings_and_bolts"),
    word!("given.equipment_tray"),
    word!("given.hatch_ring_and_seals"),
    word!("given.keel_lead"),
    word!("given.lead_keel"),
    word!("given.trim_lead"),
    word!("given.trimming_lead_inside"),
    word!("given.motor"),
    word!("given.motor_and_gearbox"),
    word!("given.potted"),
    word!("given.navigation_light"),
    word!("given.on_the_tray"),
    word!("given.propeller"),
    word!("given.propeller_shaft"),
    word!("given.pump"),
    word!("given.pump_and_valves"),
    word!("given.receiver"),
    word!("given.receiver_and_servos"),
    word!("given.receiver_and_speed_controller"),
    word!("given.receiver_box"),
    word!("given.rudder"),
    word!("given.lower"),
    word!("given.upper"),
    word!("given.saddle_tank"),
    word!("given.sail"),
    word!("given.servo"),
    word!("given.servos"),
    word!("given.planes"),
    word!("given.speed_controllers"),
    word!("given.stern_plane"),
    word!("given.stern_planes"),
    word!("given.strake"),
    word!("given.wiring_and_switch"),
    word!("given.group_hull"),
    word!("given.group_sail"),
    word!("given.group_drive"),
    word!("given.group_ballast"),
    word!("given.group_power"),
    word!("given.group_casing"),
    word!("form.bow"),
    word!("form.stern"),
    word!("form.midship"),
    word!("form.at_port"),
    word!("form.at_starboard"),
    word!("form.on_the_keel"),
    word!("form.on_deck"),
    word!("form.tank"),
    word!("reading.inside"),
];

/// What is called so in English, in the language of the view; what has no other name keeps it.
pub(crate) fn given(name: &str) -> String {
    if language() == Language::English {
        return name.to_owned();
    }
    // "stern plane, port": side and kind are said of many things.
    let piece = |piece: &str| {
        let key = KEYS.iter().find(|key| key.text_in(Language::English) == piece);
        key.map_or_else(|| piece.to_owned(), |key| key.text().to_owned())
    };
    name.split(", ").map(piece).collect::<Vec<_>>().join(", ")
}

/// Names everything of a boat that comes with the app in the language of the view.
pub(crate) fn name_all(boat: &mut BoatRecord) {
    for part in &mut boat.parts {
        part.name = given(&part.name);
        part.group = given(&part.group);
    }
    let tanks = boat.tanks.iter_mut().map(|t| &mut t.name);
    let marks = boat.marks.iter_mut().map(|m| &mut m.name);
    let places = boat.places.iter_mut().map(|p| &mut p.name);
    for name in tanks.chain(marks).chain(places) {
        *name = given(name);
    }
}

/// The keys of the names in a six-number boat.
const OF_SIX: [Word; 8] = [
    word!("given.hull_with_everything_aboard"),
    word!("form.tank"),
    word!("form.stern"),
    word!("form.midship"),
    word!("form.bow"),
    word!("form.on_the_keel"),
    word!("reading.inside"),
    word!("form.on_deck"),
];

/// What a boat of six numbers calls what it has, by the English names; none in English.
pub(crate) fn names_of_six() -> LiteMap<String, String> {
    let mut names = LiteMap::new();
    for key in OF_SIX {
        let [english, here] = [Language::English, language()].map(|l| key.text_in(l).to_owned());
        if english != here {
            names.insert(english, here);
        }
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::speak_language;
    use trimwright::boat::demo_boat;
    use trimwright::diary::{QuickRecord, TEMPLATES};

    /// Every name in a boat.
    fn names(boat: &BoatRecord) -> Vec<String> {
        let parts = boat.parts.iter().flat_map(|p| [&p.name, &p.group]);
        let tanks = boat.tanks.iter().map(|t| &t.name);
        let marks = boat.marks.iter().map(|m| &m.name);
        let all = parts.chain(tanks).chain(marks).chain(boat.places.iter().map(|p| &p.name));
        all.filter(|name| !name.is_empty()).cloned().collect()
    }

    fn boats() -> Vec<BoatRecord> {
        let templates = TEMPLATES.iter().map(|t| t.boat_record().expect("a file of ours"));
        let demo = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        templates.chain([demo]).collect()
    }

    /// Names that are the same word in German.
    const SAME: [&str; 3] = ["propeller", "servos", "motor"];

    #[test]
    fn every_name_that_comes_with_the_app_has_a_german_one() {
        for boat in boats() {
            let mut named = boat.clone();
            name_all(&mut named);
            assert_eq!(named, boat, "in English as it comes");
            speak_language(Language::German);
            name_all(&mut named);
            speak_language(Language::English);
            for (english, german) in names(&boat).iter().zip(names(&named)) {
                for (one, other) in english.split(", ").zip(german.split(", ")) {
                    let same = SAME.contains(&one) || one == "Ballast" || one == "servo";
                    assert!(same || one != other, "{}: {english} is {german}", boat.name);
                }
            }
            let different = |boat: &BoatRecord| {
                let marks = boat.marks.iter().map(|m| m.name.clone());
                marks.collect::<std::collections::BTreeSet<_>>().len()
            };
            assert_eq!(different(&named), boat.marks.len(), "no two marks of one name");
        }
    }

    #[test]
    fn a_boat_of_six_numbers_is_named_throughout() {
        let numbers = r#"{"length_m":0.9,"beam_m":0.1,"depth_m":0.1,"mass_kg":4,"waterline_m":0.08,
            "fullness":0.75,"water_density_kg_m3":998,"tank_m3":0.0003}"#;
        let mut quick: QuickRecord = serde_json::from_str(numbers).expect("six numbers");
        assert!(names_of_six().is_empty(), "in English as it comes");
        speak_language(Language::German);
        quick.names = names_of_six();
        speak_language(Language::English);
        let boat = BoatRecord::quick("it", "Krickente", quick).boat().expect("a boat");
        let marks: Vec<&str> = boat.marks.iter().map(|m| m.name.as_str()).collect();
        assert_eq!(marks, ["Heck", "Mittschiffs", "Bug"], "its marks");
        let places: Vec<&str> = boat.places.iter().map(|p| p.name.as_str()).collect();
        assert_eq!(places, ["am Kiel", "innen", "an Deck"], "its places");
        let [hull, tank] = [&boat.parts[0].name, &boat.tanks[0].name];
        assert_eq!([hull.as_str(), tank], ["Rumpf mit allem an Bord", "Tank"], "the rest");
    }

    #[test]
    fn what_a_builder_named_keeps_its_name() {
        speak_language(Language::German);
        let said = ["stern plane, port", "my keel", "rudder"].map(given);
        speak_language(Language::English);
        assert_eq!(said, ["hinteres Tiefenruder, Backbord", "my keel", "Seitenruder"], "");
    }
}
