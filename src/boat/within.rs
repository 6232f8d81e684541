//! Checks positions: finds typing slips, such as a battery two metres ahead of the bow, before the
//! boat is calculated.

use super::entry::MadePart;
use super::tank::{Housing, Tank};
use crate::frame::{Body, Position};
use crate::geometry::{Bounds, Mesh};

/// A direction as one stands in the boat looking forward.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Direction {
    Forward,
    Aft,
    Port,
    Starboard,
    Above,
    Below,
}

/// Why something cannot be where it was put.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum Misplaced {
    /// It lies apart from everything else.
    #[error("it lies {by} m beyond the rest of the boat: check its place")]
    Away {
        /// On which side of the boat.
        direction: Direction,
        /// How far from it, metres.
        by: f64,
    },
    /// A tank that should lie inside a part sticks out of every part.
    #[error("no part holds it: it sticks out of the nearest by {by} m")]
    SticksOut {
        /// Where it sticks out.
        direction: Direction,
        /// By how much, metres.
        by: f64,
    },
    /// A tank that holds more than any part it could lie in.
    #[error("it holds {tank} m3, but the largest part only {part} m3")]
    LargerThanItsPart {
        /// The tank's capacity, m³.
        tank: f64,
        /// The largest part's volume, m³.
        part: f64,
    },
}

/// What a part may stand off from the rest before it counts as a slip: this share of the boat's
/// length, and never less than [`LEAST_GAP`]. Common practice, no source: masts, planes and keels
/// on stalks stand off less.
const GAP_SHARE: f64 = 0.05;
/// Metres.
const LEAST_GAP: f64 = 0.02;
/// How far a mark may lie off the hull, metres: paint, and the reading of a ruler.
const MARK_GAP: f64 = 0.005;
/// How far a tank may stick out of its part, metres: the reading of a ruler.
const WALL_GAP: f64 = 0.001;

/// Checks the place of a part against the box around the rest of the boat, if there is a rest.
///
/// # Errors
/// [`Misplaced::Away`] when it does not touch the rest.
pub fn check_part(part: &MadePart, rest: Option<Bounds>) -> Result<(), Misplaced> {
    let Some(rest) = rest else { return Ok(()) };
    let own = part.mesh.as_ref().map_or_else(|| point(part.part.centre), |m| m.bounds());
    check_gap(own, rest, gap(rest))
}

/// Checks a tank against the parts that displace: inside one of them if set so, else near them.
///
/// # Errors
/// [`Misplaced`] saying where it sticks out and by how much.
pub fn check_tank<'a>(
    tank: &Tank,
    cavity: &Mesh,
    parts: impl Iterator<Item = &'a Mesh> + Clone,
) -> Result<(), Misplaced> {
    let all = parts.clone().map(Mesh::bounds).reduce(Bounds::joined);
    let Some(all) = all else { return Ok(()) };
    let own = cavity.bounds();
    if tank.housing == Housing::InTheWet {
        return check_gap(own, all, gap(all));
    }
    let outside = |part: &Mesh| excess(own, part.bounds());
    // A flooded skin surrounds a tank without holding it: its wall alone has too little volume.
    let large = parts.clone().filter(|part| part.volume() >= cavity.volume());
    if let Some((direction, by)) = large.map(outside).min_by(|a, b| a.1.total_cmp(&b.1)) {
        let fits = by <= WALL_GAP;
        return if fits { Ok(()) } else { Err(Misplaced::SticksOut { direction, by }) };
    }
    let largest = parts.map(Mesh::volume).fold(0.0, f64::max);
    Err(Misplaced::LargerThanItsPart { tank: cavity.volume(), part: largest })
}

/// Checks a mark against the box around the hull.
///
/// # Errors
/// [`Misplaced::Away`] when it lies off the hull.
pub fn check_mark(at: Position<Body>, hull: Bounds) -> Result<(), Misplaced> {
    check_gap(point(at), hull, MARK_GAP)
}

fn gap(of: Bounds) -> f64 {
    (GAP_SHARE * of.size().x).max(LEAST_GAP)
}

fn point(at: Position<Body>) -> Bounds {
    Bounds { low: at.vector(), high: at.vector() }
}

fn check_gap(own: Bounds, rest: Bounds, allowed: f64) -> Result<(), Misplaced> {
    // The gap of two boxes along an axis is that between their facing sides.
    let near = Bounds { low: own.high, high: own.low };
    let (direction, by) = excess(near, rest);
    if by > allowed { Err(Misplaced::Away { direction, by }) } else { Ok(()) }
}

/// Where a box reaches furthest out of another, and by how much; not at all if negative.
fn excess(inner: Bounds, outer: Bounds) -> (Direction, f64) {
    let over = inner.high - outer.high;
    let under = outer.low - inner.low;
    let all = [
        (Direction::Forward, over.x),
        (Direction::Aft, under.x),
        (Direction::Port, over.y),
        (Direction::Starboard, under.y),
        (Direction::Above, over.z),
        (Direction::Below, under.z),
    ];
    all.into_iter().fold((Direction::Forward, f64::NEG_INFINITY), |worst, next| {
        if next.1 > worst.1 { next } else { worst }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::{Density, PartEntry, Status};
    use crate::geometry::{Fineness, Solid};
    use std::sync::Arc;

    fn block(centre: [f64; 3], size: [f64; 3]) -> PartEntry {
        let [x, y, z] = centre;
        PartEntry {
            name: "block".to_owned(),
            status: Status::Fixed,
            solid: Some(Solid::Box { size, centre: Position::new(x, y, z) }),
            weighed: None,
            centre: None,
            material: Some(Density::exact(500.0)),
            wall: None,
            coat: None,
            displaces: None,
        }
    }

    fn made(entry: &PartEntry) -> MadePart {
        entry.made(Fineness::WORK).expect("a good part")
    }

    fn hull() -> Arc<Mesh> {
        made(&block([0.0, 0.0, 0.05], [1.0, 0.1, 0.1])).mesh.expect("it displaces")
    }

    #[test]
    fn a_part_may_stand_off_a_little_and_not_far() {
        let rest = Some(hull().bounds());
        let plane = made(&block([-0.5, 0.1, 0.05], [0.04, 0.06, 0.004]));
        assert_eq!(check_part(&plane, rest), Ok(()), "a stern plane beside the hull");
        let far = made(&block([4.5, 0.0, 0.05], [0.04, 0.06, 0.004]));
        let got = check_part(&far, rest).expect_err("four metres ahead");
        assert!(
            matches!(got, Misplaced::Away { direction: Direction::Forward, by } if (by - 3.98).abs() < 1e-9),
            "{got:?}"
        );
        assert_eq!(check_part(&far, None), Ok(()), "the first part can be anywhere");
        let lead = PartEntry {
            solid: None,
            weighed: Some(0.1),
            centre: Some(Position::new(0.0, 0.0, -0.3)),
            ..block([0.0; 3], [1.0; 3])
        };
        let got = check_part(&made(&lead), rest);
        assert!(
            matches!(got, Err(Misplaced::Away { direction: Direction::Below, .. })),
            "a weight below the keel: {got:?}"
        );
    }

    #[test]
    fn a_tank_must_fit_into_its_part() {
        let hull = hull();
        let tank = |housing, length: f64| {
            let cavity =
                Solid::Box { size: [length, 0.08, 0.08], centre: Position::new(0.1, 0.0, 0.05) };
            let mesh = cavity.mesh(Fineness::WORK).expect("a good cavity");
            (Tank { housing, ..Tank::new("tank", cavity) }, mesh)
        };
        let (inside, cavity) = tank(Housing::InsideAPart, 0.3);
        assert_eq!(check_tank(&inside, &cavity, [&*hull].into_iter()), Ok(()), "it fits");
        let (long, cavity) = tank(Housing::InsideAPart, 1.2);
        let got = check_tank(&long, &cavity, [&*hull].into_iter());
        assert!(
            matches!(got, Err(Misplaced::SticksOut { direction: Direction::Forward, .. })),
            "{got:?}"
        );
        let (wet, cavity) = tank(Housing::InTheWet, 1.2);
        assert_eq!(check_tank(&wet, &cavity, [&*hull].into_iter()), Ok(()), "in the wet it may");
        let thin = made(&PartEntry {
            wall: Some(crate::boat::Wall {
                thickness: 0.002,
                inside: crate::boat::Inside::Flooded,
            }),
            ..block([0.0, 0.0, 0.05], [1.0, 0.1, 0.1])
        });
        let skin = thin.mesh.expect("a skin");
        let (inside, cavity) = tank(Housing::InsideAPart, 0.7);
        let got = check_tank(&inside, &cavity, [&*skin].into_iter());
        assert!(matches!(got, Err(Misplaced::LargerThanItsPart { .. })), "{got:?}");
    }

    #[test]
    fn a_mark_lies_on_the_hull() {
        let bounds = hull().bounds();
        assert_eq!(check_mark(Position::new(0.45, 0.05, 0.07), bounds), Ok(()), "on the bow");
        let off = check_mark(Position::new(0.45, 0.05, 0.17), bounds);
        assert!(
            matches!(off, Err(Misplaced::Away { direction: Direction::Above, .. })),
            "above the deck: {off:?}"
        );
    }
}
