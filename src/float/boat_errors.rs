//! How a boat differs from its description.

use nalgebra::{SVector, Vector3};

/// Number of errors that a boat may have: see [`BoatErrors`].
pub const N_ERRORS: usize = 5;

/// How a boat differs from its description: the same in every state, whatever its tanks hold and whatever lies on
/// it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BoatErrors {
    /// Mass without liquids, kg.
    pub mass: f64,
    /// Centre of gravity without liquids, metres.
    pub centre: Vector3<f64>,
    /// Share by which its solids displace more.
    pub displaces: f64,
}

impl BoatErrors {
    /// The same errors of mass and moment of a boat that is another one as described: something known was changed
    /// on it.
    #[must_use]
    pub fn after_change(self, before: UncertainWeight, after: UncertainWeight) -> Self {
        let moment =
            (before.centre + self.centre) * (before.mass + self.mass) - before.centre * before.mass;
        Self::of_moment(after, self.mass, moment, self.displaces)
    }

    /// Of a boat described so that has so much more mass (kg) and moment (kg·m), and displaces a share more.
    pub fn of_moment(
        described: UncertainWeight,
        mass: f64,
        moment: Vector3<f64>,
        displaces: f64,
    ) -> Self {
        let UncertainWeight { mass: before, centre } = described;
        let centre = (centre * before + moment) / (before + mass) - centre;
        Self { mass, centre, displaces }
    }
}

impl From<SVector<f64, N_ERRORS>> for BoatErrors {
    fn from(v: SVector<f64, N_ERRORS>) -> Self {
        Self { mass: v[0], centre: Vector3::new(v[1], v[2], v[3]), displaces: v[4] }
    }
}

impl From<BoatErrors> for SVector<f64, N_ERRORS> {
    fn from(e: BoatErrors) -> Self {
        Self::from([e.mass, e.centre.x, e.centre.y, e.centre.z, e.displaces])
    }
}

/// The part of what floats whose mass and centre of gravity may be in error: the boat itself,
/// without liquids and without what lies aboard for a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UncertainWeight {
    /// Its mass, kg.
    pub mass: f64,
    /// Its centre of gravity, where an error of mass sits.
    pub centre: Vector3<f64>,
}
