//! The quick boat: one solid from six numbers, for a first answer in two minutes.
//!
//! Its waterplane and its stiffness are guesses, and everything that follows from them is rough:
//! [`QuickBoat::RESPONSE_SPREAD`] says how rough, and the fit carries it into every ±.

use super::{Boat, Housing, Mark, Medium, Part, Place, Tank};
use crate::frame::{Body, Position};
use crate::geometry::{Mesh, MeshError, Solid};
use nalgebra::Vector3;
use std::f64::consts::PI;

/// The six numbers, and optional ones.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct QuickBoat {
    /// Length over all, metres.
    pub length: f64,
    /// Greatest beam, metres.
    pub beam: f64,
    /// Keel to deck, metres.
    pub depth: f64,
    /// Mass as it lies in the water, kg.
    pub mass: f64,
    /// Height of the design waterline above the keel, metres.
    pub waterline: f64,
    /// How full the ends are: area of the plan view over length times beam, 0.4 to 0.95.
    pub fullness: f64,
    /// Tank volume from blown to full, cubic metres; 0 for none or not stated.
    pub tank: f64,
    /// Distance of the bow mark from the foremost point, metres; a twentieth of the length if none.
    pub bow_mark: Option<f64>,
    /// Distance of the stern mark from the aftmost point, metres; likewise.
    pub stern_mark: Option<f64>,
}

/// Why six numbers do not make a boat.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuickBoatError {
    /// A number is zero, negative or not a number.
    #[error("the {name} must be more than zero")]
    NotPositive {
        /// Which number.
        name: &'static str,
    },
    /// The waterline is above the deck.
    #[error("the waterline ({waterline} m) must lie below the deck ({depth} m)")]
    WaterlineTooHigh {
        /// The waterline's height, metres.
        waterline: f64,
        /// The depth, metres.
        depth: f64,
    },
    /// The fullness is out of range.
    #[error("the fullness is {0}: it must be from 0.4 (pointed) to 0.95 (blunt)")]
    Fullness(f64),
    /// A hull of this size cannot carry that much at this waterline.
    #[error(
        "a hull of this size carries at most {most} kg at this waterline: check the mass, the sizes and the waterline"
    )]
    TooHeavy {
        /// The most it carries, kg.
        most: f64,
    },
    /// A hull of this size cannot lie that deep with so little mass.
    #[error(
        "a hull of this size weighs at least {least} kg at this waterline: check the mass, the sizes and the waterline"
    )]
    TooLight {
        /// The least it weighs, kg.
        least: f64,
    },
    /// The tank volume is negative or not a number.
    #[error("the tank capacity of {0} m³ must be a number; 0 means no tank")]
    Tank(f64),
    /// The tank takes more than the boat displaces.
    #[error("a tank of this boat must hold less than {most} m³")]
    TankTooLarge {
        /// What the boat displaces afloat, m³.
        most: f64,
    },
    /// A mark does not lie in its own half of the boat.
    #[error("the {name} mark must lie between its own end and midship")]
    MarkAstray {
        /// Which mark.
        name: &'static str,
    },
    /// The numbers make no closed solid.
    #[error(transparent)]
    Mesh(#[from] MeshError),
}

/// Rows of the mesh from bow to stern, and from keel to deck.
const STATIONS: u32 = 48;
const WATERLINES: u32 = 24;
/// Metacentric height across as a share of the beam: common practice, no source.
const GM_SHARE: f64 = 0.10;
/// The most and the least of an elliptic envelope that a hull displaces. A box section fills 4/π
/// of it; a hull of bare plates and one thin tube still about a fifth. Common practice, no source.
const MOST_FILLED: f64 = 1.3;
const LEAST_FILLED: f64 = 0.2;
/// A hull that displaces a share of its envelope is as much narrower, at all heights, and narrower still towards its ends,
/// where mostly water runs through: by (1 − x²) to the power of this times what is missing, x from −1 at the stern to 1 at
/// the bow. Common practice, no source; so the twelve boats that are counted in `tests/statics/quick_coverage.rs` have
/// the waterplane and the moment to trim in the mean.
const LEANER_ENDS: f64 = 2.0;
/// How far a mark is from its end as a share of the length, if nobody has said. Common practice, no
/// source.
const MARK_FROM_END: f64 = 0.05;

impl QuickBoat {
    /// How far the true response of such a boat may be from this one's, as a share (one standard
    /// deviation). Common practice, no source; twelve whole boats (`tests/statics/quick_coverage.rs`) have 0.57 to
    /// 1.52 of its waterplane, rms 0.29 off, and Petrel's is gone a few millimetres higher.
    pub const RESPONSE_SPREAD: f64 = 0.35;
    /// How far sinkage, list and trim may differ besides, each by a share of its own: waterplanes change with draught and
    /// heel in their own ways, and hulls that sink alike trim differently, as what displaces is amidships or in the ends.
    /// Common practice, no source; the twelve have 0.63 to 1.56 of the second moment along that their waterplane
    /// would have here, rms 0.26 off.
    pub const STATE_SPREAD: f64 = 0.25;
    /// How far from the middle of what it displaces its waterplane's may lie, as a share of the length. Common
    /// practice, no source; that of the twelve is 0.011, rms.
    pub const FLOTATION_SPREAD: f64 = 0.012;
    /// The response wholly under water, where all stiffness is BG and the hull above the waterline is
    /// unknown. Common practice, no source.
    pub const RESPONSE_SPREAD_UNDER: f64 = 0.5;
    /// How far its centre of gravity may be from the assumed height, as a share of the beam. Common practice, no source:
    /// but for a catamaran, GM of the twelve is 0.07 of the beam off the assumed tenth, rms.
    pub const CENTRE_HEIGHT_SPREAD: f64 = 0.08;

    /// One solid that floats at the waterline with the mass in water of `water_density` kg/m³,
    /// level and upright, with a bow, a midship and a stern mark.
    ///
    /// Its tank is a box of the hull's own proportions about the centre of gravity, inside the
    /// solid: common practice, no source. Blown, it adds neither mass nor displacement, so the boat
    /// floats the same with or without it; under water only its volume matters.
    ///
    /// Body axes: x from midship, z from the keel line.
    ///
    /// # Errors
    /// [`QuickBoatError`] naming the number that is wrong.
    pub fn boat(
        &self,
        name: impl Into<String>,
        water_density: f64,
    ) -> Result<Boat, QuickBoatError> {
        self.check()?;
        self.check_more(self.mass / water_density)?;
        let mesh = self.hull(self.mass / water_density)?;
        let below = mesh.below(Vector3::z_axis(), -self.waterline);
        let across = below.waterplane.central_second()[(1, 1)];
        let centre = below.first_moment / below.volume;
        let metacentre = centre.z + across / below.volume;
        let gravity = metacentre - GM_SHARE * self.beam;
        let hull = Part::solid(
            "hull with everything aboard",
            self.mass,
            Position::new(centre.x, 0.0, gravity),
            Solid::Mesh(mesh.into()),
        );
        let mark = |name: &str, x: f64| Mark {
            name: name.to_owned(),
            at: Position::new(x, 0.0, self.waterline),
        };
        let from_midship = |from_end: Option<f64>| {
            self.length / 2.0 - from_end.unwrap_or(MARK_FROM_END * self.length)
        };
        let place = |name: &str, z: f64, medium: Medium| Place { name: name.to_owned(), z, medium };
        Ok(Boat {
            name: name.into(),
            parts: vec![hull],
            tanks: self.tank(Position::new(centre.x, 0.0, gravity), water_density),
            marks: vec![
                mark("stern", -from_midship(self.stern_mark)),
                mark("midship", 0.0),
                mark("bow", from_midship(self.bow_mark)),
            ],
            places: vec![
                place("on the keel", 0.0, Medium::Wet),
                place("inside", gravity, Medium::Dry),
                place("on deck", self.depth, Medium::Dry),
            ],
        })
    }

    /// Its tank about `centre`, for water of `water_density` kg/m³; none if it takes nothing.
    fn tank(&self, centre: Position<Body>, water_density: f64) -> Vec<Tank> {
        if self.tank <= 0.0 {
            return Vec::new();
        }
        let size = [self.length, self.beam, self.depth];
        let scale = (self.tank / size.iter().product::<f64>()).cbrt();
        let cavity = Solid::Box { size: size.map(|s| s * scale), centre };
        vec![Tank {
            liquid_density: water_density,
            centre,
            housing: Housing::InsideAPart,
            ..Tank::new("tank", cavity)
        }]
    }

    /// What may be told besides: `volume` is what the boat displaces afloat, m³.
    fn check_more(&self, volume: f64) -> Result<(), QuickBoatError> {
        if !(self.tank >= 0.0 && self.tank.is_finite()) {
            return Err(QuickBoatError::Tank(self.tank));
        }
        if self.tank >= volume {
            return Err(QuickBoatError::TankTooLarge { most: volume });
        }
        for (name, from_end) in [("bow", self.bow_mark), ("stern", self.stern_mark)] {
            let from_end = from_end.unwrap_or(0.0);
            if !(from_end >= 0.0 && from_end < self.length / 2.0) {
                return Err(QuickBoatError::MarkAstray { name });
            }
        }
        Ok(())
    }

    fn check(&self) -> Result<(), QuickBoatError> {
        for (name, value) in [
            ("length", self.length),
            ("beam", self.beam),
            ("depth", self.depth),
            ("mass", self.mass),
            ("waterline height", self.waterline),
        ] {
            if !(value > 0.0 && value.is_finite()) {
                return Err(QuickBoatError::NotPositive { name });
            }
        }
        if self.waterline >= self.depth {
            let (waterline, depth) = (self.waterline, self.depth);
            return Err(QuickBoatError::WaterlineTooHigh { waterline, depth });
        }
        if !(0.4..=0.95).contains(&self.fullness) {
            return Err(QuickBoatError::Fullness(self.fullness));
        }
        Ok(())
    }

    /// The solid: an elliptic section and a pointed plan, narrowed until it displaces `volume` below the waterline.
    fn hull(&self, volume: f64) -> Result<Mesh, QuickBoatError> {
        let envelope = self.mesh(1.0, 0.0)?.below(Vector3::z_axis(), -self.waterline).volume;
        let (filled, density) = (volume / envelope, self.mass / volume);
        if filled > MOST_FILLED {
            return Err(QuickBoatError::TooHeavy { most: MOST_FILLED * envelope * density });
        }
        if filled < LEAST_FILLED {
            return Err(QuickBoatError::TooLight { least: LEAST_FILLED * envelope * density });
        }
        let leaner = LEANER_ENDS * (1.0 - filled).max(0.0);
        // What is below grows as the breadths do: so the mesh's chords, which cost a little, are made up for exactly.
        let broad = self.mesh(1.0, leaner)?.below(Vector3::z_axis(), -self.waterline).volume;
        Ok(self.mesh(volume / broad, leaner)?)
    }

    /// The closed mesh whose half-breadths are those of the envelope times `breadth`, and less towards the ends.
    fn mesh(&self, breadth: f64, leaner: f64) -> Result<Mesh, MeshError> {
        let exponent = self.fullness / (1.0 - self.fullness);
        let mut grid = Grid::default();
        for i in 0..=STATIONS {
            let along = -(PI * f64::from(i) / f64::from(STATIONS)).cos();
            let plan = 1.0 - along.abs().powf(exponent);
            let carries = breadth * plan * (1.0 - along * along).max(0.0).powf(leaner);
            for j in 0..=WATERLINES {
                let up = -(PI * f64::from(j) / f64::from(WATERLINES)).cos();
                let height = self.depth * (up + 1.0) / 2.0;
                let half = self.beam / 2.0 * carries * (1.0 - up * up).max(0.0).sqrt();
                // Keel and deck run together at the waterline in both ends.
                let z = self.waterline + (height - self.waterline) * plan.sqrt();
                let on_edge = i == 0 || i == STATIONS || j == 0 || j == WATERLINES;
                grid.add(Vector3::new(along * self.length / 2.0, half, z), on_edge);
            }
        }
        grid.close()
    }
}

/// Port and starboard surfaces over one grid of stations and waterlines, joined along its edge.
#[derive(Default)]
struct Grid {
    vertices: Vec<Vector3<f64>>,
    /// The port and the starboard vertex of each node.
    nodes: Vec<(u32, u32)>,
}

impl Grid {
    #[expect(clippy::cast_possible_truncation, reason = "the grid has about a thousand nodes")]
    fn add(&mut self, port: Vector3<f64>, on_edge: bool) {
        let index = self.vertices.len() as u32;
        if on_edge {
            self.vertices.push(Vector3::new(port.x, 0.0, port.z));
            self.nodes.push((index, index));
        } else {
            self.vertices.push(port);
            self.vertices.push(Vector3::new(port.x, -port.y, port.z));
            self.nodes.push((index, index + 1));
        }
    }

    fn close(self) -> Result<Mesh, MeshError> {
        let mut faces: Vec<[u32; 3]> = Vec::new();
        let at = |i: u32, j: u32| self.nodes.get((i * (WATERLINES + 1) + j) as usize).copied();
        for i in 0..STATIONS {
            for j in 0..WATERLINES {
                let corners = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
                let [Some(a), Some(b), Some(c), Some(d)] = corners else { continue };
                // Seen from port, x runs to the left: clockwise in the grid faces outwards. The
                // diagonals lean the other way aft, so that both ends are alike.
                let [p, q, r, s] = if i < STATIONS / 2 { [a, b, c, d] } else { [b, c, d, a] };
                faces.extend([[p.0, r.0, q.0], [p.0, s.0, r.0]]);
                faces.extend([[p.1, q.1, r.1], [p.1, r.1, s.1]]);
            }
        }
        faces.retain(|&[a, b, c]| a != b && b != c && c != a);
        Mesh::closed(self.vertices, faces)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GREBE: QuickBoat = QuickBoat {
        length: 1.1,
        beam: 0.13,
        depth: 0.14,
        mass: 6.2,
        waterline: 0.1,
        fullness: 0.75,
        tank: 0.0,
        bow_mark: None,
        stern_mark: None,
    };

    #[test]
    fn it_displaces_its_mass_at_its_waterline() {
        let boat = GREBE.boat("Grebe", 998.2).expect("good numbers");
        let Some(Part { solid: Some(Solid::Mesh(mesh)), centre, .. }) = boat.parts.first() else {
            panic!("one part with a mesh, got {:?}", boat.parts.len());
        };
        let below = mesh.below(Vector3::z_axis(), -GREBE.waterline);
        let carried = below.volume * 998.2;
        assert!((carried - 6.2).abs() < 1e-9, "carries {carried} kg");
        assert!((below.first_moment.x).abs() < 1e-9, "level: {}", below.first_moment.x);
        assert!(centre.y() == 0.0 && centre.x().abs() < 1e-9, "centre {centre:?}");
    }

    #[test]
    fn numbers_that_make_no_boat_are_named() {
        let heavy = QuickBoat { mass: 60.0, ..GREBE }.boat("x", 998.2);
        assert!(matches!(heavy, Err(QuickBoatError::TooHeavy { most }) if most > 6.2), "{heavy:?}");
        let light = QuickBoat { mass: 0.06, ..GREBE }.boat("x", 998.2);
        assert!(matches!(light, Err(QuickBoatError::TooLight { .. })), "{light:?}");
        let deep = QuickBoat { waterline: 0.2, ..GREBE }.boat("x", 998.2);
        assert!(matches!(deep, Err(QuickBoatError::WaterlineTooHigh { .. })), "{deep:?}");
        let nothing = QuickBoat { beam: f64::NAN, ..GREBE }.boat("x", 998.2);
        assert_eq!(nothing, Err(QuickBoatError::NotPositive { name: "beam" }), "a beam of NaN");
    }

    #[test]
    fn a_tank_takes_what_it_was_said_to_and_changes_nothing_afloat() {
        let with = QuickBoat { tank: 6.4e-4, ..GREBE }.boat("Grebe", 998.2).expect("good numbers");
        let without = GREBE.boat("Grebe", 998.2).expect("good numbers");
        assert_eq!(Boat { tanks: Vec::new(), ..with.clone() }, without, "but for the tank");
        let [tank] = with.tanks.as_slice() else { panic!("one tank, got {:?}", with.tanks) };
        let takes = tank.cavity.mesh(crate::geometry::Fineness::WORK).expect("a box").volume();
        assert!((takes - 6.4e-4).abs() < 1e-12, "takes {takes} m³");
        let huge = QuickBoat { tank: 7e-3, ..GREBE }.boat("x", 998.2);
        let most = 6.2 / 998.2;
        assert_eq!(huge, Err(QuickBoatError::TankTooLarge { most }), "more than it displaces");
        let less = QuickBoat { tank: -1e-4, ..GREBE }.boat("x", 998.2);
        assert_eq!(less, Err(QuickBoatError::Tank(-1e-4)), "less than nothing");
    }

    #[test]
    fn marks_lie_where_the_ruler_found_them() {
        let marks = |boat: QuickBoat| -> Vec<f64> {
            boat.boat("x", 998.2).expect("good").marks.iter().map(|m| m.at.x()).collect()
        };
        // Half of 1100 mm less what the ruler says; 5 % of the length where it said nothing.
        let told = QuickBoat { bow_mark: Some(0.12), stern_mark: Some(0.0), ..GREBE };
        for (got, expected) in marks(told).into_iter().zip([-0.55, 0.0, 0.43]) {
            assert!((got - expected).abs() < 1e-12, "at {got}, expected {expected}");
        }
        for (got, expected) in marks(GREBE).into_iter().zip([-0.495, 0.0, 0.495]) {
            assert!((got - expected).abs() < 1e-12, "at {got}, expected {expected}");
        }
        for wrong in [-0.01, 0.55, f64::NAN] {
            let astray = QuickBoat { stern_mark: Some(wrong), ..GREBE }.boat("x", 998.2);
            assert_eq!(astray, Err(QuickBoatError::MarkAstray { name: "stern" }), "{wrong}");
        }
    }
}
