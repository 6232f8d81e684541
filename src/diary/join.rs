//! Brings together two changes of one record that were made side by side: in two windows of the app.
//!
//! What only one of them changed is taken from that one. Where both changed the same thing, mine is
//! taken: it was changed last. Fields that mean nothing on their own are taken together.

use super::part_record::PartRecord;
use crate::geometry::MeshError;
use serde_json::{Map, Value};
use std::collections::{HashMap, HashSet};

/// Fields that are taken whole where both changed them: sizes and densities that go together.
const WHOLE: [&str; 2] = ["quick", "material"];
/// Fields whose one key says what they are.
const CHOICES: [&str; 2] = ["solid", "cavity"];

/// A figure, and the field that says in what it is typed: both are from one side.
const TOGETHER: [&str; 2] = ["fill", "fill_in"];

/// What becomes of `base` when one side made it `theirs` and the other `mine`.
pub fn join(base: &Value, theirs: &Value, mine: &Value) -> Value {
    join_field("", base, theirs, mine)
}

/// As [`join`] for what stands under a key.
fn join_field(key: &str, base: &Value, theirs: &Value, mine: &Value) -> Value {
    if mine == base {
        return theirs.clone();
    }
    if theirs == base || theirs == mine || WHOLE.contains(&key) {
        return mine.clone();
    }
    match (base, theirs, mine) {
        (Value::Object(base), Value::Object(theirs), Value::Object(mine)) => {
            if CHOICES.contains(&key) && !are_of_one_shape([base, theirs, mine]) {
                return Value::Object(mine.clone());
            }
            Value::Object(join_objects(base, theirs, mine))
        }
        (Value::Array(base), Value::Array(theirs), Value::Array(mine)) => {
            let joined = join_lists(key, base, theirs, mine);
            Value::Array(joined.unwrap_or_else(|| mine.clone()))
        }
        _ => mine.clone(),
    }
}

/// True for solids of one shape, the fields of which can be joined: not for a mesh, whose triangles
/// mean nothing without its corners.
fn are_of_one_shape(solids: [&Map<String, Value>; 3]) -> bool {
    let [base, theirs, mine] = solids;
    let same = |other: &Map<String, Value>| base.keys().eq(other.keys());
    same(theirs) && same(mine) && !base.contains_key("mesh")
}

/// As [`join_field`] where a side may lack the thing altogether. What one side changed is not lost
/// because the other removed it.
fn join_optional(
    key: &str,
    base: Option<&Value>,
    theirs: Option<&Value>,
    mine: Option<&Value>,
) -> Option<Value> {
    match (theirs, mine) {
        (None, None) => None,
        (Some(kept), None) | (None, Some(kept)) => (base != Some(kept)).then(|| kept.clone()),
        (Some(theirs), Some(mine)) => {
            Some(join_field(key, base.unwrap_or(&Value::Null), theirs, mine))
        }
    }
}

fn join_objects(
    base: &Map<String, Value>,
    theirs: &Map<String, Value>,
    mine: &Map<String, Value>,
) -> Map<String, Value> {
    let new = theirs.keys().filter(|key| !mine.contains_key(*key));
    let has_unit = [base, theirs, mine].iter().any(|record| record.contains_key(TOGETHER[1]));
    let is_mine = TOGETHER.iter().any(|key| mine.get(*key) != base.get(*key));
    let figure = if is_mine { mine } else { theirs };
    mine.keys()
        .chain(new)
        .filter_map(|key| {
            let value = if has_unit && TOGETHER.contains(&key.as_str()) {
                figure.get(key).cloned()?
            } else {
                join_optional(key, base.get(key), theirs.get(key), mine.get(key))?
            };
            Some((key.clone(), value))
        })
        .collect()
}

/// Lists whose things can be told apart, by identity or by name, thing by thing: in my order, with
/// what only they have after what it followed there; and those whose things stand in one order, though
/// two have one name. None when they cannot be told apart.
fn join_lists(of: &str, base: &[Value], theirs: &[Value], mine: &[Value]) -> Option<Vec<Value>> {
    let key = ["id", "name", "noted_at"]
        .into_iter()
        .find(|key| [base, theirs, mine].iter().all(|list| can_be_told_apart(list, key)));
    let Some(key) = key else { return join_in_place(of, base, theirs, mine) };
    let [in_base, in_theirs, in_mine] = [base, theirs, mine].map(|list| by_identity(list, key));
    let joined = |id: &str| {
        let [theirs, mine] = [&in_theirs, &in_mine].map(|list| list.get(id).copied());
        let joined = join_optional("", in_base.get(id).copied(), theirs, mine)?;
        match mine {
            Some(mine) if of == "parts" && !is_a_part(&joined) => Some(mine.clone()),
            _ => Some(joined),
        }
    };
    let mut ids: Vec<&str> = mine.iter().filter_map(|thing| id_of(thing, key)).collect();
    let mut previous: Option<&str> = None;
    for id in theirs.iter().filter_map(|thing| id_of(thing, key)) {
        if !in_mine.contains_key(id) {
            let after = previous.and_then(|p| ids.iter().position(|i| *i == p));
            ids.insert(after.map_or(0, |k| k + 1), id);
        }
        previous = Some(id);
    }
    Some(ids.into_iter().filter_map(joined).collect())
}

/// As [`join_lists`] by their places, where the same names stand in all three.
fn join_in_place(of: &str, base: &[Value], theirs: &[Value], mine: &[Value]) -> Option<Vec<Value>> {
    let names = |list: &[Value]| -> Option<Vec<String>> {
        list.iter().map(|thing| id_of(thing, "name").map(str::to_owned)).collect()
    };
    let in_mine = names(mine)?;
    let same = [base, theirs].iter().all(|list| names(list).as_ref() == Some(&in_mine));
    let joined = |((base, theirs), mine): ((&Value, &Value), &Value)| {
        let joined = join_field("", base, theirs, mine);
        if of == "parts" && !is_a_part(&joined) { mine.clone() } else { joined }
    };
    same.then(|| base.iter().zip(theirs).zip(mine).map(joined).collect())
}

/// True when a part can be made of it: one side may have taken away the mass, the other the
/// material, or the shape that its wall belongs to.
fn is_a_part(value: &Value) -> bool {
    let Ok(part) = serde_json::from_value::<PartRecord>(value.clone()) else { return false };
    match part.entry() {
        Ok(entry) => entry.check().is_ok(),
        Err(problem) => problem == MeshError::NotHere,
    }
}

fn by_identity<'a>(list: &'a [Value], key: &str) -> HashMap<&'a str, &'a Value> {
    list.iter().filter_map(|thing| Some((id_of(thing, key)?, thing))).collect()
}

fn id_of<'a>(thing: &'a Value, key: &str) -> Option<&'a str> {
    thing.get(key).and_then(Value::as_str)
}

fn can_be_told_apart(list: &[Value], key: &str) -> bool {
    let mut seen = HashSet::new();
    list.iter().all(|thing| id_of(thing, key).is_some_and(|id| seen.insert(id)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn both_changes_are_there() {
        let hull = |mass: f64| {
            json!({
                "name": "hull",
                "mass_kg": mass,
                "solid": { "box": { "size_m": [0.5, 0.1, 0.1], "centre_m": [0.0, 0.0, 0.05] } },
            })
        };
        let keel = json!({ "name": "keel", "mass_kg": 0.4, "centre_m": [0.0, 0.0, 0.01] });
        let base = json!({ "name": "Teal", "parts": [hull(1.0)] });
        let theirs = json!({ "name": "Teal", "parts": [hull(1.2)], "datum": "bow" });
        let mine = json!({ "name": "Teal II", "parts": [hull(1.0), keel] });
        let both = json!({ "name": "Teal II", "parts": [hull(1.2), keel], "datum": "bow" });
        assert_eq!(join(&base, &theirs, &mine), both, "their mass and datum, my name and keel");
    }

    #[test]
    fn two_things_of_one_name_are_told_apart_by_their_places() {
        let list = |of: [f64; 2]| {
            let lead =
                |mass| json!({ "name": "lead", "mass_kg": mass, "centre_m": [0.0, 0.0, 0.1] });
            json!({ "parts": of.map(lead) })
        };
        assert_eq!(
            join(&list([0.1, 0.2]), &list([0.1, 0.3]), &list([0.4, 0.2])),
            list([0.4, 0.3]),
            "their second, my first"
        );
        let longer = json!({ "parts": [{ "name": "lead" }] });
        assert_eq!(join(&list([0.1, 0.2]), &list([0.1, 0.3]), &longer), longer, "mine, whole");
    }

    #[test]
    fn what_was_changed_is_not_lost_by_a_removal_beside_it() {
        let base = json!([{ "id": "a", "n": 1 }, { "id": "b", "n": 1 }]);
        let theirs = json!([{ "id": "b", "n": 1 }]);
        let mine = json!([{ "id": "a", "n": 2 }]);
        assert_eq!(
            join(&base, &theirs, &mine),
            json!([{ "id": "a", "n": 2 }]),
            "b was removed by me"
        );
    }

    #[test]
    fn what_was_added_stands_where_it_was_put() {
        let base = json!([{ "id": "a" }, { "id": "d" }]);
        let theirs = json!([{ "id": "a" }, { "id": "b" }, { "id": "d" }]);
        let mine = json!([{ "id": "a" }, { "id": "c" }, { "id": "d" }]);
        let joined = join(&base, &theirs, &mine);
        assert_eq!(joined, json!([{ "id": "a" }, { "id": "b" }, { "id": "c" }, { "id": "d" }]), "");
    }

    #[test]
    fn of_two_changes_of_one_thing_mine_is_the_last() {
        assert_eq!(join(&json!("a"), &json!("b"), &json!("c")), json!("c"), "both changed it");
        assert_eq!(join(&json!([1, 2]), &json!([1, 3]), &json!([4, 2])), json!([4, 2]), "a place");
    }

    #[test]
    fn of_two_shapes_in_one_place_mine_is_the_last() {
        let of =
            |shape: &str, size: f64| json!({ "solid": { shape: { "size_m": size, "x": 0.0 } } });
        let joined = join(&of("box", 1.0), &of("ellipsoid", 2.0), &of("box", 3.0));
        assert_eq!(joined, of("box", 3.0), "a solid has one shape");
        let mut moved = of("box", 1.0);
        moved["solid"]["box"]["x"] = json!(0.5);
        let mut both = of("box", 2.0);
        both["solid"]["box"]["x"] = json!(0.5);
        assert_eq!(join(&of("box", 1.0), &of("box", 2.0), &moved), both, "one shape, two edits");
    }

    #[test]
    fn triangles_are_not_taken_without_their_corners() {
        let of = |corners: u8, faces: u8| json!({ "solid": { "mesh": { "vertices_m": corners, "faces": faces } } });
        let joined = join(&of(1, 1), &of(2, 2), &of(3, 1));
        assert_eq!(joined, of(3, 1), "my mesh whole");
    }

    #[test]
    fn a_part_that_one_side_left_its_mass_and_the_other_its_material_is_mine() {
        let solid = json!({ "sphere": { "diameter_m": 0.1, "centre_m": [0.0, 0.0, 0.0] } });
        let lead = json!({ "name": "lead", "density_kg_m3": 11340.0 });
        let list = |part: Value| json!({ "parts": [part] });
        let base =
            list(json!({ "name": "shot", "solid": solid, "mass_kg": 0.1, "material": lead }));
        let theirs = list(json!({ "name": "shot", "solid": solid, "material": lead }));
        let mine = list(json!({ "name": "shot", "solid": solid, "mass_kg": 0.1 }));
        assert_eq!(join(&base, &theirs, &mine), mine, "a part of neither cannot be made");
    }

    #[test]
    fn a_fill_is_in_the_unit_in_which_it_was_typed() {
        let of = |fill: &str, unit: &str| json!({ "fill": fill, "fill_in": unit });
        let base = json!({ "fill": "89" });
        let theirs = of("584", "volume");
        let mine = json!({ "fill": "90" });
        assert_eq!(join(&base, &theirs, &mine), mine, "90 % are not 90 ml");
        assert_eq!(join(&base, &mine, &theirs), theirs, "nor are 584 ml so many per cent");
        assert_eq!(join(&base, &theirs, &base), theirs, "only theirs changed");
    }

    #[test]
    fn six_numbers_go_together() {
        let of = |beam: f64, depth: f64| json!({ "quick": { "beam_m": beam, "depth_m": depth } });
        assert_eq!(join(&of(0.1, 0.1), &of(0.2, 0.1), &of(0.1, 0.3)), of(0.1, 0.3), "all mine");
    }
}
