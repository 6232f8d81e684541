//! How a boat is taken down and up, from its record.

use super::boat_record::BoatRecord;
use super::tank_record::TankRecord;
use crate::dive::{Plan, USUAL_BLOW, USUAL_DRAIN, USUAL_FLOOD};
use crate::float::{FloatModel, Heading, Order};

impl BoatRecord {
    /// How it is taken down or up. `model` is that of this boat, with its parts as they are.
    pub fn plan(&self, model: &FloatModel, heading: Heading) -> Plan {
        let seconds = |of: fn(&TankRecord) -> Option<f64>, usual: f64| {
            self.tanks.iter().map(|t| of(t).unwrap_or(usual)).collect()
        };
        let plan = Plan {
            order: if self.dive.in_turn { Order::InTurn } else { Order::Together },
            flood: seconds(|t| t.flood_s, USUAL_FLOOD),
            blow: seconds(|t| t.blow_s, USUAL_BLOW),
            ..Plan::default()
        };
        let parts = self.parts.iter().filter_map(|part| part.entry().ok());
        plan.with_spaces(heading, model, parts, self.dive.drain_s.unwrap_or(USUAL_DRAIN))
    }
}
