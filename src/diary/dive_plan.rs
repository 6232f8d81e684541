//! How a boat is taken down and up, from its record.

use super::boat_record::BoatRecord;
use super::dive_record::{USUAL_BLOW, USUAL_DRAIN, USUAL_FLOOD};
use super::part_record::{InsideRecord, PartRecord};
use super::tank_record::TankRecord;
use crate::boat::Space;
use crate::dive::Plan;
use crate::float::{FloatModel, Heading, Order};
use crate::geometry::{Fineness, offset};
use std::sync::Arc;

impl BoatRecord {
    /// How it is taken down or up. `model` is that of this boat, with its parts as they are. Spaces
    /// hold water back on the way up only, and are made for that way only.
    pub fn plan(&self, model: &FloatModel, heading: Heading) -> Plan {
        let seconds = |of: fn(&TankRecord) -> Option<f64>, usual: f64| {
            self.tanks.iter().map(|t| of(t).unwrap_or(usual)).collect()
        };
        Plan {
            order: if self.dive.in_turn { Order::InTurn } else { Order::Together },
            flood: seconds(|t| t.flood_s, USUAL_FLOOD),
            blow: seconds(|t| t.blow_s, USUAL_BLOW),
            spaces: match heading {
                Heading::Down => Arc::default(),
                Heading::Up => self.spaces(model).into(),
            },
        }
    }

    /// The free-flooding space inside each flooded part that is aboard.
    fn spaces(&self, model: &FloatModel) -> Vec<Space> {
        let drain = self.dive.drain_s.unwrap_or(USUAL_DRAIN);
        let aboard = |p: &&PartRecord| p.status.status().is_aboard();
        let space = |part: &PartRecord| {
            let wall = part.wall.as_ref().filter(|w| w.inside == InsideRecord::Flooded)?;
            let outer = part.solid.as_ref()?.solid().ok()?.mesh(Fineness::WORK).ok()?;
            let cavity = Arc::new(offset(&outer, -wall.thickness_m).ok()?);
            Some(Space::around(&*part.name, cavity, model.solids().iter(), drain))
        };
        self.parts.iter().filter(aboard).filter_map(space).collect()
    }
}
