//! Free-flooding space: water comes and goes through it, but not at once.

use super::entry::{Inside, PartEntry, Wall};
use crate::geometry::{Bounds, Fineness, Mesh, offset};
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
    /// The space within the wall of a part that is aboard and flooded, of a shape at the fineness of work; none
    /// of any other part. The solids are those that displace, [`Self::around`].
    pub fn inside<'a>(
        part: &PartEntry,
        solids: impl Iterator<Item = &'a Arc<Mesh>>,
        drain: f64,
    ) -> Option<Self> {
        let is_open = |wall: &Wall| part.status.is_aboard() && wall.inside == Inside::Flooded;
        let wall = part.wall.filter(is_open)?;
        let outer = part.solid.as_ref()?.mesh(Fineness::WORK).ok()?;
        let cavity = Arc::new(offset(&outer, -wall.thickness).ok()?);
        Some(Self::around(&*part.name, cavity, solids, drain))
    }

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
    use super::super::part::Status;
    use super::*;
    use crate::frame::Position;
    use crate::geometry::Solid;

    fn block(size: [f64; 3], x: f64) -> Arc<Mesh> {
        let centre = Position::new(x, 0.0, 0.0);
        Solid::Box { size, centre }.mesh(Fineness::WORK).expect("a box")
    }

    #[test]
    fn a_flooded_part_aboard_has_the_space_within_its_wall() {
        let solid = Solid::Box { size: [1.0, 0.1, 0.1], centre: Position::ORIGIN };
        let hull = |status: Status, inside: Inside| PartEntry {
            name: "hull".to_owned(),
            status,
            solid: Some(solid.clone()),
            weighed: Some(1.0),
            centre: None,
            material: None,
            wall: Some(Wall { thickness: 0.005, inside }),
            coat: None,
            displaces: None,
        };
        let space = |part: &PartEntry| Space::inside(part, [].iter(), 2.0);
        let got = space(&hull(Status::Fixed, Inside::Flooded)).expect("a space");
        // Closed form: a box less its wall on every side.
        let volume = got.cavity.volume();
        assert!((volume - 0.99 * 0.09 * 0.09).abs() < 1e-12, "{volume} m3");
        assert_eq!((got.name.as_str(), got.drain), ("hull", 2.0), "of this part");
        assert_eq!(space(&hull(Status::Planned, Inside::Flooded)), None, "not aboard");
        assert_eq!(space(&hull(Status::Fixed, Inside::Dry)), None, "dry");
        let plain = PartEntry { wall: None, ..hull(Status::Fixed, Inside::Flooded) };
        assert_eq!(space(&plain), None, "no wall");
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
