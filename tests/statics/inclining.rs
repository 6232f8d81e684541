//! A known weight on the boat for a reading: read, moved across against the closed form of a box, and set aside
//! figures that do not count.

use crate::support::bodies::keeled_box;
use crate::support::diary::{diary, entry, session};
use crate::support::{assert_close, assert_within};
use trimwright::answer::{Field, Inclining, Own, ReadyBoat, inclining, kept_in, read_typed};
use trimwright::boat::{Boat, Mark, Part};
use trimwright::diary::{
    AboardRecord, BoatRecord, ConditionRecord, Draft, Entry, ReadingRecord, SessionRecord,
    WeightDraft, WeightMaterial, state_of,
};
use trimwright::fit::KnownErrors;
use trimwright::frame::Position;
use trimwright::reading::Seen;
use trimwright::unit::DEGREE;

const OWN: Own<'_> =
    Own { phone_mass: 0.2, is_zeroed: true, phone: "phone", inside: "inside", weight: "weight" };

/// Length, beam, depth, mass and height of the centre of gravity of the box, and the weight with its height.
const LENGTH: f64 = 1.0;
const BEAM: f64 = 0.2;
const MASS: f64 = 10.0;
const KG: f64 = 0.06;
const WEIGHT: f64 = 0.1;
const HEIGHT: f64 = 0.1;
const WATER: f64 = 1000.0;

fn box_boat() -> BoatRecord {
    let hull =
        Part::solid("hull", MASS, Position::new(0.0, 0.0, KG), keeled_box([LENGTH, BEAM, 0.2]));
    let at = Position::new(0.0, 0.0, MASS / (WATER * LENGTH * BEAM));
    let marks = vec![Mark { name: "midship".to_owned(), at }];
    BoatRecord::ledger("box", &Boat { parts: vec![hull], marks, ..Boat::default() })
}

/// Draught and GM of the box with some weight at a height: KM of a wall-sided box is `T/2 + B²/12T`.
fn gm(weight: f64, height: f64) -> f64 {
    let mass = MASS + weight;
    let draught = mass / (WATER * LENGTH * BEAM);
    let kg = (MASS * KG + weight * height) / mass;
    draught / 2.0 + BEAM * BEAM / (12.0 * draught) - kg
}

/// The moment (kg·m) that heels it to an angle, wall-sided: `m cosφ = W sinφ (GM + ½ BM tan²φ)`.
fn moment_at(heel: f64, weight: f64, height: f64) -> f64 {
    let mass = MASS + weight;
    let draught = mass / (WATER * LENGTH * BEAM);
    let bm = BEAM * BEAM / (12.0 * draught);
    mass * heel.tan() * (gm(weight, height) + 0.5 * bm * heel.tan().powi(2))
}

/// Readings of a list (degrees) with the weight so far to starboard (metres); none without it.
fn inclined(readings: &[(f64, Option<f64>)]) -> Option<Inclining> {
    let boat = box_boat();
    let state = state_of(&boat).0;
    let entries = readings.iter().enumerate().map(|(k, (list, across))| {
        let aboard = across.map(|across| AboardRecord {
            name: "weight".to_owned(),
            mass_kg: WEIGHT,
            at_m: [0.0, -across, HEIGHT],
            off_m: None,
            density_kg_m3: None,
            extra: serde_json::Map::new(),
        });
        let reading = ReadingRecord {
            water_density_kg_m3: WATER,
            list_deg: Some(*list),
            aboard: aboard.into_iter().collect(),
            state: state.clone(),
            ..ReadingRecord::default()
        };
        let at = format!("2026-05-09T10:{k:02}:00.000Z");
        entry(&format!("e{k}"), &at, Entry::Reading(Box::new(reading)))
    });
    let session = SessionRecord {
        entries: entries.collect(),
        ..session("outing", "box", "2026-05-09T10:00:00.000Z")
    };
    let hand = ReadyBoat::of(&boat).expect("a boat");
    let kept = kept_in([&session], &state, &hand.boat.marks);
    let as_described = KnownErrors::independent([1e-3, 1e-3, 1e-6, 1e-3, 1e-6]);
    inclining(&hand, &kept, &as_described)
}

#[test]
fn the_line_is_the_list_that_a_moment_gives_a_box() {
    let [port, starboard] = [-0.05, 0.08].map(|across| (across / 0.02, Some(across)));
    let found = inclined(&[port, starboard]).expect("two places");
    assert_eq!(found.points.len(), 2, "{:?}", found.points);
    let [first, .., last] = found.line.as_slice() else { panic!("a line: {:?}", found.line) };
    assert_within(first[0], -0.05 * WEIGHT, 1e-12, "from the farthest to port");
    assert_within(last[0], 0.08 * WEIGHT, 1e-12, "to the farthest to starboard");
    for [moment, list] in &found.line {
        assert_within(moment_at(*list, WEIGHT, HEIGHT), *moment, 1e-8, "kg·m at that list");
    }
    assert_close(found.gm.value, gm(0.0, 0.0), 1e-6, "GM without the weight");
    // The height of G is known to a millimetre, and GM follows it one to one.
    assert_close(found.gm.spread, 1e-3, 0.05, "its spread");
}

#[test]
fn a_reading_that_is_off_the_line_is_named() {
    let list = |across: f64| {
        // The list at that moment, by halving.
        let (mut low, mut high) = (-0.5_f64, 0.5_f64);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if moment_at(middle, WEIGHT, HEIGHT) < across * WEIGHT {
                low = middle;
            } else {
                high = middle;
            }
        }
        low / DEGREE
    };
    let readings: Vec<_> = [-0.06, 0.0, 0.06].map(|across| (list(across), Some(across))).to_vec();
    let found = inclined(&readings).expect("three places");
    assert!(found.stray().is_none(), "{:?}", found.points);
    for point in &found.points {
        assert_within(point.off, 0.0, 1e-3, "in spreads");
    }
    // A phone tells an angle to 0.3°: a degree and a half is five of them.
    let mut wrong = readings;
    wrong[0].0 += 1.5;
    let found = inclined(&wrong).expect("three places");
    let stray = found.stray().expect("one is off");
    assert_within(stray.moment, -0.06 * WEIGHT, 1e-12, "which");
    assert_within(stray.off, 5.0, 0.01, "by how much");
}

#[test]
fn one_place_of_the_weight_is_no_inclining_and_none_is_one_of_two() {
    assert_eq!(inclined(&[(1.0, Some(0.05)), (1.1, Some(0.05))]), None, "the same place");
    assert_eq!(inclined(&[(0.0, None), (0.1, None)]), None, "no weight");
    let found = inclined(&[(0.0, None), (2.0, Some(0.05))]).expect("without it, and with it");
    assert_within(found.points[0].moment, 0.0, 1e-12, "without it");
}

fn demo() -> ReadyBoat {
    ReadyBoat::of(&diary().boats[0]).expect("a boat")
}

fn weight(mass: &str) -> WeightDraft {
    WeightDraft {
        mass: mass.to_owned(),
        along: "120".to_owned(),
        is_aft: true,
        across: "30".to_owned(),
        to_starboard: true,
        place: "on the keel".to_owned(),
        material: WeightMaterial::Brass,
        ..WeightDraft::default()
    }
}

#[test]
fn a_weight_in_the_wet_displaces_as_much_as_its_material_and_comes_back_from_the_record() {
    let mut boat = diary().boats[0].clone();
    boat.datum = trimwright::diary::DatumRecord::Midship;
    let hand = ReadyBoat::of(&boat).expect("a boat");
    let draft = Draft { list: "2".to_owned(), weight: weight("100"), ..Draft::default() };
    let asked = read_typed(&draft, &hand, WATER, OWN).expect("good").expect("a list");
    let [aboard] = asked.reading.aboard.as_slice() else { panic!("{:?}", asked.reading) };
    assert_close(aboard.mass, 0.1, 1e-12, "mass");
    let place = aboard.at.vector();
    assert_within(place.x, -0.12, 1e-12, "aft");
    assert_within(place.y, -0.03, 1e-12, "to starboard");
    // Brass: 8400 to 8730 kg/m³, its row in the table of materials.
    let density = aboard.density().expect("in the wet");
    assert!((8400.0..8800.0).contains(&density), "{density}");
    let record = ReadingRecord::of(&asked.reading, "pool", 0.0);
    let again = ReadingRecord::of(&record.reading(), "pool", 0.0);
    assert!(record.says_the_same(&again), "kept and read again: {:?}", again.aboard);
    let inside = WeightDraft { place: "inside".to_owned(), ..weight("100") };
    let dry = Draft { weight: inside, ..draft.clone() };
    let asked = read_typed(&dry, &hand, WATER, OWN).expect("good").expect("a list");
    assert_eq!(asked.reading.aboard[0].density(), None, "in the dry it displaces nothing");
    let none = Draft { weight: weight(" "), ..draft };
    let asked = read_typed(&none, &hand, WATER, OWN).expect("good").expect("a list");
    assert_eq!(asked.reading.aboard, [], "no mass, no weight");
}

#[test]
fn each_field_of_the_weight_that_cannot_be_read_is_named() {
    let typed = WeightDraft { along: "far".to_owned(), across: "900".to_owned(), ..weight("0") };
    let draft = Draft { list: "2".to_owned(), weight: typed, ..Draft::default() };
    let wrong = read_typed(&draft, &demo(), WATER, OWN).expect_err("three fields");
    let fields: Vec<&Field> = wrong.iter().map(|wrong| &wrong.field).collect();
    assert_eq!(
        fields,
        [&Field::WeightMass, &Field::WeightAlong, &Field::WeightAcross],
        "{wrong:?}"
    );
}

#[test]
fn a_figure_that_is_set_aside_is_kept_and_does_not_count_until_it_is_typed_anew() {
    let mut draft = Draft { list: "2".to_owned(), trim: "9".to_owned(), ..Draft::default() };
    draft.turn_aside("trim");
    let read = |draft: &Draft| {
        read_typed(draft, &demo(), WATER, OWN).expect("good").expect("a figure").reading
    };
    let reading = read(&draft);
    assert!(matches!(reading.observations.as_slice(), [o] if matches!(o.seen, Seen::List(_))));
    let record = ReadingRecord::of(&reading, "pool", 0.0);
    assert_eq!(record.trim_deg.map(f64::round), Some(9.0), "the figure stays");
    assert_eq!(record.aside, ["trim"], "with its mark");
    assert_eq!(record.reading(), reading, "and it is the same reading again");
    assert_eq!(record.figures().expect("nothing aboard").trim_deg, None, "it tells nothing");
    // The other state has a trim of its own.
    let before = draft.clone();
    draft.turn_to(ConditionRecord::Under);
    assert!(draft.aside.is_empty(), "{:?}", draft.aside);
    draft.turn_to(ConditionRecord::Afloat);
    draft.list = "3".to_owned();
    draft.count_anew(&before);
    assert_eq!(draft.aside, ["trim"], "another figure was typed");
    draft.trim = "1".to_owned();
    draft.count_anew(&before);
    assert!(draft.aside.is_empty(), "read again, it counts");
    let counts = ReadingRecord::of(&read(&draft), "pool", 0.0);
    assert!(!counts.counts_the_same(&record), "which is to be kept");
}

#[test]
fn what_came_of_pushing_it_over_is_of_the_boat_afloat() {
    let draft = Draft { list: "6".to_owned(), comes_back: Some(true), ..Draft::default() };
    let asked = read_typed(&draft, &demo(), WATER, OWN).expect("good").expect("a list");
    assert_eq!(asked.reading.comes_back, Some(true), "as it was seen");
    let record = ReadingRecord::of(&asked.reading, "pool", 0.0);
    assert_eq!(record.reading().comes_back, Some(true), "kept");
    let under = Draft { condition: ConditionRecord::Under, ..draft };
    let asked = read_typed(&under, &demo(), WATER, OWN).expect("good").expect("a list");
    assert_eq!(asked.reading.comes_back, None, "under water it hangs");
}
