//! How a boat is taken down and up, and changes that cure it, in the file.

use super::boat_record::BoatRecord;
use super::field_tables::fields;
use super::part_record::{InsideRecord, PartRecord};
use super::record::Extra;
use super::solid::SolidRecord;
use super::tank_record::{BulkheadRecord, BulkheadWayRecord, TankRecord};
use crate::boat::{Boat, Space};
use crate::dive::{Change, ChangeError, Plan};
use crate::float::{FloatModel, Heading, Order};
use crate::geometry::{Fineness, Solid, offset};
use std::sync::Arc;

/// Seconds in which a tank floods where nothing is said. Common practice, no source.
pub const USUAL_FLOOD: f64 = 20.0;
/// Seconds in which a tank is blown where nothing is said. Common practice, no source.
pub const USUAL_BLOW: f64 = 10.0;
/// Seconds in which water leaves free-flooding space to 1/e where nothing is said. Common
/// practice, no source.
pub const USUAL_DRAIN: f64 = 2.0;

/// How a boat is taken down and up.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DiveRecord {
    /// The tanks flood one after the other.
    pub in_turn: bool,
    /// Seconds in which free-flooding space drains to 1/e; [`USUAL_DRAIN`] if absent.
    pub drain_s: Option<f64>,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(DiveRecord {
    has in_turn,
    may drain_s,
    .. extra
});

impl DiveRecord {
    /// True when nothing in it is told.
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}

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

    /// The boat with a change made for good.
    ///
    /// # Errors
    /// [`ChangeError`] when the part or tank is not there, or the tank's mesh is not here.
    pub fn changed(&self, change: &Change) -> Result<Self, ChangeError> {
        let mut boat = self.clone();
        match change {
            Change::MovePart { part, by } => {
                let part = boat.parts.get_mut(*part).ok_or(ChangeError::NoPart(*part))?;
                move_part(part, *by);
            }
            Change::MoveTank { tank, by } => move_tank(tank_of(&mut boat, *tank)?, *by),
            Change::PartTank { tank, bulkhead } => {
                tank_of(&mut boat, *tank)?.bulkheads.push(BulkheadRecord::from(bulkhead));
            }
            Change::ReshapeTank { tank, cavity } => {
                let record = tank_of(&mut boat, *tank)?;
                *record = reshaped(record, cavity).ok_or(ChangeError::NoTank(*tank))?;
            }
            Change::Flood(times) => {
                for tank in &mut boat.tanks {
                    tank.flood_s = Some(tank.flood_s.unwrap_or(USUAL_FLOOD) * times);
                }
            }
            Change::Blow(times) => {
                for tank in &mut boat.tanks {
                    tank.blow_s = Some(tank.blow_s.unwrap_or(USUAL_BLOW) * times);
                }
            }
            Change::Together => boat.dive.in_turn = false,
            Change::Drain(times) => {
                let seconds = boat.dive.drain_s.unwrap_or(USUAL_DRAIN);
                boat.dive.drain_s = Some(seconds * times);
            }
            Change::Nothing => {}
        }
        Ok(boat)
    }
}

fn tank_of(boat: &mut BoatRecord, tank: usize) -> Result<&mut TankRecord, ChangeError> {
    boat.tanks.get_mut(tank).ok_or(ChangeError::NoTank(tank))
}

/// The reshaped tank, as [`Change::applied`] makes it, with what this version does not know of it.
/// None when its mesh is not here.
fn reshaped(record: &TankRecord, cavity: &Solid) -> Option<TankRecord> {
    let boat = Boat { tanks: vec![record.tank().ok()?], ..Boat::default() };
    let change = Change::ReshapeTank { tank: 0, cavity: cavity.clone() };
    let changed = change.applied(&boat).ok()?.tanks.pop()?;
    Some(TankRecord {
        fill: record.fill,
        flood_s: record.flood_s,
        blow_s: record.blow_s,
        extra: record.extra.clone(),
        ..TankRecord::from(&changed)
    })
}

fn plus(at: [f64; 3], by: [f64; 3]) -> [f64; 3] {
    let ([x, y, z], [dx, dy, dz]) = (at, by);
    [x + dx, y + dy, z + dz]
}

fn move_solid(solid: SolidRecord, by: [f64; 3]) -> SolidRecord {
    let to = plus(solid.at(), by);
    solid.placed(to)
}

pub(super) fn move_part(part: &mut PartRecord, by: [f64; 3]) {
    part.centre_m = part.centre_m.map(|at| plus(at, by));
    part.solid = part.solid.take().map(|solid| move_solid(solid, by));
}

fn move_tank(tank: &mut TankRecord, by: [f64; 3]) {
    tank.cavity = move_solid(tank.cavity.clone(), by);
    tank.centre_m = plus(tank.centre_m, by);
    tank.vent_m = tank.vent_m.map(|at| plus(at, by));
    tank.flood_m = tank.flood_m.map(|at| plus(at, by));
    for bulkhead in &mut tank.bulkheads {
        bulkhead.at_m += match bulkhead.way {
            BulkheadWayRecord::Lengthwise => by[1],
            BulkheadWayRecord::Transverse => by[0],
        };
    }
}
