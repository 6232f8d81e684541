//! A part as its builder describes it in the ledger: a shape, what it is made of or what it
//! weighs, a wall, a coat. From that come the mass, the centre and the water it displaces.

use super::part::{Part, Status};
use crate::frame::{Body, Position};
use crate::geometry::{Fineness, Mesh, OffsetError, Solid, SolidError, offset_with, shell_with};
use crate::pause::{Pause, Work, at_once, pause};
use nalgebra::Vector3;
use std::sync::Arc;

/// A density that is known within a range, kg/m³.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Density {
    /// The usual value.
    pub usual: f64,
    /// The least that is met in the trade.
    pub low: f64,
    /// The greatest.
    pub high: f64,
}

impl Density {
    /// A density without a range.
    pub fn exact(value: f64) -> Self {
        Self { usual: value, low: value, high: value }
    }

    /// One standard deviation: any value of the range is as likely as another.
    ///
    /// Source: JCGM 100:2008 (GUM), 4.3.7: a half-width of a over the root of three.
    pub fn spread(&self) -> f64 {
        (self.high - self.low) / 2.0 / 3.0_f64.sqrt()
    }

    fn is_good(&self) -> bool {
        let all = [self.low, self.usual, self.high];
        all.iter().all(|d| d.is_finite() && *d > 0.0) && all.is_sorted()
    }
}

/// What is inside a hollow part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Inside {
    /// Air: the part displaces all of its outer shape.
    Dry,
    /// Water that comes and goes freely: only the wall displaces.
    Flooded,
}

/// The wall of a hollow part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Thickness, metres, measured inward from the outer shape.
    pub thickness: f64,
    /// What it encloses.
    pub inside: Inside,
}

/// Paint, filler or adhesive on the outside of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coat {
    /// Its density when dry, kg/m³.
    pub density: f64,
    /// Its thickness, metres.
    pub thickness: f64,
    /// The area that it covers, m²; the whole surface if none is given.
    pub area: Option<f64>,
}

/// One part as it stands in the ledger.
#[derive(Debug, Clone, PartialEq)]
pub struct PartEntry {
    /// What the builder calls it.
    pub name: String,
    /// Whether it is aboard.
    pub status: Status,
    /// Its outer shape; none for a mere weight inside something dry.
    pub solid: Option<Solid>,
    /// What the scales say, kg. It wins over everything that is calculated.
    pub weighed: Option<f64>,
    /// Its centre of mass, if known; if none, that of its material.
    pub centre: Option<Position<Body>>,
    /// Density of what it is made of.
    pub material: Option<Density>,
    /// Its wall, if it is hollow.
    pub wall: Option<Wall>,
    /// What covers it.
    pub coat: Option<Coat>,
    /// Whether it displaces, if set; if none, the shapes decide.
    pub displaces: Option<bool>,
}

/// Why an entry makes no part.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum EntryError {
    /// Neither a mass nor a material is given.
    #[error("give its mass, or a shape and a material")]
    NoMass,
    /// A weight without a position.
    #[error("give its centre of mass")]
    NoCentre,
    /// The mass is negative or not a number.
    #[error("its mass of {0} kg must be zero or more")]
    Mass(f64),
    /// A coordinate of the centre is not a number.
    #[error("its centre of mass is not a number")]
    Centre,
    /// The density is not positive, or outside its own range.
    #[error("its density of {0} kg/m3 must be more than zero and within its range")]
    Density(f64),
    /// A wall or a coat is given without a shape.
    #[error("a wall or a coat needs a shape: give it one, or enter the mass alone")]
    NoShape,
    /// The coat's thickness is not positive.
    #[error("the coat thickness of {0} m must be more than zero")]
    CoatThickness(f64),
    /// The coated area is not positive, or more than the whole surface.
    #[error("the coat covers {given} m2, but the part has a surface of {whole} m2")]
    CoatArea {
        /// Area given, m².
        given: f64,
        /// Area of the whole surface, m².
        whole: f64,
    },
    /// The wall does not fit.
    #[error(transparent)]
    Wall(#[from] OffsetError),
    /// The shape is not valid.
    #[error(transparent)]
    Solid(#[from] SolidError),
}

/// A part made from its entry, with the figures that let its builder check it.
#[derive(Debug, Clone, PartialEq)]
pub struct MadePart {
    /// The part.
    pub part: Part,
    /// What it displaces, ready for calculation; none for a mere weight.
    pub mesh: Option<Arc<Mesh>>,
    /// Its outer shape without the coat, for drawing.
    pub outer: Option<Arc<Mesh>>,
    /// Volume of its material without the coat, m³.
    pub material_volume: Option<f64>,
    /// Area of its outer surface, m².
    pub area: Option<f64>,
    /// Density that its mass and the volume of its material imply, kg/m³.
    pub implied_density: Option<f64>,
    /// Spread of the mass due to the density's range, kg (one standard deviation); zero for a
    /// weighed part.
    pub mass_spread: f64,
}

/// The surfaces of a part: slow to make, and independent of its name and mass.
#[derive(Debug, Clone, PartialEq)]
pub struct PartSurfaces {
    outer: Arc<Mesh>,
    /// The wall alone, of a hollow part.
    wall: Option<Arc<Mesh>>,
    displacing: Arc<Mesh>,
    area: f64,
    coat: Option<CoatOn>,
}

impl PartSurfaces {
    /// The same surfaces moved by an offset, metres.
    #[must_use]
    pub fn shifted(&self, by: Vector3<f64>) -> Self {
        let moved = |mesh: &Arc<Mesh>| Arc::new(mesh.shifted(by));
        let outer = moved(&self.outer);
        let wall = self.wall.as_ref().map(moved);
        // What is shared stays shared.
        let is =
            |other: Option<&Arc<Mesh>>| other.is_some_and(|o| Arc::ptr_eq(&self.displacing, o));
        let displacing = match &wall {
            _ if is(Some(&self.outer)) => Arc::clone(&outer),
            Some(wall) if is(self.wall.as_ref()) => Arc::clone(wall),
            _ => moved(&self.displacing),
        };
        let coat = self.coat.map(|coat| CoatOn { centre: coat.centre + by, ..coat });
        Self { outer, wall, displacing, area: self.area, coat }
    }
}

impl PartEntry {
    /// Makes the part: its mass, its centre, and what it displaces.
    ///
    /// # Errors
    /// [`EntryError`] naming what is missing or wrong.
    pub fn made(&self, fineness: Fineness) -> Result<MadePart, EntryError> {
        self.check()?;
        self.weighed_with(self.shaped(fineness)?.as_ref())
    }

    /// Checks the figures without making the part.
    ///
    /// # Errors
    /// [`EntryError`] naming what is missing or wrong.
    pub fn check(&self) -> Result<(), EntryError> {
        if let Some(mass) = self.weighed
            && !(mass >= 0.0 && mass.is_finite())
        {
            return Err(EntryError::Mass(mass));
        }
        if let Some(density) = self.material
            && !density.is_good()
        {
            return Err(EntryError::Density(density.usual));
        }
        if self.centre.is_some_and(|c| !c.is_finite()) {
            return Err(EntryError::Centre);
        }
        if self.weighed.is_none() && (self.material.is_none() || self.solid.is_none()) {
            return Err(EntryError::NoMass);
        }
        match self.solid {
            None if self.wall.is_some() || self.coat.is_some() => Err(EntryError::NoShape),
            None if self.centre.is_none() => Err(EntryError::NoCentre),
            _ => Ok(()),
        }
    }

    /// Makes the part's surfaces: the first, slower half of [`Self::made`]. None for a mere weight.
    /// Parts of equal solid, wall and coat have equal surfaces.
    ///
    /// # Errors
    /// [`EntryError`] when a size, the wall or the coat is wrong.
    pub fn shaped(&self, fineness: Fineness) -> Result<Option<PartSurfaces>, EntryError> {
        at_once(|due| self.shaped_with(fineness, due))
    }

    /// As [`Self::shaped`], with pauses where they are due: a wall in a fine mesh takes a second.
    ///
    /// # Errors
    /// As [`Self::shaped`].
    pub fn shaped_with<'a>(
        &'a self,
        fineness: Fineness,
        due: Pause<'a>,
    ) -> Work<'a, Result<Option<PartSurfaces>, EntryError>> {
        Box::pin(self.surfaces(fineness, due))
    }

    async fn surfaces(
        &self,
        fineness: Fineness,
        due: Pause<'_>,
    ) -> Result<Option<PartSurfaces>, EntryError> {
        let Some(solid) = &self.solid else { return Ok(None) };
        let outer = solid.mesh(fineness)?;
        pause(due).await;
        let wall = match self.wall {
            Some(wall) => Some(Arc::new(shell_with(&outer, wall.thickness, due).await?)),
            None => None,
        };
        let area = outer.surface_area();
        pause(due).await;
        let coat = self.coat.map(|c| CoatOn::of(c, &outer, area)).transpose()?;
        pause(due).await;
        let displacing = self.displacing(&outer, wall.as_ref(), coat.as_ref(), due).await?;
        Ok(Some(PartSurfaces { outer, wall, displacing, area, coat }))
    }

    /// Makes the part of surfaces made before: the second half of [`Self::made`].
    ///
    /// # Errors
    /// [`EntryError`] when a mass or a place is missing or wrong.
    pub fn weighed_with(&self, shaped: Option<&PartSurfaces>) -> Result<MadePart, EntryError> {
        self.check()?;
        match shaped.zip(self.solid.as_ref()) {
            None => self.made_weight(),
            Some((shaped, solid)) => self.made_solid(solid, shaped),
        }
    }

    fn made_weight(&self) -> Result<MadePart, EntryError> {
        let mass = self.weighed.ok_or(EntryError::NoMass)?;
        let centre = self.centre.ok_or(EntryError::NoCentre)?;
        Ok(MadePart {
            part: self.part(mass, centre, None),
            mesh: None,
            outer: None,
            material_volume: None,
            area: None,
            implied_density: None,
            mass_spread: 0.0,
        })
    }

    fn made_solid(&self, solid: &Solid, shaped: &PartSurfaces) -> Result<MadePart, EntryError> {
        let PartSurfaces { outer, wall, displacing, area, coat } = shaped;
        let material = wall.as_ref().unwrap_or(outer);
        let coat_mass = coat.as_ref().map_or(0.0, |c| c.mass);
        let density = self.material.unwrap_or(Density::exact(0.0));
        let mass = match (self.weighed, self.material) {
            (Some(weighed), _) => weighed,
            (None, Some(_)) => density.usual * material.volume() + coat_mass,
            (None, None) => return Err(EntryError::NoMass),
        };
        let centre = self.centre.unwrap_or_else(|| {
            // If only the total is weighed, it is split between material and coat as calculated.
            let known = coat.as_ref().filter(|_| self.material.is_some());
            centroid(material, density.usual, known)
        });
        let plain = Arc::ptr_eq(displacing, outer);
        let shape = if plain { solid.clone() } else { Solid::Mesh(Arc::clone(displacing)) };
        let range = if self.weighed.is_some() { 0.0 } else { density.spread() };
        Ok(MadePart {
            part: self.part(mass, centre, Some(shape)),
            material_volume: Some(material.volume()),
            implied_density: Some((mass - coat_mass).max(0.0) / material.volume()),
            area: Some(*area),
            mass_spread: range * material.volume(),
            mesh: Some(Arc::clone(displacing)),
            outer: Some(Arc::clone(outer)),
        })
    }

    /// What displaces water: the whole outer shape, or only the wall; the coat lies outside.
    async fn displacing(
        &self,
        outer: &Arc<Mesh>,
        wall: Option<&Arc<Mesh>>,
        coat: Option<&CoatOn>,
        due: Pause<'_>,
    ) -> Result<Arc<Mesh>, EntryError> {
        let flooded = self.wall.filter(|w| w.inside == Inside::Flooded);
        let coated = match coat {
            Some(coat) => Some(Arc::new(offset_with(outer, coat.mean_thickness, due).await?)),
            None => None,
        };
        Ok(match (flooded, coated, wall) {
            (Some(w), Some(coated), _) => {
                // The inner surface stays where it was: the wall is thicker by the coat.
                let by = w.thickness + coat.map_or(0.0, |c| c.mean_thickness);
                Arc::new(shell_with(&coated, by, due).await?)
            }
            (Some(_), None, Some(wall)) => Arc::clone(wall),
            (None, Some(coated), _) => coated,
            _ => Arc::clone(outer),
        })
    }

    fn part(&self, mass: f64, centre: Position<Body>, solid: Option<Solid>) -> Part {
        let (name, status, displaces) = (self.name.clone(), self.status, self.displaces);
        Part { name, mass, centre, solid, status, displaces }
    }
}

/// A coat laid on a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
struct CoatOn {
    mass: f64,
    /// The thickness if it were spread over the whole surface, metres.
    mean_thickness: f64,
    /// The middle of the surface.
    centre: Vector3<f64>,
}

impl CoatOn {
    fn of(coat: Coat, outer: &Mesh, whole: f64) -> Result<Self, EntryError> {
        let Coat { density, thickness, area } = coat;
        if !Density::exact(density).is_good() {
            return Err(EntryError::Density(density));
        }
        if !(thickness > 0.0 && thickness.is_finite()) {
            return Err(EntryError::CoatThickness(thickness));
        }
        let given = area.unwrap_or(whole);
        // A measured area may be a little larger than the mesh's.
        if !(given > 0.0 && given <= whole * 1.1) {
            return Err(EntryError::CoatArea { given, whole });
        }
        let mut moment = Vector3::zeros();
        for [a, b, c] in outer.triangles() {
            moment += (a + b + c) / 3.0 * ((b - a).cross(&(c - a)).norm() / 2.0);
        }
        let mean_thickness = thickness * given / whole;
        Ok(Self { mass: density * thickness * given, mean_thickness, centre: moment / whole })
    }
}

fn centroid(material: &Mesh, density: f64, coat: Option<&CoatOn>) -> Position<Body> {
    let Some(coat) = coat else { return material.centroid() };
    let mass = density * material.volume();
    let moment = material.first_moment() * density + coat.centre * coat.mass;
    Position::from_vector(moment / (mass + coat.mass))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block() -> PartEntry {
        PartEntry {
            name: "block".to_owned(),
            status: Status::Fixed,
            solid: Some(Solid::Box {
                size: [0.1, 0.06, 0.04],
                centre: Position::new(0.2, 0.0, 0.05),
            }),
            weighed: None,
            centre: None,
            material: Some(Density { usual: 500.0, low: 440.0, high: 560.0 }),
            wall: None,
            coat: None,
            displaces: None,
        }
    }

    #[track_caller]
    fn close(got: f64, expected: f64, what: &str) {
        assert!((got - expected).abs() < 1e-12, "{what}: {got} instead of {expected}");
    }

    #[test]
    fn a_solid_weighs_its_volume_times_its_density() {
        let made = block().made(Fineness::WORK).expect("a good block");
        close(made.part.mass, 0.1 * 0.06 * 0.04 * 500.0, "mass");
        close(made.part.centre.x(), 0.2, "centre");
        close(made.mass_spread, 0.00024 * 60.0 / 3.0_f64.sqrt(), "spread");
        assert_eq!(made.part.solid, block().solid, "a plain solid stays what it was");
    }

    #[test]
    fn a_weighed_mass_wins_and_shows_its_density() {
        let made = PartEntry { weighed: Some(0.15), ..block() }.made(Fineness::WORK);
        let made = made.expect("a weighed block");
        close(made.part.mass, 0.15, "mass");
        close(made.mass_spread, 0.0, "spread");
        let implied = made.implied_density.expect("it has a volume");
        assert!((implied - 625.0).abs() < 1e-9, "implied density {implied}");
    }

    #[test]
    fn a_flooded_shell_displaces_its_wall_and_a_dry_one_its_whole() {
        let wall = |inside| Some(Wall { thickness: 0.002, inside });
        let of_wall = 0.1 * 0.06 * 0.04 - 0.096 * 0.056 * 0.036;
        for (inside, displaced) in [(Inside::Dry, 0.00024), (Inside::Flooded, of_wall)] {
            let made = PartEntry { wall: wall(inside), ..block() }.made(Fineness::WORK);
            let made = made.expect("a good shell");
            close(made.part.mass, of_wall * 500.0, "mass of the wall");
            close(made.mesh.expect("it displaces").volume(), displaced, "displaced volume");
        }
    }

    #[test]
    fn a_coat_adds_its_mass_and_its_volume() {
        let coat = Coat { density: 1300.0, thickness: 0.0005, area: None };
        let made = PartEntry { coat: Some(coat), ..block() }.made(Fineness::WORK);
        let made = made.expect("a painted block");
        let area = 2.0 * (0.1 * 0.06 + 0.1 * 0.04 + 0.06 * 0.04);
        close(made.part.mass, 0.12 + area * 0.0005 * 1300.0, "mass");
        close(made.mesh.expect("it displaces").volume(), 0.101 * 0.061 * 0.041, "displaced");
        let half = Coat { area: Some(area / 2.0), ..coat };
        let made = PartEntry { coat: Some(half), ..block() }.made(Fineness::WORK);
        close(made.expect("half painted").part.mass, 0.12 + area * 0.00025 * 1300.0, "half");
    }

    #[test]
    fn what_is_missing_or_wrong_is_named() {
        let refused = |entry: PartEntry| entry.made(Fineness::WORK).expect_err("a bad entry");
        assert_eq!(refused(PartEntry { material: None, ..block() }), EntryError::NoMass, "no mass");
        let weight = PartEntry { solid: None, weighed: Some(0.1), ..block() };
        assert_eq!(refused(weight.clone()), EntryError::NoCentre, "a weight nowhere");
        let here = Some(Position::ORIGIN);
        let unknown = PartEntry { weighed: None, centre: here, ..weight };
        assert_eq!(refused(unknown), EntryError::NoMass, "a weight of no mass");
        let negative = refused(PartEntry { weighed: Some(-1.0), ..block() });
        assert_eq!(negative, EntryError::Mass(-1.0), "a mass below zero");
        let thick = Some(Wall { thickness: 0.03, inside: Inside::Dry });
        let got = refused(PartEntry { wall: thick, ..block() });
        assert!(matches!(got, EntryError::Wall(_)), "a wall thicker than the part: {got:?}");
        let coat = Some(Coat { density: 1300.0, thickness: 0.001, area: Some(1.0) });
        let got = refused(PartEntry { coat, ..block() });
        assert!(matches!(got, EntryError::CoatArea { .. }), "a coat on air: {got:?}");
    }
}
