//! A place where weight can be put: its height, and whether it is in the wet.

/// What is around a weight at its place while the boat floats at its waterline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// Inside something dry, or above the water: a weight counts in full.
    Dry,
    /// In the wet: a weight counts less what it displaces.
    Wet,
}

/// A place where weight can be put.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// As it is said after an amount: "on the keel".
    pub name: String,
    /// Height of the weight's centre, metres above the keel line.
    pub z: f64,
    /// Dry or wet.
    pub medium: Medium,
}
