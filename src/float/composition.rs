//! What the metacentric height of a boat held upright is made of.

use super::balance::{Balance, Support};
use super::equilibrium::{Basin, floats};
use super::liquid::Container;
use super::model::FloatModel;
use super::problem::BoatError;
use crate::frame::Pose;
use crate::geometry::{Cut, level_of_volume};
use nalgebra::{Unit, Vector3};

/// What one tank or space does to the boat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiquidEffect {
    /// Which.
    pub container: Container,
    /// Mass of its liquid, kg; of a space, less what the space displaces outside.
    pub mass: f64,
    /// First moment of that mass, and of the way that its piston has made, kg·m.
    pub moment: Vector3<f64>,
    /// What its surface takes from GM across, metres; of a space, less what its own part of the
    /// waterplane gives.
    pub surface: f64,
}

/// GM across in its terms: `GM = BM + KB − KG − free surfaces`. Masses are in kg, lengths in
/// metres, places in body axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Composition {
    /// Mass with all liquids, trapped water counted by what it is more than the water around it.
    pub mass: f64,
    /// Up, in the boat.
    pub up: Unit<Vector3<f64>>,
    /// BM: ρ I / m of the waterplane without that of spaces.
    pub radius: f64,
    /// Mass that the boat without its spaces displaces.
    pub displaced: f64,
    /// First moment of that mass, kg·m.
    pub displaced_moment: Vector3<f64>,
    /// First moment of all mass, trapped water counted as above, kg·m.
    pub moment: Vector3<f64>,
    /// Tanks and spaces, each once.
    pub liquids: Vec<LiquidEffect>,
    /// What their masses are shared by: the whole mass, trapped water counted in full, kg.
    whole: f64,
    /// Mass over the volume displaced, kg/m³: the water's density, unless the boat is held.
    pub density: f64,
}

impl Composition {
    /// GM across of the whole.
    pub fn gm(&self) -> f64 {
        let surfaces: f64 = self.liquids.iter().map(|h| h.surface).sum();
        let between = self.up.dot(&(self.displaced_moment - self.moment));
        self.radius + between / self.whole - surfaces
    }

    /// Where the weights act together.
    pub fn gravity(&self) -> Vector3<f64> {
        self.moment / self.mass
    }

    /// What a height (metres) of a mass (kg) counts in GM.
    pub fn share(&self, mass_times_height: f64) -> f64 {
        mass_times_height / self.whole
    }
}

/// Takes the GM of a boat apart in a pose that it is balanced in but for its heel, which is held
/// at zero.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive.
pub fn composition(model: &FloatModel, basin: Basin, pose: Pose) -> Result<Composition, BoatError> {
    basin.check()?;
    let support = if floats(model, basin) { Support::Afloat } else { Support::Held };
    let balance = Balance::at(model, basin.density, pose, support);
    let port = pose.axes().port;
    let mut outer = balance.wet;
    let mut liquids = Vec::new();
    for tank in 0..model.n_tanks() {
        liquids.push(liquid_effect(model, Container::Tank(tank), pose, balance.mass));
    }
    // Weight and buoyancy cancel at the density that carries the boat.
    let density = balance.mass / balance.wet.volume;
    for (k, space) in model.spaces().iter().enumerate() {
        let own = match support {
            Support::Afloat => space.cavity.below(pose.up(), pose.height()),
            Support::Held => Cut::whole(&space.cavity),
        } * space.permeability;
        let with = across(&outer, port);
        outer += own * -1.0;
        let gives = (with - across(&outer, port)) * basin.density / balance.mass;
        let mut one = liquid_effect(model, Container::Space(k), pose, balance.mass);
        one.surface -= gives;
        one.mass -= own.volume * density;
        one.moment -= own.first_moment * density;
        liquids.push(one);
    }
    let taken = balance.wet.volume - outer.volume;
    let taken_moment = balance.wet.first_moment - outer.first_moment;
    Ok(Composition {
        mass: balance.mass - taken * density,
        up: pose.up(),
        radius: across(&outer, port) * basin.density / balance.mass,
        displaced: outer.volume * density,
        displaced_moment: outer.first_moment * density,
        moment: balance.weight_moment - taken_moment * density,
        liquids,
        whole: balance.mass,
        density,
    })
}

/// The waterplane's own second moment across, m⁴.
fn across(cut: &Cut, port: Vector3<f64>) -> f64 {
    port.dot(&(cut.waterplane.central_second() * port))
}

fn liquid_effect(model: &FloatModel, container: Container, pose: Pose, whole: f64) -> LiquidEffect {
    let port = pose.axes().port;
    let mut effect = LiquidEffect { container, mass: 0.0, moment: Vector3::zeros(), surface: 0.0 };
    for liquid in model.liquids().iter().filter(|l| l.container == container) {
        effect.mass += liquid.volume * liquid.density;
        if let Some(fixed) = liquid.fixed_moment() {
            effect.moment += fixed;
            continue;
        }
        let cut = level_of_volume(&liquid.cavity, pose.up(), liquid.volume).cut;
        effect.moment += cut.first_moment * liquid.density;
        effect.surface += across(&cut, port) * liquid.density / whole;
    }
    effect
}
