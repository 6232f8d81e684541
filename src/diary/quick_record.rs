//! A quick boat, in the file: six numbers.

use super::field_tables::fields;
use super::fields::Extra;
use crate::boat::{Boat, QuickBoat};
use litemap::LiteMap;

/// The six numbers of a quick boat with the optional ones, and the water they were given for.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "the fields are those of `boat::QuickBoat`")]
pub struct QuickRecord {
    pub length_m: f64,
    pub beam_m: f64,
    pub depth_m: f64,
    pub mass_kg: f64,
    pub waterline_m: f64,
    pub fullness: f64,
    pub water_density_kg_m3: f64,
    /// Tank volume: 0 for no tank, none if not stated.
    pub tank_m3: Option<f64>,
    pub bow_mark_m: Option<f64>,
    pub stern_mark_m: Option<f64>,
    /// What its hull, tank, marks and places are called, by their English names.
    pub names: LiteMap<String, String>,
    pub extra: Extra,
}

fields!(QuickRecord {
    needs length_m,
    needs beam_m,
    needs depth_m,
    needs mass_kg,
    needs waterline_m,
    needs fullness,
    needs water_density_kg_m3,
    may tank_m3,
    may bow_mark_m,
    may stern_mark_m,
    may names,
    .. extra
});

impl QuickRecord {
    /// The boat of its numbers with the names that it was given.
    pub(super) fn named(&self, mut boat: Boat) -> Boat {
        let parts = boat.parts.iter_mut().map(|p| &mut p.name);
        let tanks = boat.tanks.iter_mut().map(|t| &mut t.name);
        let marks = boat.marks.iter_mut().map(|m| &mut m.name);
        let all = parts.chain(tanks).chain(marks);
        for name in all.chain(boat.places.iter_mut().map(|p| &mut p.name)) {
            if let Some(given) = self.names.get(name) {
                name.clone_from(given);
            }
        }
        boat
    }

    /// The six numbers.
    pub fn numbers(&self) -> QuickBoat {
        QuickBoat {
            length: self.length_m,
            beam: self.beam_m,
            depth: self.depth_m,
            mass: self.mass_kg,
            waterline: self.waterline_m,
            fullness: self.fullness,
            tank: self.tank_m3.unwrap_or(0.0),
            bow_mark: self.bow_mark_m,
            stern_mark: self.stern_mark_m,
        }
    }
}
