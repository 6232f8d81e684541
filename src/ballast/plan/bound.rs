//! What a plan is bound by, and at what price.

use super::demanded::Demanded;

/// What a plan is bound by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// A demand of a state, by number.
    Demand(usize, Demanded),
    /// What a slot takes, by number.
    Slot(usize),
    /// How much there is of an item of the stock, by number.
    Stock(usize),
    /// The range of a free fill of a state, by their numbers.
    Fill(usize, usize),
}

/// A limit that binds, with its price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Binding {
    /// What binds.
    pub what: Bound,
    /// What would be saved for each unit by which it is let out (on both sides where it has two), kg per kg, per kg·m
    /// or per share.
    pub price: f64,
}
