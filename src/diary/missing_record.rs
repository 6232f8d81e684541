//! What a file refers to but lacks, as it is written.

use super::field_tables::fields;
use super::fields::Extra;

/// What was there, or is spoken of, and could not be read when a file was written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MissingRecord {
    /// The store could not be read: how much more there is, is not known.
    pub unknown: bool,
    /// Boats, lists of checks and other records, by what they are kept under.
    pub records: Vec<String>,
    /// Sessions: when they began, the boat's identity, their own.
    pub sessions: Vec<String>,
    /// Boats as they were, by name.
    pub states: Vec<String>,
    /// Large meshes, by name.
    pub meshes: Vec<String>,
    /// Pictures, by name.
    pub pictures: Vec<String>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(MissingRecord {
    may unknown,
    may records,
    may sessions,
    may states,
    may meshes,
    may pictures,
    .. extra
});

impl MissingRecord {
    /// True when the file is whole.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}
