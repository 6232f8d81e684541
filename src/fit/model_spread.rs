//! How far the model itself may be off.

/// How far the model itself may be off before anything is read (one standard deviation).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModelSpread {
    /// Height of the centre of gravity, metres.
    pub centre_height: f64,
    /// Share by which the boat's response to weight may differ from the model's.
    pub response: f64,
}

impl ModelSpread {
    /// For a boat entered part by part: 2 mm of height. Common practice, no source.
    pub const LEDGER: Self = Self { centre_height: 2e-3, response: 0.0 };
}
