//! How a boat should be in one state: what a plan demands of it there, and what a weight does to that.

use crate::float::{BoatError, FloatModel, stiffness_under};
use crate::frame::{Body, Pose, Position};
use crate::geometry::{Cut, Mesh, Waterplane};
use nalgebra::Vector3;
use std::ops::{Add, Mul, Sub};

/// How the boat should lie.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lies {
    /// At the surface in this pose.
    Afloat(Pose),
    /// Wholly under, level and upright.
    Under,
    /// On its way, held upright: at the surface in about this pose, its height and trim free.
    OnTheWay(Pose),
}

/// Tanks whose fill the plan may choose.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeFill {
    /// What they are called.
    pub name: String,
    /// Each tank by number, with its fill at a share of 0 and at a share of 1.
    pub tanks: Vec<(usize, [f64; 2])>,
    /// The least and the greatest share.
    pub range: [f64; 2],
}

/// What is demanded of a boat in one state.
#[derive(Debug, Clone)]
pub struct PlanState {
    /// What it is called: "afloat", "under".
    pub name: String,
    /// The boat without what the plan puts on, its tanks as they are then, but for those that are free.
    pub boat: FloatModel,
    /// How it should lie.
    pub lies: Lies,
    /// Density of the water, kg/m³.
    pub density: f64,
    /// The tanks whose fill may be chosen.
    pub free: Vec<FreeFill>,
    /// Between what its mass beyond what the water carries may be, kg.
    pub weight: [f64; 2],
    /// The moments that may be left across and along, kg·m; 0 for none, infinite where nothing is demanded.
    pub list_moment: f64,
    /// The same along.
    pub trim_moment: f64,
    /// GM across at least, metres, at the surface.
    pub gm: Option<f64>,
    /// The centre of buoyancy over that of gravity at least, metres, under water.
    pub bg: Option<f64>,
    /// The same less what slack tanks take, across and along.
    pub stiffness: Option<f64>,
}

/// What weights and what they displace do to a boat in a state. Effects add.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Effect {
    /// Mass, kg.
    pub(super) mass: f64,
    /// Mass that the water carries, kg.
    pub(super) carried: f64,
    /// Moment of the mass less that of what the water carries, kg·m, in body axes.
    pub(super) moment: Vector3<f64>,
    /// ρ I of the waterplane less that of slack liquids, across and along, kg·m.
    pub(super) surfaces: [f64; 2],
}

impl Effect {
    pub(super) const NONE: Self =
        Self { mass: 0.0, carried: 0.0, moment: Vector3::new(0.0, 0.0, 0.0), surfaces: [0.0; 2] };
}

impl Add for Effect {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            mass: self.mass + other.mass,
            carried: self.carried + other.carried,
            moment: self.moment + other.moment,
            surfaces: [0, 1].map(|k| self.surfaces[k] + other.surfaces[k]),
        }
    }
}

impl Mul<f64> for Effect {
    type Output = Self;

    fn mul(self, by: f64) -> Self {
        Self {
            mass: self.mass * by,
            carried: self.carried * by,
            moment: self.moment * by,
            surfaces: self.surfaces.map(|s| s * by),
        }
    }
}

impl Sub for Effect {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self + other * -1.0
    }
}

impl PlanState {
    /// The pose that its rows are taken in.
    pub(super) fn pose(&self) -> Pose {
        match self.lies {
            Lies::Afloat(pose) | Lies::OnTheWay(pose) => pose,
            Lies::Under => Pose::upright(0.0),
        }
    }

    /// What of a mesh is under.
    fn wet(&self, mesh: &Mesh) -> Cut {
        match self.lies {
            Lies::Under => Cut::whole(mesh),
            Lies::Afloat(pose) | Lies::OnTheWay(pose) => mesh.below(pose.up(), pose.height()),
        }
    }

    /// A mass (kg) at a place, with what it displaces; of the waterplane only its area's own change is left out, which
    /// [`Self::of_boat`] counts with the whole.
    pub(super) fn of_weight(&self, mass: f64, at: Position<Body>, mesh: Option<&Mesh>) -> Effect {
        let wet = mesh.map_or(Cut::NONE, |mesh| self.wet(mesh));
        self.with_height_free(Effect {
            mass,
            carried: self.density * wet.volume,
            moment: at.vector() * mass - wet.first_moment * self.density,
            surfaces: [0.0; 2],
        })
    }

    /// A boat's own, with its liquids.
    pub(super) fn of_boat(&self, boat: &FloatModel) -> Effect {
        let pose = self.pose();
        let wet = match self.lies {
            Lies::Under => Cut {
                volume: boat.total_volume(),
                first_moment: boat.total_centre().vector() * boat.total_volume(),
                waterplane: Waterplane::NONE,
            },
            Lies::Afloat(_) | Lies::OnTheWay(_) => boat.wet(pose),
        };
        let mass = boat.mass();
        let slack = stiffness_under(boat, Pose::new(0.0, pose.up()));
        let slack = [slack.free_surface_across, slack.free_surface_along];
        let second = wet.waterplane.central_second() * self.density;
        let turns = pose.axes().turns();
        self.with_height_free(Effect {
            mass,
            carried: self.density * wet.volume,
            moment: boat.centre_of_gravity(pose.up()).vector() * mass
                - wet.first_moment * self.density,
            surfaces: [0, 1].map(|k| turns[k].dot(&(second * turns[k])) - slack[k] * mass),
        })
    }

    /// On the way a boat sinks until it is carried: what is added displaces at the surface.
    fn with_height_free(&self, effect: Effect) -> Effect {
        let Lies::OnTheWay(pose) = self.lies else { return effect };
        let sinks = effect.mass - effect.carried;
        let at = pose.up().into_inner() * -pose.height();
        Effect { carried: effect.mass, moment: effect.moment - at * sinks, ..effect }
    }

    /// Its boat with the free tanks at these shares.
    ///
    /// # Errors
    /// [`BoatError`] for a tank that is not there, or a fill outside 0 to 1.
    pub(super) fn filled(&self, shares: &[f64]) -> Result<FloatModel, BoatError> {
        self.filled_of(&self.boat, shares)
    }

    /// The same of another boat with the same tanks.
    ///
    /// # Errors
    /// As [`Self::filled`].
    pub(super) fn filled_of(
        &self,
        boat: &FloatModel,
        shares: &[f64],
    ) -> Result<FloatModel, BoatError> {
        let mut model = boat.clone();
        for (free, share) in self.free.iter().zip(shares) {
            for &(tank, [low, high]) in &free.tanks {
                // Rounding may cost the last digit, and a fill beyond full is refused.
                let fill = (low + share * (high - low)).max(low).min(high);
                model = model.with_fill(tank, fill)?;
            }
        }
        Ok(model)
    }
}
