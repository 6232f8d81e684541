//! A lean that was seen, made ready for the search: the boat at its fill, and how far it is from balance there.

use super::lean_seen::LeanSeen;
use crate::float::{Basin, BoatError, FloatModel, NEUTRAL, Tolerance, heave, righting_lever};
use crate::frame::{Pose, up_from_angles};
use nalgebra::Vector2;

/// Lever below which differences are rounding, metres.
const LEAST_LEVER: f64 = 1e-12;

/// A sighting made ready: the boat at its fill, as modelled.
pub(super) struct PreparedSighting {
    pub(super) seen: LeanSeen,
    pub(super) model: FloatModel,
    /// Fills a spread less and a spread more, as far as they can be, with the boat there.
    pub(super) ends: [(f64, FloatModel); 2],
    /// The pose that was seen: the heel, with the height and trim that the model has there.
    pub(super) start: Pose,
    /// Spread of the heel with that of the fill, radians.
    pub(super) spread: f64,
    /// What holds the boat as modelled away from balance at the heel seen.
    pub(super) lever: Lever,
}

/// Lever of weight over buoyancy to port at the heel seen, metres: `at + slope · (offset, height)`
/// with the blown boat's offset and height in metres.
pub(super) struct Lever {
    pub(super) at: f64,
    pub(super) slope: Vector2<f64>,
    /// What the spread of the heel makes of it, metres.
    pub(super) spread: f64,
}

impl PreparedSighting {
    pub(super) fn of(
        filled: &dyn Fn(f64) -> Result<FloatModel, BoatError>,
        basin: Basin,
        seen: LeanSeen,
        blown_mass: f64,
    ) -> Result<Self, BoatError> {
        let model = filled(seen.fill)?;
        let end = |fill: f64| {
            // What cannot be filled so far is left where it is.
            filled(fill).map_or_else(|_| (seen.fill, model.clone()), |model| (fill, model))
        };
        let ends = [
            end((seen.fill - seen.fill_spread).max(0.0)),
            end((seen.fill + seen.fill_spread).min(1.0)),
        ];
        let held = righting_lever(&model, basin, seen.heel, &Tolerance::FINE)?;
        let up = up_from_angles(seen.heel, held.trim);
        let floats = model.residual_mass(basin.density) < -NEUTRAL;
        let start = if floats { heave(&model, basin.density, up) } else { Pose::new(0.0, up) };
        let lever = Lever::of(&model, basin, &seen, blown_mass)?;
        Ok(Self { spread: seen.heel_spread, seen, model, ends, start, lever })
    }
}

impl Lever {
    fn of(
        model: &FloatModel,
        basin: Basin,
        seen: &LeanSeen,
        blown_mass: f64,
    ) -> Result<Self, BoatError> {
        let to_port = |heel: f64| {
            let righting = righting_lever(model, basin, heel, &Tolerance::FINE)?;
            Ok::<f64, BoatError>(if heel < 0.0 { -righting.lever } else { righting.lever })
        };
        let (sine, cosine) = seen.heel.sin_cos();
        // A spread beyond this says nothing of one heel.
        let by = seen.heel_spread.min(0.5);
        let between = to_port(seen.heel + by)? - to_port(seen.heel - by)?;
        Ok(Self {
            at: to_port(seen.heel)?,
            slope: Vector2::new(cosine, -sine) * (blown_mass / model.mass()),
            spread: (between / 2.0).abs().max(LEAST_LEVER),
        })
    }
}
