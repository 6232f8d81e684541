//! Which parts are structure, and which lie in or on the boat and can be moved.

use super::{Boat, Nesting};
use crate::geometry::{Bounds, Mesh};
use nalgebra::Vector3;
use std::sync::Arc;

/// A solid that spans a larger share of the boat's length is part of its structure. Common practice,
/// no source.
const LONG: f64 = 0.5;

/// For each part aboard, in the boat's order, whether it can be moved. `nesting` is the boat's,
/// with the shapes of its parts.
///
/// Structure cannot: the largest solid, any that holds smaller parts or a tank, and any that spans
/// most of the boat.
pub fn can_be_shifted(boat: &Boat, nesting: &Nesting) -> Vec<bool> {
    let largest = nesting.displacing().map(|m| m.volume()).fold(0.0, f64::max);
    let whole = nesting.displacing().map(|m| m.bounds()).reduce(Bounds::joined);
    let length = whole.map_or(0.0, |b| b.size().x);
    let parts = boat.parts.iter().enumerate().filter(|(_, part)| part.status.is_aboard());
    let aboard: Vec<(Vector3<f64>, Option<&Arc<Mesh>>)> =
        parts.map(|(k, part)| (part.centre.vector(), nesting.shape(k))).collect();
    let can = |mesh: &Arc<Mesh>| {
        let (bounds, volume) = (mesh.bounds(), mesh.volume());
        let holds = |at: Vector3<f64>| {
            (0..3).all(|axis| bounds.low[axis] < at[axis] && at[axis] < bounds.high[axis])
        };
        let smaller = aboard.iter().filter(|(_, m)| m.is_none_or(|m| m.volume() < volume));
        volume < largest
            && bounds.size().x <= LONG * length
            && !smaller.into_iter().any(|(at, _)| holds(*at))
            && !boat.tanks.iter().any(|tank| holds(tank.centre.vector()))
    };
    aboard.iter().map(|(_, mesh)| mesh.is_none_or(can)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Part, Status, demo_boat};
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    /// The parts aboard that can be shifted, by their names.
    fn shiftable(boat: &Boat) -> Vec<&str> {
        let mesh = |s: &Solid| s.mesh(Fineness::WORK).expect("fixed sizes");
        let shape = |part: &Part| part.solid.as_ref().filter(|_| part.status.is_aboard()).map(mesh);
        let cavities: Vec<_> = boat.tanks.iter().map(|tank| mesh(&tank.cavity)).collect();
        let shapes = boat.parts.iter().map(shape).collect();
        let can = can_be_shifted(boat, &Nesting::of(boat, shapes, &cavities, None));
        let parts = boat.parts_aboard().zip(can);
        parts.filter(|(_, can)| *can).map(|(part, _)| part.name.as_str()).collect()
    }

    fn block(name: &str, size: [f64; 3], at: [f64; 3]) -> Part {
        let centre = Position::new(at[0], at[1], at[2]);
        Part::solid(name, 1.0, centre, Solid::Box { size, centre })
    }

    #[test]
    fn what_lies_in_the_demonstration_boat_can_be_shifted_and_its_hull_and_casing_cannot() {
        let boat = demo_boat().expect("fixed sizes");
        let can = shiftable(&boat);
        for name in ["battery", "motor and gearbox", "trimming lead inside", "keel lead"] {
            assert!(can.contains(&name), "{name} can be shifted: {can:?}");
        }
        for name in ["hull", "casing, port", "casing, top"] {
            assert!(!can.contains(&name), "{name} cannot: {can:?}");
        }
    }

    #[test]
    fn a_shell_that_is_not_the_largest_solid_holds_something() {
        let mut boat = Boat {
            parts: vec![
                block("hull", [1.0, 0.2, 0.2], [0.0, 0.0, 0.1]),
                block("box", [0.3, 0.1, 0.1], [0.0, 0.0, 0.1]),
                block("battery", [0.1, 0.05, 0.05], [0.0, 0.0, 0.1]),
            ],
            ..Boat::default()
        };
        assert_eq!(shiftable(&boat), ["battery"], "the box holds it");
        boat.parts[2].status = Status::TakenOut;
        assert_eq!(shiftable(&boat), ["box"], "an empty box can be taken out");
    }
}
