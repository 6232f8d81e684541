//! Where the search for a boat's errors begins.
//!
//! In the pose that was seen, balance is linear in the boat's mass, its moment and what it displaces, whether
//! that pose is stable or not. So the errors with which it is best in balance there are found at once, and no
//! bend of the way, as near a loll, leads them astray.

use super::figures::StateFigures;
use super::known::{Errors, KnownErrors};
use super::sighting::{DrySighting, Sighting, WetSighting};
use crate::float::{BoatErrors, UncertainWeight, imbalance};
use crate::reading::Seen;
use nalgebra::{SVector, Vector3};

/// Stiffness below which an angle is not taken to tell a lever, metres.
const LEAST_STIFFNESS: f64 = 2e-3;

/// One linear equation: `slopes · (mass, moment, share) + off = 0`, with its spread; the three are what the boat has
/// more than it is tried with.
pub(super) struct Balance {
    pub(super) slopes: Errors,
    pub(super) off: f64,
    pub(super) spread: f64,
    /// The spread of the heel and the stiffness in it, of the equation for the heel.
    pub(super) heel: Option<[f64; 2]>,
}

/// The errors with which the boat, `bare` as described, is best in balance as it was seen; its height as far off as
/// `height` says (m), if it is given. None where that cannot be.
pub(super) fn balanced(
    sightings: &[Sighting],
    bare: UncertainWeight,
    known: &KnownErrors,
    height: Option<f64>,
) -> Option<Errors> {
    let unit = known.spreads();
    let information = known.information()?;
    let mut normal = information;
    let mut right = information * known.errors.component_div(&unit);
    let mut add = |slopes: &Errors, off: f64, spread: f64| {
        if spread > 0.0 && spread.is_finite() {
            let row = in_units(bare, &unit, slopes) / spread;
            normal += row * row.transpose();
            right -= row * (off / spread);
        }
    };
    for sighting in sightings {
        let equations = match sighting {
            Sighting::Wet(wet) => wet.balances(&Errors::zeros())?,
            Sighting::Dry(dry) => dry.balances(),
        };
        for Balance { slopes, off, spread, .. } in equations {
            add(&slopes, off, spread);
        }
    }
    if let Some(height) = height {
        let firmly = 1e-3 * unit[3] * bare.mass;
        let mut slopes = Errors::zeros();
        slopes[3] = 1.0;
        slopes[0] = -bare.centre.z;
        add(&slopes, -height * bare.mass, firmly);
    }
    let found = normal.cholesky()?.solve(&right).component_mul(&unit);
    // From moments to the offset, exactly.
    let moments = as_moments(bare, found);
    let moment = moments.fixed_rows::<3>(1).into_owned();
    let errors = Errors::from(BoatErrors::of_moment(bare, found[0], moment, found[4]));
    errors.iter().all(|e| e.is_finite()).then_some(errors)
}

/// Errors as mass, moment and share, first order: moment = mass error · centre + mass · offset.
fn as_moments(bare: UncertainWeight, error: Errors) -> Errors {
    let moment = bare.centre * error[0] + error.fixed_rows::<3>(1) * bare.mass;
    Errors::from([error[0], moment.x, moment.y, moment.z, error[4]])
}

/// Slopes by mass, moment and share, as those by the errors in their units.
pub(super) fn in_units(bare: UncertainWeight, unit: &Errors, slopes: &Errors) -> Errors {
    Errors::from_fn(|k, _| {
        let mut one = Errors::zeros();
        one[k] = unit[k];
        slopes.dot(&as_moments(bare, one))
    })
}

impl WetSighting {
    /// The equations of balance in the pose that was seen, of the boat with some errors.
    pub(super) fn balances(&self, errors: &Errors) -> Option<Vec<Balance>> {
        let laden = self.laden(self.model.with_errors(&(*errors).into()).ok()?)?;
        let (pose, height_spread) = self.seen_pose(&laden);
        let density = self.reading.water_density;
        let off = imbalance(&laden, density, pose, self.is_under());
        let carried = off.carried;
        let least = LEAST_STIFFNESS * laden.mass();
        let mut all = Vec::new();
        let angles = self.seen_angles();
        for (k, seen) in angles.iter().enumerate() {
            let Some(spread) = seen.spread else { continue };
            let turn = off.turns[k];
            let under = self.is_under();
            // Held, weight acts against the buoyancy's place.
            let centre = if under { laden.total_centre().vector() } else { Vector3::zeros() };
            let by_mass = -centre.dot(&turn);
            let by_share = (carried.moment - centre * carried.mass).dot(&turn);
            all.push(Balance {
                slopes: SVector::from([by_mass, turn.x, turn.y, turn.z, by_share]),
                off: off.moment[k],
                spread: spread * off.stiffness[k + 1].abs().max(least),
                heel: (k == 0).then_some([spread, off.stiffness[1]]),
            });
        }
        let weight = Errors::from([1.0, 0.0, 0.0, 0.0, carried.mass]);
        if let Some(spread) = height_spread {
            let spread = spread * off.stiffness[0];
            all.push(Balance { slopes: weight, off: off.mass, spread, heel: None });
        }
        let residual = laden.residual_mass(density);
        for observation in &self.reading.observations {
            if let Seen::Residual(seen) = observation.seen {
                let spread = observation.spread;
                all.push(Balance { slopes: weight, off: residual - seen, spread, heel: None });
            }
        }
        Some(all)
    }
}

impl DrySighting {
    /// As seen from the described boat: the figures are nearly linear.
    pub(super) fn balances(&self) -> Vec<Balance> {
        let here = self.figures_at(&Errors::zeros());
        let StateFigures { off, slopes, .. } = &here;
        let spreads = self.mass.iter().chain(&self.balance).map(|seen| seen.spread);
        let rows = spreads.zip(off.iter()).enumerate();
        rows.map(|(k, (spread, off))| {
            let (by_mass, by_place) = (slopes[(k, 0)], slopes[(k, 1)] / self.boat.mass);
            let mass = by_mass - by_place * self.boat.centre.x;
            let slopes = Errors::from([mass, by_place, 0.0, 0.0, 0.0]);
            Balance { slopes, off: *off, spread, heel: None }
        })
        .collect()
    }
}
