//! The parts of the boat in hand, made from its ledger. What did not change is not made again.

use crate::words::{self, t};
use std::sync::{Arc, Mutex};
use trimwright::boat::{Boat, EntryError, MadePart, PartSurfaces};
use trimwright::diary::{
    BoatRecord, BoatRecordError, DatumRecord, PartRecord, SolidRecord, TankKindRecord,
};
use trimwright::geometry::{Bounds, Fineness, Mesh, MeshError, Solid};
use trimwright::pause::{Pause, at_once};

/// Where lengths along the boat are measured from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Datum {
    /// Which point.
    pub(crate) from: DatumRecord,
    /// Its place, metres forward of midship.
    pub(crate) x: f64,
}

impl Datum {
    /// Midship.
    pub(crate) const MIDSHIP: Self = Self { from: DatumRecord::Midship, x: 0.0 };
}

/// A part as made, and the surfaces it is made of.
#[derive(Debug, Clone)]
pub(crate) struct Made {
    /// The part.
    pub(crate) part: Arc<MadePart>,
    /// Of a mesh from a file they are where its file has them: elsewhere they are the same.
    shaped: Option<Arc<PartSurfaces>>,
}

/// Why a part cannot be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub(crate) enum MakeError {
    /// Its mesh is none, or is not here.
    #[error(transparent)]
    Mesh(#[from] MeshError),
    /// Something in its description is wrong.
    #[error(transparent)]
    Entry(#[from] EntryError),
}

impl MakeError {
    /// The same in words.
    fn words(&self) -> String {
        match self {
            Self::Mesh(problem) => words::mesh::mesh(problem),
            Self::Entry(problem) => words::entry::entry(problem),
        }
    }
}

/// Parts as made, in the ledger's order.
#[derive(Debug, Default)]
pub(crate) struct MadeParts {
    records: Vec<PartRecord>,
    made: Vec<Result<Made, MakeError>>,
    /// The spaces of the tanks that could be made, with what they were made from.
    cavities: Vec<(SolidRecord, Arc<Mesh>)>,
    /// The part made last, in the ledger or not yet.
    last: Mutex<Option<(PartRecord, Result<Made, MakeError>)>>,
}

impl MadeParts {
    /// Makes the parts of a boat; those that were made before and are the same are taken over.
    pub(crate) fn of(record: Option<&BoatRecord>, before: Option<&Self>) -> Self {
        let none = Self::default();
        let before = before.unwrap_or(&none);
        let records = record.map(|r| r.parts.clone()).unwrap_or_default();
        let made = records.iter().enumerate().map(|(k, part)| before.known(k, part)).collect();
        let tanks = record.map(|r| r.tanks.as_slice()).unwrap_or_default();
        let cavities = tanks.iter().filter_map(|t| before.cavity(&t.cavity)).collect();
        Self { records, made, cavities, last: Mutex::default() }
    }

    /// A tank's space, taken over from before if it is the same.
    fn cavity(&self, record: &SolidRecord) -> Option<(SolidRecord, Arc<Mesh>)> {
        let known = self.cavities.iter().find(|(known, _)| known == record);
        let mesh = match known {
            Some((_, mesh)) => Arc::clone(mesh),
            None => record.solid().ok()?.mesh(Fineness::WORK).ok()?,
        };
        Some((record.clone(), mesh))
    }

    /// The same part as made before, at its line or elsewhere; made anew if there is none.
    fn known(&self, line: usize, part: &PartRecord) -> Result<Made, MakeError> {
        let same = |k: &usize| self.records.get(*k) == Some(part);
        let at = Some(line).filter(same).or_else(|| (0..self.records.len()).find(same));
        match at.and_then(|k| self.made.get(k)) {
            Some(made) => made.clone(),
            None => self.make(part),
        }
    }

    /// Makes a part; surfaces that a part of this boat has already are taken from there.
    pub(crate) fn make(&self, part: &PartRecord) -> Result<Made, MakeError> {
        let last = self.last.lock().ok();
        let known = last.as_ref().and_then(|l| l.as_ref()).filter(|(known, _)| known == part);
        if let Some((_, made)) = known {
            return made.clone();
        }
        drop(last);
        at_once(|due| Box::pin(self.made_ready(part, due)))
    }

    /// As [`Self::make`], with pauses where they are due: a part of a fine mesh takes a second. It is not made again
    /// when it comes into the boat.
    pub(crate) async fn made_ready(
        &self,
        part: &PartRecord,
        due: Pause<'_>,
    ) -> Result<Made, MakeError> {
        let made = self.made_anew(part, due).await;
        if let Ok(mut last) = self.last.lock() {
            *last = Some((part.clone(), made.clone()));
        }
        made
    }

    async fn made_anew(&self, part: &PartRecord, due: Pause<'_>) -> Result<Made, MakeError> {
        let entry = part.entry()?;
        entry.check()?;
        let (own, at) = where_its_file_has_it(part);
        let alike = |k: &PartRecord| {
            k.wall == part.wall && k.coat == part.coat && where_its_file_has_it(k).0 == own
        };
        let ready = self.records.iter().zip(&self.made).find_map(|(record, made)| {
            made.as_ref().ok().filter(|_| alike(record)).map(|m| m.shaped.clone())
        });
        let shaped = match (ready, at) {
            (Some(shaped), _) => shaped,
            (None, None) => entry.shaped_with(Fineness::WORK, due).await?.map(Arc::new),
            (None, Some(_)) => {
                let there = PartRecord { solid: own, ..part.clone() }.entry()?;
                there.shaped_with(Fineness::WORK, due).await?.map(Arc::new)
            }
        };
        let moved = shaped.as_ref().zip(at).map(|(s, at)| s.shifted(at.into()));
        let part = entry.weighed_with(moved.as_ref().or(shaped.as_deref()))?;
        Ok(Made { part: Arc::new(part), shaped })
    }

    /// One part, or why it cannot be made.
    pub(crate) fn get(&self, line: usize) -> Option<Result<&Arc<MadePart>, &MakeError>> {
        self.made.get(line).map(|made| made.as_ref().map(|m| &m.part))
    }

    /// The parts that could be made, with their lines.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (usize, &Arc<MadePart>)> {
        self.made.iter().enumerate().filter_map(|(k, made)| Some((k, &made.as_ref().ok()?.part)))
    }

    /// The box around everything aboard that displaces, but for one line.
    pub(crate) fn bounds_without(&self, line: Option<usize>) -> Option<Bounds> {
        self.iter()
            .filter(|(k, made)| Some(*k) != line && made.part.status.is_aboard())
            .filter_map(|(_, made)| Some(made.mesh.as_ref()?.bounds()))
            .reduce(Bounds::joined)
    }

    /// One standard deviation of the mass because densities are ranges, kg.
    pub(crate) fn mass_spread(&self) -> f64 {
        let aboard = self.iter().filter(|(_, made)| made.part.status.is_aboard());
        aboard.map(|(_, made)| made.mass_spread.powi(2)).sum::<f64>().sqrt()
    }

    /// Where lengths of this boat are measured from.
    pub(crate) fn datum(&self, record: &BoatRecord) -> Datum {
        let half = record.length_m.or(record.quick.as_ref().map(|q| q.length_m)).map(|l| l / 2.0);
        let bounds = self.bounds_without(None);
        let end = |reach: fn(Bounds) -> f64, sign: f64| {
            half.map(|h| sign * h).or(bounds.map(reach)).unwrap_or(0.0)
        };
        let x = match record.datum {
            DatumRecord::Midship => 0.0,
            DatumRecord::Bow => end(|b| b.high.x, 1.0),
            DatumRecord::Stern => end(|b| b.low.x, -1.0),
        };
        Datum { from: record.datum, x }
    }

    /// The boat of these parts.
    ///
    /// # Errors
    /// A sentence naming the part that cannot be made.
    pub(crate) fn boat(&self, record: &BoatRecord) -> Result<Boat, String> {
        let mut boat = record.without_parts().map_err(|e| of_tanks(&e))?;
        for (made, part) in self.made.iter().zip(&self.records) {
            let problem = |e: &MakeError| t!("made.of", name = part.name, problem = e.words());
            let made = &made.as_ref().map_err(problem)?.part;
            // The mesh is shared: the model has nothing to make anew.
            let solid = made.mesh.as_ref().map(|mesh| Solid::Mesh(Arc::clone(mesh)));
            boat.parts.push(trimwright::boat::Part { solid, ..made.part.clone() });
        }
        // A piston runs along its box or cylinder, which a mesh would not tell.
        let tanks = boat.tanks.iter_mut().zip(&record.tanks);
        for (tank, record) in tanks.filter(|(_, r)| r.kind != TankKindRecord::Piston) {
            if let Some((_, mesh)) = self.cavities.iter().find(|(of, _)| *of == record.cavity) {
                tank.cavity = Solid::Mesh(Arc::clone(mesh));
            }
        }
        Ok(boat)
    }
}

/// The solid of a part, and where it lies; a mesh from a file where that has it, and how far it was put from there.
fn where_its_file_has_it(part: &PartRecord) -> (Option<SolidRecord>, Option<[f64; 3]>) {
    match &part.solid {
        Some(solid @ SolidRecord::Mesh { .. }) => {
            (Some(solid.clone().placed([0.0; 3])), Some(solid.at()))
        }
        solid => (solid.clone(), None),
    }
}

/// What is wrong with a tank, in words.
fn of_tanks(problem: &BoatRecordError) -> String {
    match problem {
        BoatRecordError::Mesh { part, problem } => {
            t!("made.of", name = part, problem = words::mesh::mesh(problem))
        }
        // Only a tank's mesh can be wrong where no part is made.
        _ => t!("made.other"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::boat::demo_boat;

    #[test]
    fn a_part_that_did_not_change_is_not_made_again() {
        let mut record = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        let before = MadeParts::of(Some(&record), None);
        record.parts.swap(0, 1);
        record.parts.remove(2);
        let after = MadeParts::of(Some(&record), Some(&before));
        let same = |b: usize, a: usize| {
            let of = |made: &MadeParts, k| {
                Arc::clone(made.get(k).expect("it is there").as_ref().expect("good"))
            };
            Arc::ptr_eq(&of(&before, b), &of(&after, a))
        };
        assert!(same(0, 1) && same(1, 0) && same(3, 2), "shared, wherever they stand now");
    }

    #[test]
    fn a_part_that_only_weighs_more_keeps_its_surfaces() {
        let mut record = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        let before = MadeParts::of(Some(&record), None);
        let hull = record.parts.first_mut().expect("it has a hull");
        hull.mass_kg = Some(1.9);
        hull.name = "heavier hull".to_owned();
        let after = MadeParts::of(Some(&record), Some(&before));
        let of = |made: &MadeParts| {
            let hull = made.get(0).expect("it is there").expect("a good part");
            (hull.part.mass, hull.mesh.clone().expect("it displaces"))
        };
        let ((_, one), (mass, other)) = (of(&before), of(&after));
        assert!((mass - 1.9).abs() < 1e-12, "its mass is {mass}");
        assert!(Arc::ptr_eq(&one, &other), "its mesh is the same one");
    }

    #[test]
    fn a_piston_keeps_the_shape_that_it_runs_through() {
        let mut record = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        let tank = record.tanks.first_mut().expect("its tank");
        tank.kind = TankKindRecord::Piston;
        let cavity = tank.cavity.solid().expect("a cylinder");
        let boat = MadeParts::of(Some(&record), None).boat(&record).expect("a good boat");
        assert_eq!(boat.tanks[0].cavity, cavity, "the cylinder, and not its mesh");
        let model = trimwright::float::FloatModel::new(&boat, Fineness::WORK);
        assert!(model.is_ok(), "it can be calculated: {:?}", model.err());
    }

    #[test]
    fn the_length_over_all_places_the_datum() {
        let mut record = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        record.datum = DatumRecord::Bow;
        let parts = MadeParts::of(Some(&record), None);
        assert!((parts.datum(&record).x - 0.46).abs() < 1e-9, "its own bow");
        record.length_m = Some(1.0);
        assert!((parts.datum(&record).x - 0.5).abs() < 1e-12, "half its length");
    }
}
