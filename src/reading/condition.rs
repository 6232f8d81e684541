//! How the boat lay when it was read.

/// Whether the boat was read at the surface or under it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Condition {
    /// At the surface.
    #[default]
    Afloat,
    /// Wholly under.
    Under,
}

impl Condition {
    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Afloat => Self::Under,
            Self::Under => Self::Afloat,
        }
    }
}
