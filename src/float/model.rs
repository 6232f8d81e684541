//! A boat made ready for calculation: solids meshed once, fixed weights summed.

use super::boat_errors::UncertainWeight;
use super::liquid::{Container, Liquid, LiquidBehaviour, Surfaces, weights};
use super::problem::{BoatError, PartProblem};
use crate::boat::{Boat, Nesting, Space};
use crate::frame::{Body, Pose, Position};
use crate::geometry::{Bounds, Cut, Fineness, Mesh, Solid};
use nalgebra::{Matrix3, Unit, Vector3};
use std::sync::Arc;

/// A boat made ready for calculation. Clones share their meshes and are cheap.
#[derive(Debug, Clone)]
pub struct FloatModel {
    pub(super) solids: Arc<[Arc<Mesh>]>,
    /// What lies on the boat besides and displaces as described, with its sign and share: what was taken out of a
    /// part displaces less than nothing.
    pub(super) pieces: Vec<(Arc<Mesh>, f64)>,
    /// What the solids displace as a share of what they are described to, beyond what is `told`.
    pub(super) displaces: f64,
    /// What they displace whatever their shape: nothing, unless that is how the boat was described.
    pub(super) told: Cut,
    pub(super) bounds: Bounds,
    pub(super) solid_volume: f64,
    pub(super) solid_moment: Vector3<f64>,
    pub(super) weight: f64,
    pub(super) weight_moment: Vector3<f64>,
    pub(super) liquids: Vec<Liquid>,
    /// Spaces whose water level differs from that outside; others have no effect.
    spaces: Arc<[Space]>,
    /// The least and the most fill of each tank.
    ranges: Arc<[[f64; 2]]>,
    nesting: Arc<Nesting>,
}

impl FloatModel {
    /// Checks the boat and prepares it; only parts that are aboard count.
    ///
    /// # Errors
    /// [`BoatError`] naming the part, and what to do.
    pub fn new(boat: &Boat, fineness: Fineness) -> Result<Self, BoatError> {
        Self::made(boat, fineness, None)
    }

    /// The same for a boat that differs from that of this model: which solids lie inside others is
    /// not measured again where both are the same ones.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn renewed(&self, boat: &Boat, fineness: Fineness) -> Result<Self, BoatError> {
        Self::made(boat, fineness, Some(&self.nesting))
    }

    fn made(boat: &Boat, fineness: Fineness, before: Option<&Nesting>) -> Result<Self, BoatError> {
        let mut shapes = Vec::new();
        let mut weight = 0.0;
        let mut weight_moment = Vector3::zeros();
        let mut weigh = |mass: f64, centre: Position<Body>| {
            check_weight(mass, centre)?;
            weight += mass;
            weight_moment += centre.vector() * mass;
            Ok::<(), PartProblem>(())
        };
        for part in &boat.parts {
            let named = |problem: PartProblem| BoatError::Part { name: part.name.clone(), problem };
            let mut shape = None;
            if part.status.is_aboard() {
                weigh(part.mass, part.centre).map_err(named)?;
                let mesh = |solid: &Solid| solid.mesh(fineness);
                shape = part.solid.as_ref().map(mesh).transpose().map_err(|e| named(e.into()))?;
            }
            shapes.push(shape);
        }
        let (mut liquids, mut ranges, mut cavities) = (Vec::new(), Vec::new(), Vec::new());
        for tank in &boat.tanks {
            let named = |problem: PartProblem| BoatError::Part { name: tank.name.clone(), problem };
            weigh(tank.empty_mass(), tank.empty_centre()).map_err(named)?;
            let cavity = tank.cavity.mesh(fineness).map_err(|e| named(e.into()))?;
            liquids.extend(Liquid::all(ranges.len(), tank, &cavity).map_err(named)?);
            ranges.push(tank.usable_range(&cavity));
            cavities.push(cavity);
        }
        let nesting = Nesting::of(boat, shapes, &cavities, before);
        let solids: Vec<_> = nesting.displacing().cloned().collect();
        let bounds =
            solids.iter().map(|s| s.bounds()).reduce(Bounds::joined).ok_or(BoatError::NoVolume)?;
        let model = Self {
            bounds,
            solid_volume: solids.iter().map(|s| s.volume()).sum(),
            solid_moment: solids.iter().map(|s| s.first_moment()).sum(),
            solids: solids.into(),
            pieces: Vec::new(),
            displaces: 1.0,
            told: Cut::NONE,
            weight,
            weight_moment,
            liquids,
            spaces: Arc::default(),
            ranges: ranges.into(),
            nesting: nesting.into(),
        };
        model.checked()
    }

    /// The same boat with one tank (all its compartments) filled to a share of its capacity.
    ///
    /// # Errors
    /// [`BoatError::NoTank`], or a fill outside 0 to 1.
    pub fn with_fill(&self, tank: usize, fill: f64) -> Result<Self, BoatError> {
        let mut model = self.clone();
        model.fill(tank, fill)?;
        Ok(model)
    }

    pub(super) fn fill(&mut self, tank: usize, fill: f64) -> Result<(), BoatError> {
        if tank >= self.ranges.len() {
            return Err(BoatError::NoTank(tank));
        }
        if !(0.0..=1.0).contains(&fill) {
            let name = format!("tank {}", tank + 1);
            return Err(BoatError::Part { name, problem: PartProblem::Fill(fill) });
        }
        for liquid in self.liquids.iter_mut().filter(|l| l.container == Container::Tank(tank)) {
            liquid.volume = fill * liquid.cavity.volume();
        }
        Ok(())
    }

    /// The same boat with all tanks between blown (0) and full (1): the same share of what each
    /// of them can take ([`Tank::usable_range`]), of the water of this density (kg/m³) that the
    /// boat lies in.
    ///
    /// # Errors
    /// A share outside 0 to 1, or [`BoatError::WaterDensity`].
    pub fn flooded(&self, share: f64, density: f64) -> Result<Self, BoatError> {
        let mut model = self.in_water(density)?;
        for (tank, [least, most]) in self.ranges.iter().enumerate() {
            // Outside 0 to 1 the share is refused as it is, whatever the range.
            let inside = (0.0..=1.0).contains(&share);
            model.fill(tank, if inside { least + share * (most - least) } else { share })?;
        }
        Ok(model)
    }

    /// The same boat with its tanks' liquid that of the water it lies in, of this density (kg/m³).
    pub(super) fn in_water(&self, density: f64) -> Result<Self, BoatError> {
        if !(density > 0.0 && density.is_finite()) {
            return Err(BoatError::WaterDensity(density));
        }
        let mut model = self.clone();
        for liquid in &mut model.liquids {
            liquid.density = density;
        }
        Ok(model)
    }

    /// Capacity of a tank, m³; none if there is no such tank.
    pub fn capacity(&self, tank: usize) -> f64 {
        let own = self.liquids.iter().filter(|l| l.container == Container::Tank(tank));
        own.map(|l| l.cavity.volume()).sum()
    }

    /// The least and the most share of a tank's capacity that can be liquid, if there is a tank of
    /// that number; see [`Tank::usable_range`].
    pub fn usable_range(&self, tank: usize) -> Option<[f64; 2]> {
        self.ranges.get(tank).copied()
    }

    /// What all tanks together take from blown to full, m³.
    pub fn usable_volume(&self) -> f64 {
        let of = |(tank, [least, most]): (usize, &[f64; 2])| (most - least) * self.capacity(tank);
        self.ranges.iter().enumerate().map(of).sum()
    }

    /// The same boat with water trapped in free-flooding spaces: so much of each cavity (m³) lies
    /// below the level inside, and the water outside has this density (kg/m³). A space whose level
    /// inside is that outside changes nothing; see [`Space`].
    #[must_use]
    pub fn with_trapped(&self, spaces: &Arc<[Space]>, volumes: &[f64], density: f64) -> Self {
        let mut model = self.clone();
        model.spaces = Arc::clone(spaces);
        for (k, (space, volume)) in spaces.iter().zip(volumes).enumerate() {
            let Space { cavity, permeability, .. } = space;
            model.bounds = model.bounds.joined(cavity.bounds());
            model.solid_volume += cavity.volume() * permeability;
            model.solid_moment += cavity.first_moment() * *permeability;
            model.liquids.push(Liquid {
                container: Container::Space(k),
                cavity: Arc::clone(cavity),
                volume: volume.clamp(0.0, cavity.volume()),
                density: density * permeability,
                near: None,
                lies: LiquidBehaviour::Level,
            });
        }
        model
    }

    /// The boat without any liquid.
    pub fn bare(&self) -> UncertainWeight {
        UncertainWeight { mass: self.weight, centre: self.weight_moment / self.weight }
    }

    /// What of the boat's own solids answers to [`BoatErrors::displaces`] wholly under, as they are described.
    pub(super) fn described(&self) -> Cut {
        let mut sum = self.told * -1.0;
        for solid in self.solids.iter() {
            sum += Cut::whole(solid);
        }
        sum
    }

    /// Mass with all liquids, kilograms.
    pub fn mass(&self) -> f64 {
        self.weight + self.liquids.iter().map(|l| l.volume * l.density).sum::<f64>()
    }

    /// Centre of gravity with all liquids at their level for a given "up".
    pub fn centre_of_gravity(&self, up: Unit<Vector3<f64>>) -> Position<Body> {
        let (moment, _) = self.weights(up, &mut self.surfaces());
        Position::from_vector(moment / self.mass())
    }

    /// The moment of all weights (kg·m) with each liquid at its level, and what the slack liquids take from the
    /// stiffness (kg·m).
    pub(super) fn weights(
        &self,
        up: Unit<Vector3<f64>>,
        surfaces: &mut Surfaces,
    ) -> (Vector3<f64>, Matrix3<f64>) {
        weights(self.weight_moment, &self.liquids, up, surfaces)
    }

    /// What of the boat lies below the surface in a pose.
    pub fn wet(&self, pose: Pose) -> Cut {
        self.wet_by(pose).0
    }

    /// The same, and what of that answers to [`super::BoatErrors::displaces`], as it is described.
    pub(super) fn wet_by(&self, pose: Pose) -> (Cut, Cut) {
        let described = self.described_wet(pose);
        let mut sum = self.told;
        sum += described * self.displaces;
        for (piece, share) in &self.pieces {
            sum += piece.below(pose.up(), pose.height()) * *share;
        }
        for space in self.spaces.iter() {
            sum += space.cavity.below(pose.up(), pose.height()) * space.permeability;
        }
        (sum, described)
    }

    /// Volume that answers to [`super::BoatErrors::displaces`], m³: wholly under, or in a pose.
    pub fn described_volume(&self, pose: Option<Pose>) -> f64 {
        pose.map_or_else(|| self.described(), |pose| self.described_wet(pose)).volume
    }

    /// The same in a pose, of what lies below the surface.
    pub fn described_wet(&self, pose: Pose) -> Cut {
        let mut sum = self.below(pose);
        sum += self.told * -1.0;
        sum
    }

    /// True for a boat of assumed shape: it is described by what it displaces in a pose ([`Self::told_in`]).
    pub fn is_of_assumed_shape(&self) -> bool {
        self.told.volume > 0.0
    }

    pub(super) fn below(&self, pose: Pose) -> Cut {
        let mut sum = Cut::NONE;
        for solid in self.solids.iter() {
            sum += solid.below(pose.up(), pose.height());
        }
        sum
    }

    /// Volume displaced when wholly under, m³.
    pub fn total_volume(&self) -> f64 {
        self.solid_volume
    }

    /// The centre of buoyancy when wholly under.
    pub fn total_centre(&self) -> Position<Body> {
        Position::from_vector(self.solid_moment / self.solid_volume)
    }

    /// The box around everything that displaces water.
    pub fn bounds(&self) -> Bounds {
        self.bounds
    }

    /// Mass beyond what the water carries with the boat wholly under, kg; positive is heavy.
    pub fn residual_mass(&self, water_density: f64) -> f64 {
        self.mass() - water_density * self.solid_volume
    }

    /// A length that scales the boat, metres: the cube root of its volume.
    pub(super) fn scale(&self) -> f64 {
        self.solid_volume.cbrt()
    }

    /// Which parts and tanks of the boat that it was made from displace.
    pub fn nesting(&self) -> &Nesting {
        &self.nesting
    }

    /// The solids that displace water, in the order of the boat's parts and then tanks; see [`Self::nesting`].
    pub fn solids(&self) -> &[Arc<Mesh>] {
        &self.solids
    }

    /// Points near each liquid's surface, as far as they are known.
    pub(super) fn surfaces(&self) -> Surfaces {
        self.liquids.iter().map(|liquid| liquid.near).collect()
    }

    /// The same boat, which finds its liquids' levels faster by starting from those of a slightly
    /// different one.
    #[must_use]
    pub(super) fn near(mut self, surfaces: &[Option<Vector3<f64>>]) -> Self {
        for (liquid, surface) in self.liquids.iter_mut().zip(surfaces) {
            liquid.near = *surface;
        }
        self
    }

    pub(super) fn liquids(&self) -> &[Liquid] {
        &self.liquids
    }

    /// The spaces with water trapped in them.
    pub(super) fn spaces(&self) -> &[Space] {
        &self.spaces
    }

    /// The number of tanks.
    pub fn n_tanks(&self) -> usize {
        self.ranges.len()
    }

    pub(super) fn checked(self) -> Result<Self, BoatError> {
        if !(self.weight > 0.0 && self.weight.is_finite()) {
            return Err(BoatError::NoMass(self.weight));
        }
        if !(self.solid_volume > 0.0 && self.solid_volume.is_finite()) {
            return Err(BoatError::NoVolume);
        }
        if self.weight_moment.iter().any(|m| !m.is_finite()) {
            return Err(BoatError::Moment);
        }
        Ok(self)
    }
}

fn check_weight(mass: f64, centre: Position<Body>) -> Result<(), PartProblem> {
    if !(mass >= 0.0 && mass.is_finite()) {
        return Err(PartProblem::Mass(mass));
    }
    if centre.is_finite() { Ok(()) } else { Err(PartProblem::Place) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::Part;
    use crate::geometry::Solid;

    fn block(mass: f64, height: f64) -> Part {
        let solid = Solid::Box { size: [1.0, 0.2, height], centre: Position::ORIGIN };
        Part::solid("block", mass, Position::ORIGIN, solid)
    }

    fn refused(parts: Vec<Part>) -> BoatError {
        let boat = Boat { parts, ..Boat::default() };
        FloatModel::new(&boat, Fineness::WORK).expect_err("a boat that cannot be")
    }

    #[test]
    fn a_boat_that_cannot_be_is_refused_with_the_part_and_the_reason() {
        assert_eq!(refused(Vec::new()), BoatError::NoVolume, "an empty list");
        let weight = Part::weight("lead", 1.0, Position::ORIGIN);
        assert_eq!(refused(vec![weight]), BoatError::NoVolume, "a weight alone");
        assert_eq!(refused(vec![block(0.0, 0.2)]), BoatError::NoMass(0.0), "weightless");
        let negative = refused(vec![block(-1.0, 0.2)]);
        assert_eq!(negative.to_string(), "block: its mass of -1 kg must be zero or more", "mass");
        let flat = refused(vec![block(1.0, 0.0)]);
        assert_eq!(flat.to_string(), "block: the height is 0 m: it must be more than zero", "size");
        let nowhere = Part::weight("lead", 1.0, Position::new(f64::NAN, 0.0, 0.0));
        let got = refused(vec![block(1.0, 0.2), nowhere]);
        assert!(got.to_string().starts_with("lead: its centre of mass"), "{got}");
    }

    #[test]
    fn a_moment_moves_the_centre_of_gravity_and_weighs_nothing() {
        let boat = Boat { parts: vec![block(2.0, 0.2)], ..Boat::default() };
        let model = FloatModel::new(&boat, Fineness::WORK).expect("a good boat");
        let moved = model.with_moment(Vector3::new(0.0, 0.002, -0.004)).expect("a moment");
        let centre = moved.centre_of_gravity(Vector3::z_axis());
        let off = (centre.vector() - Vector3::new(0.0, 0.001, -0.002)).norm();
        assert!(off < 1e-15, "centre of gravity {centre:?}");
        assert!((moved.mass() - 2.0).abs() < 1e-15, "mass {}", moved.mass());
        for wrong in [f64::NAN, f64::INFINITY] {
            let got = model.with_moment(Vector3::new(0.0, wrong, 0.0)).expect_err("no moment");
            assert_eq!(got, BoatError::Moment, "a moment of {wrong}");
        }
    }
}
