//! How stiff a boat is upright, with the spread that its errors leave.

use super::estimate::Estimate;
use super::known::KnownErrors;
use crate::float::{Basin, BoatError, FloatModel, N_ERRORS, Tolerance, upright_stiffness};
use crate::frame::Pose;

/// A step for differences, in spreads.
const STEP: f64 = 0.1;

/// GM across with the heel held at zero and trim free, metres, of a boat with these errors; `near` is a pose to
/// start from.
///
/// Its spread is first order, after JCGM 100:2008 (GUM) section 5.1; the slopes are differences over a tenth of a
/// spread, since GM bends little within one.
///
/// # Errors
/// [`BoatError`] for a water density that is not positive, or where such a boat cannot be.
pub fn gm_upright(
    model: &FloatModel,
    known: &KnownErrors,
    basin: Basin,
    near: Option<Pose>,
) -> Result<Estimate, BoatError> {
    let gm = |errors| {
        let boat = model.with_errors(&From::from(errors))?;
        Ok::<f64, BoatError>(upright_stiffness(&boat, basin, near, &Tolerance::FINE)?.0.across)
    };
    let here = gm(known.errors)?;
    let spreads = known.spreads();
    let mut slopes = known.errors;
    for k in 0..N_ERRORS {
        let by = STEP * spreads[k];
        let mut other = known.errors;
        other[k] += by;
        slopes[k] = if by > 0.0 { (gm(other)? - here) / by } else { 0.0 };
    }
    let variance = slopes.dot(&(known.covariance * slopes));
    Ok(Estimate::new(here, variance.max(0.0).sqrt()))
}
