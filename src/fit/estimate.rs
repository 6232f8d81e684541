//! A value with its spread.

/// A value and its standard uncertainty, in the value's unit.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its spread, one standard deviation.
    pub spread: f64,
}

impl Estimate {
    /// A value with its spread.
    pub const fn new(value: f64, spread: f64) -> Self {
        Self { value, spread }
    }
}

/// One thing that a reading may or may not tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unknown {
    /// How much the boat is too heavy.
    Mass,
    /// How far its centre of gravity is too far forward.
    Along,
    /// How far its centre of gravity is too far to port.
    Across,
}

impl Unknown {
    /// All three, in the order of the fit's unknowns.
    pub const ALL: [Self; 3] = [Self::Mass, Self::Along, Self::Across];
}
