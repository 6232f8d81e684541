//! Two changes of one record, made side by side, come together: both are there, and what comes of it
//! can be read.

use crate::support::diary::{checks, full_boat, full_diary, full_session, quick_record};
use crate::support::random::{Random, random_boat, random_session};
use crate::support::random_cases;
use proptest::prelude::*;
use serde_json::{Map, Value, json};
use trimwright::diary::{BoatRecord, ChecksRecord, Diary, Draft, SessionRecord, join, read, write};

/// Any number will do.
const SEED: u64 = 20_260_530;

fn value_of<R: serde::Serialize>(record: &R) -> Value {
    serde_json::to_value(record).expect("a record")
}

/// A random object of named fields, some of them lists of things with identities.
fn any_record(random: &mut Random) -> Value {
    let mut map = Map::new();
    for k in 0..6 {
        map.insert(format!("field {k}"), random.value(2));
    }
    let things = |random: &mut Random| -> Value {
        (0..5).map(|k| json!({ "id": format!("t{k}"), "n": random.number(), "m": 1 })).collect()
    };
    map.insert("things".to_owned(), things(random));
    map.insert("inside".to_owned(), json!({ "a": random.value(1), "things": things(random) }));
    Value::Object(map)
}

/// The places that one side may change: those of even number are theirs, those of odd number mine.
const PLACES: [&str; 12] = [
    "/field 0",
    "/field 1",
    "/field 2",
    "/field 3",
    "/things/0/n",
    "/things/1/n",
    "/things/2/n",
    "/things/2/m",
    "/inside/a",
    "/inside/things/3/m",
    "/inside/things/3/n",
    "/inside/things/4/m",
];

/// Changes some places of those of a side; says which, and to what.
fn edited(random: &mut Random, base: &Value, side: usize) -> (Value, Vec<(usize, Value)>) {
    let mut record = base.clone();
    let mut edits = Vec::new();
    for (k, place) in PLACES.iter().enumerate().filter(|(k, _)| k % 2 == side) {
        if random.one_in(2) {
            let new = json!({ "edit": [side, k], "by": random.text() });
            *record.pointer_mut(place).expect("it is there") = new.clone();
            edits.push((k, new));
        }
    }
    (record, edits)
}

proptest! {
    #![proptest_config(random_cases(400, SEED))]

    #[test]
    fn what_one_side_left_alone_is_as_the_other_has_it(seed in any::<u64>()) {
        let random = &mut Random(seed);
        let [a, b] = [0, 1].map(|_| match random.below(3) {
            0 => any_record(random),
            1 => random.value(3),
            _ => value_of(&random_boat(random, "teal")),
        });
        prop_assert_eq!(&join(&a, &a, &b), &b, "only I changed it");
        prop_assert_eq!(&join(&a, &b, &a), &b, "only they changed it");
        prop_assert_eq!(&join(&a, &b, &b), &b, "both made the same of it");
    }

    #[test]
    fn edits_of_different_things_are_both_there(seed in any::<u64>()) {
        let random = &mut Random(seed);
        let base = any_record(random);
        let (theirs, their_edits) = edited(random, &base, 0);
        let (mine, my_edits) = edited(random, &base, 1);
        let joined = join(&base, &theirs, &mine);
        let edits = their_edits.iter().chain(&my_edits);
        let mut untouched: Vec<&str> = PLACES.to_vec();
        for (k, new) in edits {
            prop_assert_eq!(joined.pointer(PLACES[*k]), Some(new), "the edit of {}", PLACES[*k]);
            untouched.retain(|place| *place != PLACES[*k]);
        }
        for place in untouched {
            prop_assert_eq!(joined.pointer(place), base.pointer(place), "nobody edited {}", place);
        }
    }

    #[test]
    fn things_that_both_sides_put_in_or_took_out_are_in_or_out(seed in any::<u64>()) {
        let random = &mut Random(seed);
        let list = |ids: &[String]| -> Value { ids.iter().map(|id| json!({ "id": id })).collect() };
        let base: Vec<String> = (0..8).map(|k| format!("b{k}")).collect();
        let mut change = |side: &str| {
            let mut ids = base.clone();
            let gone: Vec<String> = base.iter().filter(|_| random.one_in(4)).cloned().collect();
            ids.retain(|id| !gone.contains(id));
            let mut new = Vec::new();
            for k in 0..random.below(4) {
                let id = format!("{side}{k}");
                ids.insert(random.below(ids.len() + 1), id.clone());
                new.push(id);
            }
            (ids, gone, new)
        };
        let (theirs, gone_there, new_there) = change("t");
        let (mine, gone_here, new_here) = change("m");
        let joined = join(&list(&base), &list(&theirs), &list(&mine));
        let ids: Vec<&str> =
            joined.as_array().expect("a list").iter().filter_map(|t| t["id"].as_str()).collect();
        for id in new_there.iter().chain(&new_here) {
            prop_assert_eq!(ids.iter().filter(|i| *i == id).count(), 1, "{} is in once", id);
        }
        for id in &base {
            let gone = gone_there.contains(id) || gone_here.contains(id);
            prop_assert_eq!(ids.contains(&id.as_str()), !gone, "{}", id);
        }
        // Those of mine stand in my order.
        let of_mine: Vec<&str> = ids.iter().filter(|i| mine.iter().any(|m| m == *i)).copied().collect();
        let kept: Vec<&String> = mine.iter().filter(|m| ids.contains(&m.as_str())).collect();
        prop_assert_eq!(of_mine, kept);
    }

    #[test]
    fn two_changes_of_a_boat_make_a_boat(seed in any::<u64>()) {
        let random = &mut Random(seed);
        // Often both sides begin from the same thing, so that they change different fields of it.
        let base = if random.one_in(2) { full_boat("teal") } else { random_boat(random, "teal") };
        let [theirs, mine] = [0, 1].map(|_| change_boat(random, &base));
        let joined = join(&value_of(&base), &value_of(&theirs), &value_of(&mine));
        let boat: BoatRecord = serde_json::from_value(joined).expect("a boat");
        let diary = Diary { boats: vec![boat], ..Diary::default() };
        prop_assert_eq!(read(&write(&diary)), Ok(diary), "it is one that can be kept");
    }

    #[test]
    fn two_changes_of_a_session_make_a_session(seed in any::<u64>()) {
        let random = &mut Random(seed);
        let base = full_session("teal", "");
        let [theirs, mine] = [0, 1].map(|_| random_session(random, "session-1", "teal", ""));
        let joined = join(&value_of(&base), &value_of(&theirs), &value_of(&mine));
        let session: SessionRecord = serde_json::from_value(joined).expect("a session");
        let diary = Diary { sessions: vec![session], ..Diary::default() };
        prop_assert_eq!(read(&write(&diary)), Ok(diary), "it is one that can be kept");
    }

    #[test]
    fn two_changes_of_checks_and_of_a_draft_make_such(seed in any::<u64>()) {
        let random = &mut Random(seed);
        let base = ChecksRecord { id: "teal".to_owned(), before: checks(), ..ChecksRecord::default() };
        let [theirs, mine] = [0, 1].map(|_| {
            let mut record = base.clone();
            record.before.retain(|_| !random.one_in(3));
            for check in &mut record.before {
                if random.one_in(2) {
                    check.because = random.text();
                }
            }
            record.after = record.before.iter().rev().cloned().collect();
            value_of(&record)
        });
        let joined = join(&value_of(&base), &theirs, &mine);
        serde_json::from_value::<ChecksRecord>(joined).expect("lists of checks");

        let base = full_diary().draft;
        let [theirs, mine] = [0, 1].map(|_| {
            let mut draft = if random.one_in(4) { Draft::default() } else { base.clone() };
            draft.marks.insert(random.text(), random.text());
            draft.list = random.text();
            draft.water.salinity = random.text();
            value_of(&draft)
        });
        let joined = join(&value_of(&base), &theirs, &mine);
        serde_json::from_value::<Draft>(joined).expect("a draft");
    }
}

/// A boat as one window might leave it: shapes changed for others, masses and materials taken away
/// where the other says enough, parts added, removed and put in another order.
fn change_boat(random: &mut Random, base: &BoatRecord) -> BoatRecord {
    if random.one_in(8) {
        return BoatRecord { parts: base.parts.clone(), ..random_boat(random, &base.id) };
    }
    let mut boat = base.clone();
    let shapes: Vec<_> = full_boat("").parts.into_iter().filter_map(|p| p.solid).collect();
    for part in &mut boat.parts {
        if random.one_in(3) && part.solid.is_some() {
            part.solid = Some(random.pick(&shapes).clone());
        }
        if random.one_in(3)
            && let Some(solid) = part.solid.take()
        {
            let at = [random.share(), random.share(), random.share()];
            part.solid = Some(solid.placed(at));
        }
        let by_material = part.material.is_some() && part.solid.is_some();
        if random.one_in(2) && by_material {
            part.mass_kg = None;
        } else if random.one_in(2) && part.mass_kg.is_some() {
            part.material = None;
        }
        if let Some(material) = &mut part.material {
            let density = 500.0 + 1000.0 * random.share();
            if random.one_in(2) {
                material.density_kg_m3 = density;
                material.low_kg_m3 = Some(density - 1.0);
                material.high_kg_m3 = Some(density + 1.0);
            }
        }
        if random.one_in(6) && part.mass_kg.is_some() {
            (part.solid, part.wall, part.coat) = (None, None, None);
            part.centre_m = Some([0.1, 0.0, 0.1]);
        } else if random.one_in(4) && part.solid.is_some() {
            part.centre_m = None;
        }
    }
    boat.parts.retain(|_| !random.one_in(6));
    if random.one_in(3) && boat.parts.len() > 1 {
        boat.parts.reverse();
    }
    if let Some(quick) = &mut boat.quick
        && random.one_in(2)
    {
        let scale = 0.8 + 0.4 * random.share();
        *quick = quick_record();
        quick.length_m *= scale;
        quick.mass_kg *= scale;
    }
    boat.name = random.text();
    boat
}
