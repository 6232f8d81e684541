//! Changes that cure a boat on its way down or up, made for good in its record.

use super::boat_record::BoatRecord;
use super::part_record::PartRecord;
use super::solid::SolidRecord;
use super::tank_record::{BulkheadRecord, BulkheadWayRecord, TankRecord};
use crate::boat::Boat;
use crate::dive::{Change, ChangeError, USUAL_BLOW, USUAL_DRAIN, USUAL_FLOOD};
use crate::geometry::Solid;

impl BoatRecord {
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
                boat.tanks.iter_mut().for_each(|t| scale(&mut t.flood_s, USUAL_FLOOD, *times));
            }
            Change::Blow(times) => {
                boat.tanks.iter_mut().for_each(|t| scale(&mut t.blow_s, USUAL_BLOW, *times));
            }
            Change::Together => boat.dive.in_turn = false,
            Change::Drain(times) => scale(&mut boat.dive.drain_s, USUAL_DRAIN, *times),
            Change::Nothing => {}
        }
        Ok(boat)
    }
}

fn scale(seconds: &mut Option<f64>, usual: f64, times: f64) {
    *seconds = Some(seconds.unwrap_or(usual) * times);
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
