//! The parts of the boat in hand, made from its ledger. What did not change is not made again.

use std::sync::Arc;
use trimwright::boat::{Boat, MadePart};
use trimwright::diary::{BoatRecord, DatumRecord, PartRecord, made};
use trimwright::geometry::{Bounds, Solid};

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

/// Parts as made, in the ledger's order.
#[derive(Debug, Clone, Default)]
pub(crate) struct MadeParts {
    records: Vec<PartRecord>,
    made: Vec<Result<Arc<MadePart>, String>>,
}

impl MadeParts {
    /// Makes the parts of a boat; those that were made before and are the same are taken over.
    pub(crate) fn of(record: Option<&BoatRecord>, before: Option<&Self>) -> Self {
        let records = record.map(|r| r.parts.clone()).unwrap_or_default();
        let made = records
            .iter()
            .enumerate()
            .map(|(k, part)| before.and_then(|b| b.known(k, part)).unwrap_or_else(|| make(part)))
            .collect();
        Self { records, made }
    }

    /// The same part as made before, at its line or elsewhere.
    fn known(&self, line: usize, part: &PartRecord) -> Option<Result<Arc<MadePart>, String>> {
        let same = |k: &usize| self.records.get(*k) == Some(part);
        let at = Some(line).filter(same).or_else(|| (0..self.records.len()).find(same))?;
        self.made.get(at).cloned()
    }

    /// One part, or why it cannot be made.
    pub(crate) fn get(&self, line: usize) -> Option<&Result<Arc<MadePart>, String>> {
        self.made.get(line)
    }

    /// The parts that could be made, with their lines.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (usize, &Arc<MadePart>)> {
        self.made.iter().enumerate().filter_map(|(k, made)| Some((k, made.as_ref().ok()?)))
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
        let mut boat = record.without_parts().map_err(|e| e.to_string())?;
        for made in &self.made {
            let made = made.as_ref().map_err(Clone::clone)?;
            // The mesh is shared: the model has nothing to make anew.
            let solid = made.mesh.as_ref().map(|mesh| Solid::Mesh(Arc::clone(mesh)));
            boat.parts.push(trimwright::boat::Part { solid, ..made.part.clone() });
        }
        Ok(boat)
    }
}

fn make(part: &PartRecord) -> Result<Arc<MadePart>, String> {
    made(part).map(Arc::new).map_err(|problem| problem.to_string())
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
    fn the_length_over_all_places_the_datum() {
        let mut record = BoatRecord::ledger("it", &demo_boat().expect("fixed sizes"));
        record.datum = DatumRecord::Bow;
        let parts = MadeParts::of(Some(&record), None);
        assert!((parts.datum(&record).x - 0.46).abs() < 1e-9, "its own bow");
        record.length_m = Some(1.0);
        assert!((parts.datum(&record).x - 0.5).abs() < 1e-12, "half its length");
    }
}
