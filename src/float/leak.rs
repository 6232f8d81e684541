//! Water where there should be none.

use super::liquid::{Container, Liquid, LiquidBehaviour};
use super::model::FloatModel;
use crate::geometry::Mesh;
use std::sync::Arc;

impl FloatModel {
    /// The same boat with water that got into a dry cavity: so much (m³) of this density (kg/m³) lies in it, its
    /// surface level. The boat displaces what it did.
    #[must_use]
    pub fn with_water_in(&self, cavity: &Arc<Mesh>, volume: f64, density: f64) -> Self {
        let mut model = self.clone();
        model.liquids.push(Liquid {
            // Beyond those that come and go through holes.
            container: Container::Space(model.spaces().len()),
            cavity: Arc::clone(cavity),
            volume: volume.clamp(0.0, cavity.volume()),
            density,
            near: None,
            lies: LiquidBehaviour::Level,
        });
        model
    }
}
