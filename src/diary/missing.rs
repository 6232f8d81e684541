//! Notes what a file refers to but lacks; and tells which of the things kept apart a kept text
//! refers to.

use super::file::{DiaryError, read};
use super::record::Diary;
use super::session_record::SessionRecord;
use super::state::meshes_named;
use serde_json::Value;
use std::collections::HashSet;

impl Diary {
    /// Notes under `missing` what the records name and what is not here: for a file that is to be given away.
    pub fn note_missing(&mut self) {
        let named = |names: &mut dyn Iterator<Item = String>, here: &dyn Fn(&str) -> bool| {
            let mut names: Vec<String> = names.filter(|name| !here(name)).collect();
            names.sort();
            names.dedup();
            names
        };
        let states = &mut self.sessions.iter().flat_map(SessionRecord::states).map(str::to_owned);
        let pictures =
            &mut self.sessions.iter().flat_map(SessionRecord::pictures).map(str::to_owned);
        let boats = self.boats.iter().chain(self.states.values());
        let meshes = &mut boats.flat_map(meshes_named);
        self.missing.states = named(states, &|name| self.states.contains_key(name));
        self.missing.pictures = named(pictures, &|name| self.pictures.contains_key(name));
        self.missing.meshes = named(meshes, &|name| self.has_mesh(name));
    }
}

/// Takes out of `names` those that stand anywhere in a kept text, whatever the field: a later version may
/// name things where this one does not look.
///
/// # Errors
/// [`DiaryError`] when the text cannot be read: then what it names is not known.
#[expect(clippy::implicit_hasher, reason = "for every kind of set it would be compiled anew")]
pub fn strike_named(text: &str, names: &mut HashSet<String>) -> Result<(), DiaryError> {
    read(text)?;
    let value = serde_json::from_str(text).map_err(|e| DiaryError::Wrong(e.to_string()))?;
    strike(&value, names);
    Ok(())
}

fn strike(value: &Value, names: &mut HashSet<String>) {
    match value {
        Value::String(text) => drop(names.remove(text)),
        Value::Array(all) => all.iter().for_each(|value| strike(value, names)),
        Value::Object(all) => {
            for (field, value) in all {
                names.remove(field);
                strike(value, names);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}
