//! What the boats that come with the app call their parts, tanks, marks and places: in the language in which one
//! is taken in hand. From then on the names are its builder's.

use super::{Language, find_in, language};
use litemap::LiteMap;
use trimwright::diary::BoatRecord;

/// The keys of the names, which are in English in the boats.
const KEYS: [&str; 64] = [
    "given.ballast_tank",
    "given.battery",
    "given.sealed",
    "given.bilge_foam",
    "given.bow_foam",
    "given.foam",
    "given.top",
    "given.deck_casing",
    "given.nose_casing",
    "given.tail_casing",
    "given.casing",
    "given.dry_cylinder",
    "given.dry_hull",
    "given.outer_hull",
    "given.hull",
    "given.hull_with_everything_aboard",
    "given.end_cap_rings_and_bolts",
    "given.equipment_tray",
    "given.hatch_ring_and_seals",
    "given.keel_lead",
    "given.lead_keel",
    "given.trim_lead",
    "given.trimming_lead_inside",
    "given.motor",
    "given.motor_and_gearbox",
    "given.potted",
    "given.navigation_light",
    "given.on_the_tray",
    "given.propeller",
    "given.propeller_shaft",
    "given.pump",
    "given.pump_and_valves",
    "given.receiver",
    "given.receiver_and_servos",
    "given.receiver_and_speed_controller",
    "given.receiver_box",
    "given.rudder",
    "given.lower",
    "given.upper",
    "given.saddle_tank",
    "given.sail",
    "given.servo",
    "given.servos",
    "given.planes",
    "given.speed_controllers",
    "given.stern_plane",
    "given.stern_planes",
    "given.strake",
    "given.wiring_and_switch",
    "given.group_hull",
    "given.group_sail",
    "given.group_drive",
    "given.group_ballast",
    "given.group_power",
    "given.group_casing",
    "form.bow",
    "form.stern",
    "form.midship",
    "form.at_port",
    "form.at_starboard",
    "form.on_the_keel",
    "form.on_deck",
    "form.tank",
    "reading.inside",
];

/// What is called so in English, in the language of the view; what has no other name keeps it.
pub(crate) fn given(name: &str) -> String {
    if language() == Language::English {
        return name.to_owned();
    }
    // "stern plane, port": side and kind are said of many things.
    let piece = |piece: &str| {
        let key = KEYS.iter().find(|key| find_in(Language::English, key) == piece);
        key.map_or_else(|| piece.to_owned(), |key| find_in(language(), key).to_owned())
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

/// The keys of what a boat of six numbers has.
const OF_SIX: [&str; 8] = [
    "given.hull_with_everything_aboard",
    "form.tank",
    "form.stern",
    "form.midship",
    "form.bow",
    "form.on_the_keel",
    "reading.inside",
    "form.on_deck",
];

/// What a boat of six numbers calls what it has, by the English names; none in English.
pub(crate) fn names_of_six() -> LiteMap<String, String> {
    let mut names = LiteMap::new();
    for key in OF_SIX {
        let [english, here] = [Language::English, language()].map(|l| find_in(l, key).to_owned());
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
