//! From leans seen on the way down or up to how far the boat's centre of gravity is off, across
//! and in height.
//!
//! One reading at rest tells nothing of the height. Partly full tanks take stability away, and how
//! far the boat leans then tells offset and height together; two leans at different fills part them.

use super::back_solve::contradiction;
use super::estimate::Estimate;
use super::found::Contradiction;
use super::lean_seen::LeanSeen;
use super::model_spread::ModelSpread;
use super::sighting::PreparedSighting;
use super::way_search::{Search, TriedBoat};
use crate::float::{Basin, BoatError, FloatModel};
use crate::frame::Pose;
use crate::pause::{Pause, Work, at_once, pause};
use crate::unit::DEGREE;
use nalgebra::{Matrix2, Vector2, Vector3};
use std::f64::consts::FRAC_PI_2;

/// How far off centre such boats are built, as a share of the beam: common practice, no source.
const OFFSET_SPREAD: f64 = 0.05;
/// Unknowns that the sightings have to tell, as [`contradiction`] counts: the height has a prior.
const N_UNKNOWN: usize = 2;

/// Why leans give no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WayFitError {
    /// No lean was given.
    #[error("no lean noted yet: note one (upright counts) with the tank fill")]
    NothingSeen,
    /// A fill is outside 0 to 1.
    #[error("sighting {}: fill {fill} must be from 0 (blown) to 1 (full)", which + 1)]
    Fill {
        /// The sighting, from 0.
        which: usize,
        /// Its fill.
        fill: f64,
    },
    /// A heel is not a number or beyond a right angle.
    #[error(
        "sighting {}: lean {:.0}\u{b0} must be from 90\u{b0} to port to 90\u{b0} to starboard",
        which + 1, heel / DEGREE
    )]
    Heel {
        /// The sighting, from 0.
        which: usize,
        /// Its heel, radians.
        heel: f64,
    },
    /// The spread of a heel is not above zero, or that of a fill below zero or above one.
    #[error(
        "sighting {}: \u{b1} {spread}: a lean's \u{b1} must be more than zero, a fill's from 0 to 1",
        which + 1
    )]
    Spread {
        /// The sighting, from 0.
        which: usize,
        /// The spread.
        spread: f64,
    },
    /// The spread of the model's height is not positive, or larger than the boat.
    #[error(
        "the ± of the model's KG, {spread} m, must be more than zero and less than the boat's size, {size} m"
    )]
    HeightSpread {
        /// The spread, metres.
        spread: f64,
        /// The boat's size, metres.
        size: f64,
    },
    /// The boat cannot be calculated.
    #[error(transparent)]
    Boat(#[from] BoatError),
    /// No errors of this boat make it lean as it was seen.
    #[error("these leans do not fit this boat: check the leans, their sides and the fills")]
    NoFit,
}

/// What the leans tell of a boat.
#[derive(Debug, Clone, PartialEq)]
pub struct WayFit {
    /// How far the blown boat's centre of gravity lies to port of the model's, metres.
    pub offset: Estimate,
    /// How far it lies above the model's, metres.
    pub height: Estimate,
    /// Covariance of offset and height, in that order, m².
    pub covariance: Matrix2<f64>,
    /// Spreads of offset and height before anything was seen, metres: a figure whose spread is
    /// still about as wide was not told by the sightings.
    pub before: Vector2<f64>,
    /// What the two come to at any fill, kg·m, for [`FloatModel::with_moment`].
    pub moment: Vector3<f64>,
    /// Heel of the boat as it was found, at each sighting's fill, on the side that was seen, radians.
    pub heels: Vec<f64>,
    /// How far each of them is from what was seen, in its own spread (that of the fill included).
    pub misfits: Vec<f64>,
    /// What does not fit, if something does not: `worst` is the place in the list of the sighting
    /// without which the others agree best, `off` how far it is from what they say, in its spread.
    pub contradiction: Option<Contradiction>,
}

/// Works back from leans seen at known fills to the offset and the height of the blown boat's
/// centre of gravity. `filled` gives the model at a fill (0 blown, 1 full); where that does not
/// float, the boat hangs. The moment of the errors is the same at every fill.
///
/// Nonlinear least squares of every heel over its spread, with the model as prior: `spread` for the
/// height, a twentieth of the beam for the offset. The spread of a heel takes in what the spread
/// of the fill does to it. The boat is looked for on the side on which it was seen; where it could
/// as well lie on the other, that says nothing. Covariance `(JᵀJ + P⁻¹)⁻¹`, after JCGM 100:2008
/// (GUM) section 5, widened where the sum of squares is flatter than that.
///
/// # Errors
/// [`WayFitError`] when a sighting or the boat cannot be used, or nothing fits.
pub fn fit_on_the_way(
    filled: &dyn Fn(f64) -> Result<FloatModel, BoatError>,
    basin: Basin,
    seen: &[LeanSeen],
    spread: ModelSpread,
) -> Result<WayFit, WayFitError> {
    at_once(|due| fit_on_the_way_with(filled, basin, seen, spread, due))
}

/// As [`fit_on_the_way`], with pauses where they are due.
///
/// # Errors
/// As [`fit_on_the_way`].
pub fn fit_on_the_way_with<'a>(
    filled: &'a dyn Fn(f64) -> Result<FloatModel, BoatError>,
    basin: Basin,
    seen: &'a [LeanSeen],
    spread: ModelSpread,
    due: Pause<'a>,
) -> Work<'a, Result<WayFit, WayFitError>> {
    Box::pin(fitted(filled, basin, seen, spread, due))
}

async fn fitted(
    filled: &dyn Fn(f64) -> Result<FloatModel, BoatError>,
    basin: Basin,
    seen: &[LeanSeen],
    spread: ModelSpread,
    due: Pause<'_>,
) -> Result<WayFit, WayFitError> {
    if seen.is_empty() {
        return Err(WayFitError::NothingSeen);
    }
    seen.iter().enumerate().try_for_each(|(which, lean)| check(which, lean))?;
    let blown = filled(0.0)?;
    let size = blown.bounds().size();
    let (height, largest) = (spread.centre_height, size.norm());
    if !(height > 0.0 && height < largest) {
        return Err(WayFitError::HeightSpread { spread: height, size: largest });
    }
    let mut sightings = Vec::with_capacity(seen.len());
    for lean in seen {
        pause(due).await;
        sightings.push(PreparedSighting::of(filled, basin, *lean, blown.mass())?);
    }
    let before = Vector2::new(OFFSET_SPREAD * size.y, height);
    let blown_mass = blown.mass();
    let mut search =
        Search { sightings, basin, blown_mass, before, left_out: None, farthest: largest, due };
    let found = search.solve().await.ok_or(WayFitError::NoFit)?;
    let mut covariance = search.covariance(&found).await.ok_or(WayFitError::NoFit)?;
    let errors = found.unknowns.component_mul(&before);
    for k in 0..N_UNKNOWN {
        covariance[(k, k)] += (spread.response * errors[k]).powi(2);
    }
    let estimate = |k: usize| Estimate::new(errors[k], covariance[(k, k)].sqrt());
    let contradiction = match contradiction(&found.misfits, N_UNKNOWN) {
        Some(contradiction) => Some(blamed(&mut search, &found, contradiction).await),
        None => None,
    };
    Ok(WayFit {
        offset: estimate(0),
        height: estimate(1),
        covariance,
        before,
        moment: search.moment(found.unknowns),
        heels: found.poses.iter().map(Pose::heel).collect(),
        contradiction,
        misfits: found.misfits,
    })
}

/// A contradiction, put to the sighting without which the others agree best.
async fn blamed(
    search: &mut Search<'_>,
    found: &TriedBoat,
    contradiction: Contradiction,
) -> Contradiction {
    match search.culprit(found).await {
        Some((worst, off)) => Contradiction { worst, off, ..contradiction },
        None => contradiction,
    }
}

impl WayFit {
    /// True when the sightings tell the offset: it is larger than its spread.
    pub fn tells_offset(&self) -> bool {
        self.offset.value.abs() > self.offset.spread
    }

    /// True when they tell the height: it is larger than its spread.
    pub fn tells_height(&self) -> bool {
        self.height.value.abs() > self.height.spread
    }
}

/// Rejects an impossible lean: the sighting of this place in the list, from 0.
fn check(which: usize, lean: &LeanSeen) -> Result<(), WayFitError> {
    let LeanSeen { fill, heel, heel_spread, fill_spread } = *lean;
    if !(0.0..=1.0).contains(&fill) {
        return Err(WayFitError::Fill { which, fill });
    }
    if !(-FRAC_PI_2..=FRAC_PI_2).contains(&heel) {
        return Err(WayFitError::Heel { which, heel });
    }
    if !(heel_spread > 0.0 && heel_spread.is_finite()) {
        return Err(WayFitError::Spread { which, spread: heel_spread });
    }
    if !(0.0..=1.0).contains(&fill_spread) {
        return Err(WayFitError::Spread { which, spread: fill_spread });
    }
    Ok(())
}
