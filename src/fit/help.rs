//! What to read next.

use crate::reading::Seen;

/// The further observation that would narrow the answer most.
#[derive(Debug, Clone, PartialEq)]
pub struct Help {
    /// What to read; the value in it is what the boat as found would show.
    pub seen: Seen,
    /// What would be left of the uncertainty, as a share of its variance now.
    pub left: f64,
}
