//! Boats to begin with.

use super::boat_record::BoatRecord;
use super::file::DiaryError;

/// A boat that comes with the app.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Template {
    /// Its name.
    pub name: &'static str,
    /// The kind of boat, in one line.
    pub about: &'static str,
}

/// stub
pub const TEMPLATES: [Template; 0] = [];

impl Template {
    /// The boat.
    ///
    /// # Errors
    /// stub
    pub fn boat_record(&self) -> Result<BoatRecord, DiaryError> {
        Err(DiaryError::Foreign)
    }
}
