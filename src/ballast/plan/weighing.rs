//! What a plan's masses cost: what makes one better than another.

/// What things cost.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Weighing {
    /// What a kilogram costs by slot and item; 1 where none is given.
    pub(super) add: Vec<((usize, usize), f64)>,
    /// What is saved where something taken out is used again, per kilogram.
    pub(super) reuse: f64,
    /// What height costs: a kg·m of what lowers BG.
    pub(super) height: f64,
    /// The most that may be added and taken out in all, kg.
    pub(super) most: Option<f64>,
    /// Whether of plans that cost the same one is preferred that has few pieces: by making each place dearer by a
    /// little of its own, up to [`TIE`].
    pub(super) ties: bool,
}

impl Weighing {
    /// By mass alone.
    pub(super) const MASS: Self =
        Self { add: Vec::new(), reuse: 0.0, height: 0.0, most: None, ties: true };
    /// The same, to the last digit.
    pub(super) const EXACTLY_MASS: Self =
        Self { add: Vec::new(), reuse: 0.0, height: 0.0, most: None, ties: false };

    /// What a kilogram of an item in a slot costs, in the column of this number.
    pub(super) fn of(&self, key: (usize, usize), column: usize) -> f64 {
        let own = self.add.iter().find(|(own, _)| *own == key);
        own.map_or(1.0, |(_, price)| *price) + if self.ties { tie(column) } else { 0.0 }
    }
}

/// The share of a kilogram by which one place may be dearer than another that serves as well: an interior point would
/// share masses out among them.
const TIE: f64 = 1e-4;
/// The golden ratio's fractional part: multiples of it never come near one another.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// What the column of this number is dearer by.
fn tie(column: usize) -> f64 {
    TIE * (column as f64 * GOLDEN).fract()
}
