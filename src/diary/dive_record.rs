//! How a boat is taken down and up, in the file.

use super::field_tables::fields;
use super::fields::Extra;

/// Seconds in which a tank floods where nothing is said. Common practice, no source.
pub const USUAL_FLOOD: f64 = 20.0;
/// Seconds in which a tank is blown where nothing is said. Common practice, no source.
pub const USUAL_BLOW: f64 = 10.0;
/// Seconds in which water leaves free-flooding space to 1/e where nothing is said. Common
/// practice, no source.
pub const USUAL_DRAIN: f64 = 2.0;

/// The field of a boat's way in which version 3 kept its leans. A boat as it was has it still, since its name is
/// made of its contents.
pub(super) const SEEN: &str = "seen";

/// How a boat is taken down and up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DiveRecord {
    /// The tanks flood one after the other.
    pub in_turn: bool,
    /// Seconds in which free-flooding space drains to 1/e; [`USUAL_DRAIN`] if absent.
    pub drain_s: Option<f64>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(DiveRecord {
    has in_turn,
    may drain_s,
    .. extra
});

impl DiveRecord {
    /// True when none of it is set.
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}
