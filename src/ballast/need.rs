//! What the boat as found lacks to lie as it should: mass and moments, with their covariance.

use super::target::Target;
use crate::fit::{Fit, Unknown};
use crate::float::BoatError;
use crate::frame::Pose;
use nalgebra::{Matrix3, Matrix3x5, Vector3};

/// Mass and moments to add, as if by weights that displace nothing; negative to take off.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Need {
    /// Mass to add, kg.
    pub mass: f64,
    /// Moments to add along x and y, kg·m, about the line through `centre`.
    pub moment: [f64; 2],
    /// Where mass can be added without trimming or heeling the boat: x and y, metres.
    pub centre: [f64; 2],
    /// Mass that the boat should have in all, kg.
    pub target_mass: f64,
    /// Covariance of mass and the two moments, in that order, SI.
    pub covariance: Matrix3<f64>,
    /// The same for a perfect model: what the figures' own spreads leave open.
    pub of_reading: Matrix3<f64>,
    /// Which of mass and the two moments the reading tells.
    pub told: [bool; 3],
}

impl Need {
    /// What the boat needs to lie at the target, in water of `density` kg/m³, with its weight
    /// added at height `z` (metres).
    ///
    /// # Errors
    /// [`BoatError`] for a water density that is not positive.
    pub fn of(fit: &Fit, target: Target, density: f64, z: f64) -> Result<Self, BoatError> {
        let pose = target.pose().unwrap_or(Pose::upright(0.0));
        let (found, volume, first_moment, mass) = match target {
            Target::AtTheMarks(pose) => {
                let wet = fit.found.wet(pose);
                let lacking = density * wet.volume - fit.found.mass();
                (fit.found.clone(), wet.volume, wet.first_moment, lacking)
            }
            Target::Under(aim) => {
                let fill = aim.fill_of(&fit.found, density, fit.residual_spread(density))?;
                let diving = fit.found.flooded(fill.share.value, density)?;
                let (volume, centre) = (diving.total_volume(), diving.total_centre().vector());
                (diving, volume, centre * volume, fill.lacking)
            }
        };
        let mass_now = found.mass();
        let gravity = found.centre_of_gravity(pose.up()).vector();
        let target_mass = mass_now + mass;
        let buoyancy = if volume > 0.0 { first_moment / volume } else { gravity };
        // The centre of gravity must come to lie on the vertical through that of buoyancy.
        let up = pose.up();
        let height = if target_mass > 0.0 {
            (mass_now * gravity.z + mass * z) / target_mass
        } else {
            gravity.z
        };
        let lean = Vector3::new(up.x / up.z, up.y / up.z, 0.0);
        let line = buoyancy + lean * (height - buoyancy.z);
        let moment = [mass_now * (line.x - gravity.x), mass_now * (line.y - gravity.y)];
        // By the boat's errors: mass sits at the centre of gravity of the boat without liquids, and what it
        // displaces more lies where its buoyancy acts.
        let bare = found.bare();
        #[rustfmt::skip]
        let by_error = Matrix3x5::new(
            -1.0, 0.0, 0.0, 0.0, density * found.described_volume(target.pose()),
            line.x - bare.centre.x, -bare.mass, 0.0, 0.0, 0.0,
            line.y - bare.centre.y, 0.0, -bare.mass, 0.0, 0.0,
        );
        Ok(Self {
            mass,
            moment,
            centre: [line.x, line.y],
            target_mass,
            covariance: by_error * fit.covariance * by_error.transpose(),
            of_reading: by_error * fit.of_reading * by_error.transpose(),
            told: Unknown::ALL.map(|unknown| !fit.untold.contains(&unknown)),
        })
    }

    /// The same without what the reading does not tell: nothing is done about what is only
    /// assumed.
    #[must_use]
    pub fn told_part(self) -> Self {
        let [mass, along, across] = self.told;
        let kept = |told: bool, value: f64| if told { value } else { 0.0 };
        Self {
            mass: kept(mass, self.mass),
            moment: [kept(along, self.moment[0]), kept(across, self.moment[1])],
            ..self
        }
    }

    /// Which of mass and the two moments need correcting: those that are told, may well be more than is
    /// `allowed` (kg, kg·m) with what the figures' own spreads leave open, and are more than twice that.
    pub fn matters(&self, allowed: [f64; 3]) -> [bool; 3] {
        let [along, across] = self.moment;
        let needs = [self.mass, along, across];
        std::array::from_fn(|k| {
            let open = self.of_reading[(k, k)].max(0.0).sqrt();
            self.told[k] && needs[k].abs() > (2.0 * open).max(allowed[k] - open)
        })
    }

    /// The same without moments that are smaller than their own ±.
    #[must_use]
    pub fn without_noise(self) -> Self {
        let heard = |k: usize| {
            let moment = self.moment[k];
            if moment.abs() > self.of_reading[(k + 1, k + 1)].max(0.0).sqrt() {
                moment
            } else {
                0.0
            }
        };
        Self { moment: [heard(0), heard(1)], ..self }
    }

    /// Spread of one of the three figures.
    pub fn spread(&self, which: usize) -> f64 {
        self.covariance.get((which, which)).map_or(f64::NAN, |v| v.max(0.0).sqrt())
    }
}
