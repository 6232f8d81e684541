//! A tank: its cavity, bulkheads, liquid, fill and fill range.

use super::part::{mirrored_place, mirrored_solid};
use super::tank_kind::{Stroke, TankKind};
use crate::frame::{Body, Position};
use crate::geometry::{Bounds, Mesh, Solid};
use nalgebra::{Unit, Vector3};
use std::sync::Arc;

/// Whether a tank itself displaces water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Housing {
    /// It stands in the wet on thin walls and displaces its own volume.
    #[default]
    InTheWet,
    /// It lies inside a part whose solid already displaces.
    InsideAPart,
}

/// Direction of a bulkhead.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BulkheadDirection {
    /// Fore and aft: it parts port from starboard.
    Lengthwise,
    /// Across: it parts fore from aft.
    Transverse,
}

/// A thin wall that divides a tank, so that liquid cannot run across.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bulkhead {
    /// Its direction.
    pub way: BulkheadDirection,
    /// Its position, metres: y if lengthwise, x if transverse.
    pub at: f64,
}

/// What is wrong with a tank's bulkheads, openings or range.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TankError {
    /// A bulkhead does not pass through the cavity.
    #[error(
        "its {} bulkhead at {at} m lies outside the cavity ({low:.3} to {high:.3} m)",
        match way {
            BulkheadDirection::Lengthwise => "lengthwise",
            BulkheadDirection::Transverse => "transverse",
        }
    )]
    BulkheadOutside {
        /// How it stands.
        way: BulkheadDirection,
        /// Where it was put, metres.
        at: f64,
        /// From where the cavity reaches, metres.
        low: f64,
        /// To where it reaches, metres.
        high: f64,
    },
    /// More bulkheads than any tank has.
    #[error("it has {0} bulkheads: give at most {MOST_BULKHEADS}")]
    TooManyBulkheads(usize),
    /// The fill range is not two shares, the lower one first.
    #[error(
        "its fill range is {low} to {high}: give two shares from 0 (empty) to 1 (full), the lower one first"
    )]
    Range {
        /// The least fill that was given.
        low: f64,
        /// The most.
        high: f64,
    },
    /// An opening lies off the cavity.
    #[error("its {opening} lies {:.0} mm outside the cavity: check its place", by * 1e3)]
    OpeningOutside {
        /// Which opening.
        opening: &'static str,
        /// How far, metres.
        by: f64,
    },
    /// A coordinate of an opening is not a number.
    #[error("its {opening}'s position is not a number")]
    OpeningNowhere {
        /// Which opening.
        opening: &'static str,
    },
    /// The vent lies below the flood opening.
    #[error(
        "its vent (at {vent:.3} m) must lie above its flood opening ({flood:.3} m): swap them, or enter the fill range"
    )]
    VentTooLow {
        /// Height of the vent, metres.
        vent: f64,
        /// Height of the flood opening, metres.
        flood: f64,
    },
    /// A piston in a cavity of the wrong shape.
    #[error("a piston needs a box or a fore-and-aft cylinder: choose another shape")]
    PistonShape,
    /// The piston's mass is negative or not a number.
    #[error("its piston's mass of {0} kg must be zero or more")]
    PistonMass(f64),
    /// A bulkhead in a tank whose water has no free surface.
    #[error("a tank with a piston or a bag cannot have bulkheads: remove them")]
    BulkheadInTheWay,
    /// The pressure or depth that limits a closed tank is not positive.
    #[error("its fill limit is not above zero: give the pump pressure or the diving depth")]
    NoStop,
}

/// The most bulkheads that are taken; each may double the work.
const MOST_BULKHEADS: usize = 12;
/// How far an opening may lie outside the cavity, metres: it is a hole in a wall, not a point.
const OPENING_OUTSIDE: f64 = 0.005;

/// A space that holds liquid. How it lies in it follows from the kind of tank.
#[derive(Debug, Clone, PartialEq)]
pub struct Tank {
    /// What the builder calls it.
    pub name: String,
    /// How it takes in liquid and holds it.
    pub kind: TankKind,
    /// The space; its volume is the capacity.
    pub cavity: Solid,
    /// Share of the capacity that is liquid, 0 to 1.
    pub fill: f64,
    /// Density of the liquid, kg/m³.
    pub liquid_density: f64,
    /// Mass of the empty tank without its piston, kilograms.
    pub mass: f64,
    /// Centre of that mass.
    pub centre: Position<Body>,
    /// Whether it displaces water itself.
    pub housing: Housing,
    /// Bulkheads. They take no room and have no mass of their own.
    pub bulkheads: Vec<Bulkhead>,
    /// Where air leaves when it floods.
    pub vent: Option<Position<Body>>,
    /// Where water enters and leaves.
    pub flood: Option<Position<Body>>,
    /// The least and the most fill that are used, 0 to 1, if the builder has typed them.
    pub range: Option<[f64; 2]>,
}

impl Tank {
    /// An empty open tank in the wet for fresh water of 20 °C (998.2 kg/m³), weighing nothing, without openings or bulkheads.
    pub fn new(name: impl Into<String>, cavity: Solid) -> Self {
        Self {
            name: name.into(),
            kind: TankKind::Open,
            cavity,
            fill: 0.0,
            liquid_density: 998.2,
            mass: 0.0,
            centre: Position::ORIGIN,
            housing: Housing::default(),
            bulkheads: Vec::new(),
            vent: None,
            flood: None,
            range: None,
        }
    }

    /// What the empty tank weighs with its piston, kilograms.
    pub fn empty_mass(&self) -> f64 {
        self.mass + self.kind.piston_mass()
    }

    /// The centre of mass of the empty tank, its piston at the end where the water comes in.
    pub fn empty_centre(&self) -> Position<Body> {
        let (piston, whole) = (self.kind.piston_mass(), self.empty_mass());
        match self.stroke() {
            Some(Stroke { from, .. }) if piston != 0.0 && whole > 0.0 => {
                let moment = self.centre.vector() * self.mass + from.vector() * piston;
                Position::from_vector(moment / whole)
            }
            _ => self.centre,
        }
    }

    /// Where its piston runs; none without one, or in a shape that no piston can run through.
    pub(crate) fn stroke(&self) -> Option<Stroke> {
        let TankKind::Piston(piston) = self.kind else { return None };
        Stroke::of(piston.inlet, &self.cavity)
    }

    /// The least and the most share of the capacity that can be liquid. `cavity` is the cavity's mesh.
    ///
    /// Of an open tank: as typed, or else by the openings with the boat level: the air above the
    /// vent cannot leave, and the water below the flood opening cannot be blown out. Bulkheads are
    /// taken to have holes, so that all compartments share the openings. Of a closed one no more
    /// than [`FillLimit::greatest_fill`](super::FillLimit::greatest_fill), whatever was typed: its air does
    /// not leave. A piston and a bag reach everything, unless less was typed.
    pub fn usable_range(&self, cavity: &Mesh) -> [f64; 2] {
        let below = |opening: Position<Body>| {
            let cut = cavity.below(Vector3::z_axis(), -opening.z());
            (cut.volume / cavity.volume()).clamp(0.0, 1.0)
        };
        let blown = || self.flood.map_or(0.0, below);
        match self.kind {
            TankKind::Open => self.range.unwrap_or_else(|| [blown(), self.vent.map_or(1.0, below)]),
            TankKind::Piston(_) | TankKind::Bag => self.range.unwrap_or([0.0, 1.0]),
            TankKind::Sealed(stop) => {
                let [least, most] = self.range.unwrap_or_else(|| [blown(), 1.0]);
                [least, most.min(stop.greatest_fill(least, self.liquid_density))]
            }
        }
    }

    /// The spaces between the bulkheads, each with a surface of its own. `cavity` is the cavity's
    /// mesh.
    ///
    /// # Errors
    /// [`TankError`] when a bulkhead does not part the cavity, an opening is not at it, or the
    /// range of the fill is none.
    pub fn compartments(&self, cavity: &Arc<Mesh>) -> Result<Vec<Arc<Mesh>>, TankError> {
        self.check(cavity.bounds())?;
        let mut spaces = vec![Arc::clone(cavity)];
        for bulkhead in &self.bulkheads {
            spaces = spaces.iter().flat_map(|space| bulkhead.part(space)).flatten().collect();
        }
        Ok(spaces)
    }

    fn check(&self, bounds: Bounds) -> Result<(), TankError> {
        self.check_kind()?;
        if self.bulkheads.len() > MOST_BULKHEADS {
            return Err(TankError::TooManyBulkheads(self.bulkheads.len()));
        }
        for bulkhead in &self.bulkheads {
            bulkhead.check(bounds)?;
        }
        if let Some([low, high]) = self.range
            && !(0.0 <= low && low < high && high <= 1.0)
        {
            return Err(TankError::Range { low, high });
        }
        // The openings of a piston or bag tank do not limit its fill.
        if !self.kind.has_free_surface() {
            return Ok(());
        }
        check_opening("vent", self.vent, bounds)?;
        check_opening("flood opening", self.flood, bounds)?;
        // The air of a closed tank does not leave by its vent while it fills.
        if self.range.is_some() || self.kind != TankKind::Open {
            return Ok(());
        }
        match (self.vent.map(Position::z), self.flood.map(Position::z)) {
            (Some(vent), Some(flood)) if vent <= flood => {
                Err(TankError::VentTooLow { vent, flood })
            }
            _ => Ok(()),
        }
    }

    fn check_kind(&self) -> Result<(), TankError> {
        if !self.kind.has_free_surface() && !self.bulkheads.is_empty() {
            return Err(TankError::BulkheadInTheWay);
        }
        match self.kind {
            TankKind::Piston(_) if self.stroke().is_none() => Err(TankError::PistonShape),
            TankKind::Piston(piston) if !(piston.mass >= 0.0 && piston.mass.is_finite()) => {
                Err(TankError::PistonMass(piston.mass))
            }
            TankKind::Sealed(stop) => {
                let pressure = stop.pressure(self.liquid_density);
                if pressure > 0.0 && pressure.is_finite() { Ok(()) } else { Err(TankError::NoStop) }
            }
            _ => Ok(()),
        }
    }

    pub(super) fn mirrored(&self) -> Self {
        Self {
            cavity: mirrored_solid(&self.cavity),
            centre: mirrored_place(self.centre),
            bulkheads: self.bulkheads.iter().copied().map(Bulkhead::mirrored).collect(),
            vent: self.vent.map(mirrored_place),
            flood: self.flood.map(mirrored_place),
            ..self.clone()
        }
    }
}

impl Bulkhead {
    fn across(self) -> Unit<Vector3<f64>> {
        match self.way {
            BulkheadDirection::Lengthwise => Vector3::y_axis(),
            BulkheadDirection::Transverse => Vector3::x_axis(),
        }
    }

    fn check(self, bounds: Bounds) -> Result<(), TankError> {
        let (low, high) = bounds.reach(&self.across());
        if low < self.at && self.at < high {
            Ok(())
        } else {
            Err(TankError::BulkheadOutside { way: self.way, at: self.at, low, high })
        }
    }

    /// The two sides of a space; the space itself where the bulkhead does not touch it.
    fn part(self, space: &Arc<Mesh>) -> [Option<Arc<Mesh>>; 2] {
        if self.check(space.bounds()).is_err() {
            return [Some(Arc::clone(space)), None];
        }
        let split = space.split(self.across(), self.at);
        [split.below.map(Arc::new), split.above.map(Arc::new)]
    }

    fn mirrored(self) -> Self {
        match self.way {
            BulkheadDirection::Lengthwise => Self { at: -self.at, ..self },
            BulkheadDirection::Transverse => self,
        }
    }
}

fn check_opening(
    opening: &'static str,
    at: Option<Position<Body>>,
    bounds: Bounds,
) -> Result<(), TankError> {
    let Some(at) = at else { return Ok(()) };
    if !at.is_finite() {
        return Err(TankError::OpeningNowhere { opening });
    }
    let nearest = bounds.nearest(&at.vector());
    let by = (at.vector() - nearest).norm();
    // A rounded place at the limit is within it.
    if by <= OPENING_OUTSIDE + 1e-9 {
        Ok(())
    } else {
        Err(TankError::OpeningOutside { opening, by })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Fineness;

    /// A box of 0.4 × 0.2 × 0.1 m whose floor is at z = 0.
    fn tank() -> (Tank, Arc<Mesh>) {
        let centre = Position::new(0.1, 0.0, 0.05);
        let cavity = Solid::Box { size: [0.4, 0.2, 0.1], centre };
        let mesh = cavity.mesh(Fineness::WORK).expect("a box");
        (Tank::new("tank", cavity), mesh)
    }

    #[track_caller]
    fn refused(tank: &Tank, words: &str) {
        let got = tank.compartments(&self::tank().1).expect_err(words).to_string();
        assert_eq!(got, words, "the words");
    }

    fn lengthwise(at: f64) -> Bulkhead {
        Bulkhead { way: BulkheadDirection::Lengthwise, at }
    }

    fn transverse(at: f64) -> Bulkhead {
        Bulkhead { way: BulkheadDirection::Transverse, at }
    }

    #[test]
    fn bulkheads_of_both_ways_make_compartments_that_add_up() {
        let (mut tank, mesh) = tank();
        let whole = tank.compartments(&mesh).expect("a tank");
        assert!(Arc::ptr_eq(&whole[0], &mesh), "without bulkheads nothing is copied");
        tank.bulkheads = vec![lengthwise(0.05), transverse(0.0), transverse(0.2), lengthwise(0.05)];
        let spaces = tank.compartments(&mesh).expect("good bulkheads");
        let mut volumes: Vec<f64> = spaces.iter().map(|m| m.volume() * 1e6).collect();
        volumes.sort_by(f64::total_cmp);
        let expected = [500.0, 500.0, 1000.0, 1500.0, 1500.0, 3000.0];
        assert_eq!(volumes.len(), expected.len(), "{volumes:?} cm3");
        for (got, expected) in volumes.into_iter().zip(expected) {
            assert!((got - expected).abs() < 1e-9, "{got} cm3 instead of {expected}");
        }
    }

    #[test]
    fn the_mirror_image_has_its_compartments_on_the_other_side() {
        let (mut tank, mesh) = tank();
        tank.bulkheads = vec![lengthwise(0.05), transverse(0.2)];
        tank.vent = Some(Position::new(0.1, 0.03, 0.1));
        let image = tank.mirrored();
        assert_eq!(image.vent, Some(Position::new(0.1, -0.03, 0.1)), "the vent");
        let spaces = tank.compartments(&mesh).expect("good bulkheads");
        let images = image.compartments(&Arc::new(mesh.mirrored())).expect("good bulkheads");
        for space in spaces {
            let there = |m: &Arc<Mesh>| (m.first_moment() - space.mirrored().first_moment()).norm();
            assert!(images.iter().any(|m| there(m) < 1e-15), "none like {:?}", space.bounds());
        }
    }

    #[test]
    fn what_cannot_be_is_refused_in_words() {
        let (plain, _) = tank();
        let with = |bulkhead| Tank { bulkheads: vec![bulkhead], ..plain.clone() };
        refused(
            &with(lengthwise(0.1)),
            "its lengthwise bulkhead at 0.1 m lies outside the cavity (-0.100 to 0.100 m)",
        );
        refused(
            &with(transverse(f64::NAN)),
            "its transverse bulkhead at NaN m lies outside the cavity (-0.100 to 0.300 m)",
        );
        let many = Tank { bulkheads: vec![lengthwise(0.0); 13], ..plain.clone() };
        refused(&many, "it has 13 bulkheads: give at most 12");
        for range in [[0.5, 0.5], [-0.1, 1.0], [0.2, 1.1], [f64::NAN, 1.0]] {
            let tank = Tank { range: Some(range), ..plain.clone() };
            let got = tank.compartments(&self::tank().1);
            assert!(matches!(got, Err(TankError::Range { .. })), "a range of {range:?}: {got:?}");
        }
        let at = Position::new;
        let vent = Some(at(0.1, 0.0, 0.106));
        refused(
            &Tank { vent, ..plain.clone() },
            "its vent lies 6 mm outside the cavity: check its place",
        );
        let flood = Some(at(f64::NAN, 0.0, 0.0));
        refused(&Tank { flood, ..plain.clone() }, "its flood opening's position is not a number");
        let (vent, flood) = (Some(at(0.1, 0.0, 0.02)), Some(at(0.1, 0.0, 0.08)));
        let upside_down = Tank { vent, flood, ..plain };
        refused(
            &upside_down,
            "its vent (at 0.020 m) must lie above its flood opening (0.080 m): swap them, or enter \
             the fill range",
        );
        let typed = Tank { range: Some([0.0, 1.0]), ..upside_down };
        assert!(typed.compartments(&tank().1).is_ok(), "a typed range settles it");
    }

    #[track_caller]
    fn range(tank: &Tank, [low, high]: [f64; 2], what: &str) {
        let got = tank.usable_range(&self::tank().1);
        let off = (got[0] - low).abs().max((got[1] - high).abs());
        assert!(off < 1e-12, "{what}: got {got:?}, expected {low} to {high}");
    }

    #[test]
    fn what_lies_beyond_the_openings_is_not_used() {
        let (mut tank, mesh) = tank();
        range(&tank, [0.0, 1.0], "no openings: all of it");
        tank.vent = Some(Position::new(0.1, 0.0, 0.09));
        tank.flood = Some(Position::new(0.1, 0.0, 0.005));
        range(&tank, [0.05, 0.9], "between the openings");
        tank.vent = Some(Position::new(0.1, 0.0, 0.105));
        tank.flood = Some(Position::new(0.1, 0.0, -0.005));
        assert!(tank.compartments(&mesh).is_ok(), "in the wall of the tank");
        range(&tank, [0.0, 1.0], "openings in the wall: all of it");
        tank.range = Some([0.2, 0.7]);
        range(&tank, [0.2, 0.7], "what was typed wins");
    }
}
