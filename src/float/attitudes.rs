//! The stable attitudes of a boat at the surface besides the one it settles in from upright.

use super::equilibrium::{Basin, floats, release, settled_firmly, starts};
use super::heave::heave;
use super::model::FloatModel;
use super::outcome::Afloat;
use super::problem::BoatError;
use super::settle::Tolerance;
use crate::frame::Pose;
use nalgebra::{Unit, Vector3};
use std::cmp::Ordering;
use std::f64::consts::{FRAC_PI_4, PI};

/// How a boat lies, in a word. The limits are conventions: common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AttitudeKind {
    /// Leaning, by no more than 45°.
    Leaning,
    /// On its side.
    OnItsSide,
    /// Its keel up: more than 120° of heel.
    BottomUp,
    /// More than 45° bow down.
    OnItsBow,
    /// More than 45° stern down.
    OnItsStern,
}

impl AttitudeKind {
    fn of(pose: Pose) -> Self {
        match (pose.heel().abs(), pose.trim()) {
            (_, trim) if trim > FRAC_PI_4 => Self::OnItsBow,
            (_, trim) if trim < -FRAC_PI_4 => Self::OnItsStern,
            (heel, _) if heel > 2.0 * PI / 3.0 => Self::BottomUp,
            (heel, _) if heel > FRAC_PI_4 => Self::OnItsSide,
            _ => Self::Leaning,
        }
    }
}

/// Another stable attitude of a boat at the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherAttitude {
    /// How it lies.
    pub pose: Pose,
    /// The same in a word.
    pub lying: AttitudeKind,
    /// True when it lies so to either side, of which `pose` is one.
    pub to_either_side: bool,
}

/// How many other attitudes are named.
pub const MOST_NAMED: usize = 2;
/// Attitudes closer than this count as one, radians.
const ALIKE: f64 = 2.0 * PI / 180.0;
/// Stiffness below this share of the boat's scale holds no attitude: a round body rests at any.
const FIRM: f64 = 1e-6;

/// The search for other attitudes, a step at a time: each item is one descent. A descent that comes
/// to no rest finds nothing.
#[derive(Debug, Clone)]
pub struct OtherAttitudes<'a> {
    model: &'a FloatModel,
    basin: Basin,
    tolerance: Tolerance,
    starts: std::vec::IntoIter<Unit<Vector3<f64>>>,
    own: Option<Pose>,
    found: Vec<OtherAttitude>,
}

impl<'a> OtherAttitudes<'a> {
    /// Puts the boat down upright, to know what is another attitude. A boat that does not float has none.
    ///
    /// # Errors
    /// [`BoatError::WaterDensity`] for a density that is not positive, [`BoatError::Unsettled`] when no equilibrium was found.
    pub fn new(
        model: &'a FloatModel,
        basin: Basin,
        tolerance: &Tolerance,
    ) -> Result<Self, BoatError> {
        let outcome = release(model, basin, tolerance)?;
        let own = outcome.afloat().filter(|_| floats(model, basin)).map(|a| a.pose);
        let starts = if own.is_some() { few_starts() } else { Vec::new() };
        let tolerance = *tolerance;
        let found = Vec::new();
        Ok(Self { model, basin, tolerance, starts: starts.into_iter(), own, found })
    }

    /// What was found, least tilt first, [`MOST_NAMED`] at most.
    pub fn found(mut self) -> Vec<OtherAttitude> {
        let tilt = |o: &OtherAttitude| o.pose.up().angle(&Vector3::z_axis());
        let by_tilt =
            |a: &OtherAttitude, b: &OtherAttitude| -> Ordering { tilt(a).total_cmp(&tilt(b)) };
        self.found.sort_by(by_tilt);
        self.found.truncate(MOST_NAMED);
        self.found
    }

    fn note(&mut self, own: Pose, afloat: &Afloat) {
        let pose = afloat.pose;
        if afloat.stiffness.least <= FIRM * self.model.scale() || is_alike(own, pose) {
            return;
        }
        // The same lean to the other side is not listed: which side it falls to is chance.
        if is_alike(mirrored(own), pose) {
            return;
        }
        if self.found.iter().any(|f| is_alike(f.pose, pose)) {
            return;
        }
        if let Some(twin) = self.found.iter_mut().find(|f| is_alike(mirrored(f.pose), pose)) {
            twin.to_either_side = true;
            return;
        }
        self.found.push(OtherAttitude {
            pose,
            lying: AttitudeKind::of(pose),
            to_either_side: false,
        });
    }
}

impl Iterator for OtherAttitudes<'_> {
    type Item = ();

    fn next(&mut self) -> Option<()> {
        let (own, up) = (self.own?, self.starts.next()?);
        let start = heave(self.model, self.basin.density, up);
        // A start that comes to no rest leads nowhere.
        if let Ok(settled) = settled_firmly(self.model, self.basin, start, &self.tolerance) {
            let afloat = Afloat::of(self.model, &settled);
            self.note(own, &afloat);
        }
        Some(())
    }
}

/// The stable attitudes besides the one it settles in from upright: least tilt first, mirrored
/// pairs once, [`MOST_NAMED`] at most.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive, [`BoatError::Unsettled`] when no equilibrium was found.
pub fn other_attitudes(
    model: &FloatModel,
    basin: Basin,
    tolerance: &Tolerance,
) -> Result<Vec<OtherAttitude>, BoatError> {
    let mut search = OtherAttitudes::new(model, basin, tolerance)?;
    search.by_ref().for_each(drop);
    Ok(search.found())
}

fn is_alike(one: Pose, other: Pose) -> bool {
    one.up().angle(&other.up()) < ALIKE
}

/// The same attitude to the other side.
fn mirrored(pose: Pose) -> Pose {
    let up = pose.up();
    Pose::new(pose.height(), Unit::new_normalize(Vector3::new(up.x, -up.y, up.z)))
}

/// Level at every 30° of heel, and steep by the bow and by the stern.
fn few_starts() -> Vec<Unit<Vector3<f64>>> {
    starts(12, &[-75.0, -45.0, 45.0, 75.0], 4).collect()
}
