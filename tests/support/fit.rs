//! What was known before a reading, for tests that say themselves how wide; and leans on the way as sightings.

use nalgebra::{Matrix2, Vector2, Vector3};
use trimwright::fit::{
    FillRead, FitError, JointFit, KnownErrors, Sighting, WetSighting, culprit, estimate,
};
use trimwright::float::{Basin, BoatError, FloatModel};
use trimwright::reading::{Condition, Observation, Reading, Seen};

pub use trimwright::fit::Estimate;
pub use trimwright::reading::{ANGLE_BY_EYE, FILL_BY_TIME};

/// A height of the centre of gravity that is known as well as a good list has it, metres.
pub const HEIGHT: f64 = 2e-3;
/// An error that is next to none, in kg, m or as a share.
const NONE: f64 = 1e-9;

/// A boat of which nothing is known but the height of its centre of gravity, to so many metres, and what it
/// displaces.
pub fn known_to(model: &FloatModel, height: f64) -> KnownErrors {
    let size = model.bounds().size();
    KnownErrors::independent([model.mass(), size.x, size.y, height, NONE])
}

/// The same to [`HEIGHT`].
pub fn by_list(model: &FloatModel) -> KnownErrors {
    known_to(model, HEIGHT)
}

/// A boat that is built as such boats are: its mass known to a twentieth, its balance to a fiftieth of the length and a
/// twentieth of the beam, and its height to [`HEIGHT`].
pub fn as_built(model: &FloatModel) -> KnownErrors {
    let size = model.bounds().size();
    KnownErrors::independent([0.05 * model.mass(), 0.02 * size.x, 0.05 * size.y, HEIGHT, NONE])
}

/// A lean seen while the tanks were partly full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeanSeen {
    pub fill: f64,
    pub heel: f64,
    pub heel_spread: f64,
    pub fill_spread: f64,
}

impl LeanSeen {
    /// Judged by eye, at a fill judged by time.
    pub fn by_eye(fill: f64, heel: f64) -> Self {
        Self { fill, heel, heel_spread: ANGLE_BY_EYE, fill_spread: FILL_BY_TIME }
    }
}

/// What leans told of the offset and the height of the boat's centre of gravity.
#[derive(Debug, Clone)]
pub struct LeansFit {
    pub offset: Estimate,
    pub height: Estimate,
    pub covariance: Matrix2<f64>,
    /// Spreads of offset and height before anything was seen.
    pub before: Vector2<f64>,
    /// What the two come to at any fill, kg·m.
    pub moment: Vector3<f64>,
    /// Heels of the boat as it was found.
    pub heels: Vec<f64>,
    pub joint: JointFit,
    /// The lean that does not fit, if one does not.
    pub contradiction: Option<usize>,
}

impl LeansFit {
    /// True when one of the two is larger than its spread.
    pub fn tells(&self) -> bool {
        [self.offset, self.height].iter().any(|of| of.value.abs() > of.spread)
    }
}

/// The boat, known but for offset (to a twentieth of the beam) and height (to so many metres), from leans.
pub fn fit_leans(
    filled: &dyn Fn(f64) -> Result<FloatModel, BoatError>,
    basin: Basin,
    seen: &[LeanSeen],
    height: f64,
) -> Result<LeansFit, FitError> {
    let blown = filled(0.0)?;
    let before = Vector2::new(0.05 * blown.bounds().size().y, height);
    let known = KnownErrors::independent([NONE, NONE, before.x, before.y, NONE]);
    let sighting = |lean: &LeanSeen| {
        let model = filled(lean.fill)?;
        let floats = model.residual_mass(basin.density) < 0.0;
        let list = Observation { seen: Seen::List(lean.heel), spread: lean.heel_spread };
        let reading = Reading {
            condition: if floats { Condition::Afloat } else { Condition::Under },
            water_density: basin.density,
            aboard: Vec::new(),
            observations: vec![list],
            ..Reading::default()
        };
        let fill = Some(FillRead { share: lean.fill, spread: lean.fill_spread });
        Ok::<_, BoatError>(Sighting::Wet(Box::new(WetSighting { model, reading, fill })))
    };
    let sightings = seen.iter().map(sighting).collect::<Result<Vec<_>, _>>()?;
    let bare = blown.bare();
    let joint = estimate(bare, &known, &sightings)?;
    let clashes = (0..sightings.len()).any(|k| joint.contradiction(k).is_some());
    let blamed = clashes.then(|| culprit(bare, &known, &sightings, &joint)).flatten();
    let (offset, height) = (joint.error(2), joint.error(3));
    let heel = |fit: &trimwright::fit::SightingFit| fit.pose.map_or(f64::NAN, |p| p.heel());
    Ok(LeansFit {
        offset,
        height,
        covariance: joint.known.covariance.fixed_view::<2, 2>(2, 2).into_owned(),
        before,
        moment: Vector3::new(0.0, offset.value, height.value) * bare.mass,
        heels: joint.sightings.iter().map(heel).collect(),
        joint,
        contradiction: blamed.map(|(which, _)| which),
    })
}
