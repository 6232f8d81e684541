//! Why the metacentric height falls between two moments of the way.

use crate::float::{
    Basin, BoatError, Composition, Container, FloatModel, LiquidEffect, composition,
};
use crate::frame::Pose;

/// What takes metacentric height away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LossCause {
    /// The waterplane becomes smaller, or stiffens less of a heavier boat.
    Waterplane,
    /// The centre of buoyancy comes to lie lower against the weights.
    CentreOfBuoyancy,
    /// The liquid's surface in a tank or space is free to run to the low side.
    FreeSurface(Container),
    /// The weight of the liquid in a tank or space lies high.
    Weight(Container),
}

/// A loss of metacentric height in its parts.
#[derive(Debug, Clone, PartialEq)]
pub struct GmLoss {
    /// GM across before, with the heel held at zero, metres.
    pub before: f64,
    /// The same after.
    pub after: f64,
    /// What took it, metres each, the largest loss first; a gain is negative. Together they are
    /// the whole.
    pub parts: Vec<(LossCause, f64)>,
}

impl GmLoss {
    /// What was lost in all, metres.
    pub fn total(&self) -> f64 {
        self.before - self.after
    }
}

/// A boat held upright at one moment: its model and its pose.
pub type Moment<'a> = (&'a FloatModel, Pose);

/// Takes the loss of GM between two moments apart, exactly:
/// `GM = BM + (KB − KG) − Σ i ρ / m`, heights counted from the centre of gravity before along "up". Source: Derrett & Barrass, *Ship
/// Stability for Masters and Mates*, chapters on the metacentre and on free surface.
///
/// # Errors
/// [`BoatError::WaterDensity`] for a density that is not positive.
pub fn gm_loss(basin: Basin, before: Moment<'_>, after: Moment<'_>) -> Result<GmLoss, BoatError> {
    let a = composition(before.0, basin, before.1)?;
    let b = composition(after.0, basin, after.1)?;
    let origin = a.gravity();
    let buoyancy =
        |c: &Composition| c.share(c.up.dot(&(c.displaced_moment - origin * c.displaced)));
    let mut parts = vec![
        (LossCause::Waterplane, a.radius - b.radius),
        (LossCause::CentreOfBuoyancy, buoyancy(&a) - buoyancy(&b)),
    ];
    for now in &b.liquids {
        let was = a.liquids.iter().find(|h| h.container == now.container);
        let zero =
            LiquidEffect { mass: 0.0, moment: nalgebra::Vector3::zeros(), surface: 0.0, ..*now };
        let was = was.copied().unwrap_or(zero);
        parts.push((LossCause::FreeSurface(now.container), now.surface - was.surface));
        let moment = now.moment - was.moment - origin * (now.mass - was.mass);
        parts.push((LossCause::Weight(now.container), b.share(b.up.dot(&moment))));
    }
    parts.sort_by(|x, y| y.1.total_cmp(&x.1));
    Ok(GmLoss { before: a.gm(), after: b.gm(), parts })
}
