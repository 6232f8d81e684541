//! How a boat is taken down and up, in the file.

use super::field_tables::fields;
use super::fields::Extra;

/// The field of a boat's way in which version 3 kept its leans. A boat as it was has it still, since its name is
/// made of its contents.
pub(super) const SEEN: &str = "seen";

/// How a boat is taken down and up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DiveRecord {
    /// The tanks flood one after the other.
    pub in_turn: bool,
    /// Seconds in which free-flooding space drains to 1/e; [`crate::dive::USUAL_DRAIN`] if absent.
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
