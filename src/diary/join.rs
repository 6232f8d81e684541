//! Brings together two changes of one record that were made side by side: in two windows of the app.
//!
//! What only one of them changed is taken from that one. Where both changed the same thing, mine is
//! taken: it was changed last.

use serde_json::{Map, Value};

/// What becomes of `base` when one side made it `theirs` and the other `mine`.
pub fn join(base: &Value, theirs: &Value, mine: &Value) -> Value {
    if mine == base {
        return theirs.clone();
    }
    if theirs == base || theirs == mine {
        return mine.clone();
    }
    match (base, theirs, mine) {
        (Value::Object(base), Value::Object(theirs), Value::Object(mine)) => {
            Value::Object(join_objects(base, theirs, mine))
        }
        (Value::Array(base), Value::Array(theirs), Value::Array(mine)) => {
            Value::Array(join_lists(base, theirs, mine).unwrap_or_else(|| mine.clone()))
        }
        _ => mine.clone(),
    }
}

/// As [`join`] where a side may lack the thing altogether. What one side changed is not lost
/// because the other removed it.
fn join_optional(
    base: Option<&Value>,
    theirs: Option<&Value>,
    mine: Option<&Value>,
) -> Option<Value> {
    match (theirs, mine) {
        (None, None) => None,
        (Some(kept), None) | (None, Some(kept)) => (base != Some(kept)).then(|| kept.clone()),
        (Some(theirs), Some(mine)) => Some(join(base.unwrap_or(&Value::Null), theirs, mine)),
    }
}

fn join_objects(
    base: &Map<String, Value>,
    theirs: &Map<String, Value>,
    mine: &Map<String, Value>,
) -> Map<String, Value> {
    let new = theirs.keys().filter(|key| !mine.contains_key(*key));
    mine.keys()
        .chain(new)
        .filter_map(|key| {
            let value = join_optional(base.get(key), theirs.get(key), mine.get(key))?;
            Some((key.clone(), value))
        })
        .collect()
}

/// Lists whose things can be told apart, by identity or by name, thing by thing: in my order, with
/// what only they have after what it followed there. None when they cannot be told apart.
fn join_lists(base: &[Value], theirs: &[Value], mine: &[Value]) -> Option<Vec<Value>> {
    let key = ["id", "name", "noted_at"]
        .into_iter()
        .find(|key| [base, theirs, mine].iter().all(|list| can_be_told_apart(list, key)))?;
    let find = |list: &'_ [Value], id: &str| {
        list.iter().find(|thing| id_of(thing, key) == Some(id)).cloned()
    };
    let joined = |id: &str| {
        let [base, theirs, mine] = [base, theirs, mine].map(|list| find(list, id));
        join_optional(base.as_ref(), theirs.as_ref(), mine.as_ref())
    };
    let mut ids: Vec<&str> = mine.iter().filter_map(|thing| id_of(thing, key)).collect();
    let mut previous: Option<&str> = None;
    for id in theirs.iter().filter_map(|thing| id_of(thing, key)) {
        if !ids.contains(&id) {
            let after = previous.and_then(|p| ids.iter().position(|i| *i == p));
            ids.insert(after.map_or(0, |k| k + 1), id);
        }
        previous = Some(id);
    }
    Some(ids.into_iter().filter_map(joined).collect())
}

fn id_of<'a>(thing: &'a Value, key: &str) -> Option<&'a str> {
    thing.get(key).and_then(Value::as_str)
}

fn can_be_told_apart(list: &[Value], key: &str) -> bool {
    let mut seen = std::collections::HashSet::new();
    list.iter().all(|thing| id_of(thing, key).is_some_and(|id| seen.insert(id)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn both_changes_are_there() {
        let base = json!({ "name": "Teal", "parts": [{ "name": "hull", "mass_kg": 1.0 }] });
        let theirs = json!({ "name": "Teal", "parts": [{ "name": "hull", "mass_kg": 1.2 }], "datum": "bow" });
        let mine = json!({ "name": "Teal II", "parts": [{ "name": "hull", "mass_kg": 1.0 }, { "name": "keel" }] });
        let both = json!({
            "name": "Teal II",
            "parts": [{ "name": "hull", "mass_kg": 1.2 }, { "name": "keel" }],
            "datum": "bow",
        });
        assert_eq!(join(&base, &theirs, &mine), both, "their mass and datum, my name and keel");
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
}
