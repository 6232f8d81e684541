//! Free-flooding space: water comes and goes through it, but not at once.

use crate::geometry::{Bounds, Mesh};
use std::sync::Arc;

/// A space inside the boat that floods and drains through holes. At the outside level it has no
/// effect; water above that level is weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Space {
    /// What the builder calls it.
    pub name: String,
    /// What encloses it.
    pub cavity: Arc<Mesh>,
    /// Permeability: the share of the cavity that water can take, above 0 to 1. Its contents are
    /// taken as spread evenly.
    pub permeability: f64,
    /// Time constant, seconds: water above the outside level falls to 1/e of it; zero drains at
    /// once.
    pub drain: f64,
}

/// A cavity that is full of parts still holds a little.
const LEAST_PERMEABILITY: f64 = 0.02;

impl Space {
    /// A space whose permeability follows from the solids that stand in it, judged by the boxes
    /// around them: the wall of the space itself lies outside its cavity and does not count. Water
    /// is taken to leave as the exponential of time: common practice, no source.
    pub fn around<'a>(
        name: impl Into<String>,
        cavity: Arc<Mesh>,
        solids: impl Iterator<Item = &'a Arc<Mesh>>,
        drain: f64,
    ) -> Self {
        let room = cavity.bounds();
        let inside = |solid: &&Arc<Mesh>| {
            let Bounds { low, high } = solid.bounds();
            room.holds(&low) && room.holds(&high)
        };
        let taken: f64 = solids.filter(inside).map(|solid| solid.volume()).sum();
        let permeability = (1.0 - taken / cavity.volume()).clamp(LEAST_PERMEABILITY, 1.0);
        Self { name: name.into(), cavity, permeability, drain }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    fn block(size: [f64; 3], x: f64) -> Arc<Mesh> {
        let centre = Position::new(x, 0.0, 0.0);
        Solid::Box { size, centre }.mesh(Fineness::WORK).expect("a box")
    }

    #[test]
    fn what_stands_in_a_space_leaves_less_room_for_water() {
        let cavity = block([1.0, 0.1, 0.1], 0.0);
        let solids = [block([0.5, 0.1, 0.05], 0.1), block([0.5, 0.1, 0.1], 0.9)];
        let space = Space::around("hull", Arc::clone(&cavity), solids.iter(), 2.0);
        assert!((space.permeability - 0.75).abs() < 1e-12, "{}", space.permeability);
        // The wall around it, and what sticks out of it, do not stand in it.
        let around = [block([1.01, 0.11, 0.11], 0.0), block([0.5, 0.1, 0.1], 0.3)];
        let space = Space::around("hull", Arc::clone(&cavity), around.iter(), 2.0);
        assert!((space.permeability - 1.0).abs() < 1e-12, "{}", space.permeability);
        let crammed = [block([0.99, 0.1, 0.1], 0.0)];
        let space = Space::around("hull", cavity, crammed.iter(), 2.0);
        assert!((space.permeability - LEAST_PERMEABILITY).abs() < 1e-12, "never none");
    }
}
