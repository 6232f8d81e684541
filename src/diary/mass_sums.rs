//! What a boat weighs with its tanks empty: its parts by status and by heading, and the tanks themselves.

use super::boat_record::BoatRecordError;
use super::part_record::{PartRecord, StatusRecord};
use super::tank_record::TankRecord;
use crate::boat::Part;

/// A mass and where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlacedMass {
    /// kg.
    pub mass_kg: f64,
    /// Centre of mass, metres.
    pub centre_m: [f64; 3],
}

impl From<&Part> for PlacedMass {
    fn from(part: &Part) -> Self {
        Self { mass_kg: part.mass, centre_m: part.centre.vector().into() }
    }
}

/// A part with what it weighs.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFigures {
    /// As it is described.
    pub record: PartRecord,
    /// What that makes of it, or why it makes nothing.
    pub made: Result<PlacedMass, BoatRecordError>,
}

/// Some parts together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct MassSum {
    /// How many parts.
    pub parts: u32,
    /// Their mass, kg.
    pub mass_kg: f64,
    moment: [f64; 3],
}

impl MassSum {
    fn add(&mut self, weighed: PlacedMass) {
        self.parts += 1;
        self.mass_kg += weighed.mass_kg;
        for (moment, centre) in self.moment.iter_mut().zip(weighed.centre_m) {
            *moment += weighed.mass_kg * centre;
        }
    }

    /// Their common centre of mass, metres; none of what weighs nothing.
    pub fn centre_m(&self) -> Option<[f64; 3]> {
        let centre = self.moment.map(|moment| moment / self.mass_kg);
        (self.mass_kg > 0.0 && centre.iter().all(|c| c.is_finite())).then_some(centre)
    }
}

/// What a boat weighs; without the water in its tanks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MassSums {
    /// Planned, not aboard.
    pub planned: MassSum,
    /// Strapped or taped on.
    pub temporary: MassSum,
    /// Bolted or bonded in; of a boat of six numbers, all of it.
    pub fixed: MassSum,
    /// Removed.
    pub taken_out: MassSum,
    /// Tanks and valves, empty. (`parts` counts those that weigh something.)
    pub tanks: MassSum,
    /// What is aboard, temporary or fixed, by its heading; in the order of the ledger.
    pub groups: Vec<(String, MassSum)>,
    /// Parts that cannot be made, and so are in no sum, with the reason.
    pub unmade: Vec<(String, BoatRecordError)>,
}

impl MassSums {
    pub(super) fn add(&mut self, figures: &PartFigures) {
        let part = &figures.record;
        let weighed = match &figures.made {
            Ok(weighed) => *weighed,
            Err(problem) => return self.unmade.push((part.name.clone(), problem.clone())),
        };
        let by_status = match part.status {
            StatusRecord::Planned => &mut self.planned,
            StatusRecord::Temporary => &mut self.temporary,
            StatusRecord::Fixed => &mut self.fixed,
            StatusRecord::TakenOut => &mut self.taken_out,
        };
        by_status.add(weighed);
        if !part.status.status().is_aboard() {
            return;
        }
        let here = self.groups.iter().position(|(group, _)| *group == part.group);
        let here = here.unwrap_or_else(|| {
            self.groups.push((part.group.clone(), MassSum::default()));
            self.groups.len() - 1
        });
        if let Some((_, sum)) = self.groups.get_mut(here) {
            sum.add(weighed);
        }
    }

    /// A tank is weighed by itself, whatever becomes of its shape.
    pub(super) fn add_tank(&mut self, tank: &TankRecord) {
        let (mass_kg, centre_m) = tank.empty();
        if mass_kg != 0.0 {
            self.tanks.add(PlacedMass { mass_kg, centre_m });
        }
    }

    /// What the parts of one heading weigh that are aboard.
    pub fn group(&self, name: &str) -> MassSum {
        let found = self.groups.iter().find(|(group, _)| group == name);
        found.map(|(_, sum)| *sum).unwrap_or_default()
    }

    /// What is aboard in all, the empty tanks with it, kg: what [`crate::boat::Boat::dry_mass`] of the
    /// same boat is.
    pub fn aboard_kg(&self) -> f64 {
        self.temporary.mass_kg + self.fixed.mass_kg + self.tanks.mass_kg
    }
}
