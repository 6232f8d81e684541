//! Two boats as they were, compared: what came, went, moved and was changed, and what it weighs.

use super::boat_record::{BoatRecord, BoatRecordError, MarkRecord, PlaceRecord, made};
use super::difference::{Comparer, Difference, differences};
use super::mass_sums::{MassSums, PartFigures, PlacedMass};
use super::part_record::PartRecord;
use super::quick_record::QuickRecord;
use super::state::part_from_meshes;
use super::tank_record::TankRecord;
use crate::geometry::Fineness;

/// A tank with its capacity.
#[derive(Debug, Clone, PartialEq)]
pub struct TankFigures {
    /// As it is described.
    pub record: TankRecord,
    /// Volume of its cavity, m³, or why there is none.
    pub capacity_m3: Result<f64, BoatRecordError>,
}

/// In what a part was changed.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is one line of a list of changes")]
pub struct PartChanges {
    /// It has another name.
    pub renamed: bool,
    /// It stands under another heading.
    pub regrouped: bool,
    /// It was fixed, taken out and the like.
    pub restated: bool,
    /// It has another shape or size.
    pub reshaped: bool,
    /// It has another material, wall or coat.
    pub remade: bool,
    /// Its displacement setting is different.
    pub retold: bool,
    /// It weighs so much more, kg, if both can be weighed and it matters.
    pub heavier_kg: Option<f64>,
    /// Its centre of mass went so far forward, to port and up, metres, if both have one and it matters.
    pub moved_m: Option<[f64; 3]>,
}

/// Least change of mass, kg: a milligram, far below the resolution of scales.
const SAME_MASS: f64 = 1e-6;
/// Least move, metres: a micrometre, far below the resolution of a ruler.
const SAME_PLACE: f64 = 1e-6;

impl PartChanges {
    /// What differs between a part as it was and as it is.
    pub fn between(before: &PartFigures, after: &PartFigures) -> Self {
        let (was, is) = (&before.record, &after.record);
        let weighed = before.made.as_ref().ok().zip(after.made.as_ref().ok());
        let heavier = weighed.map(|(was, is)| is.mass_kg - was.mass_kg);
        let way = weighed.map(|(was, is)| way(was.centre_m, is.centre_m));
        Self {
            renamed: was.name != is.name,
            regrouped: was.group != is.group,
            restated: was.status != is.status,
            reshaped: !same_shape(was, is),
            remade: was.material != is.material || was.wall != is.wall || was.coat != is.coat,
            retold: was.displaces != is.displaces,
            heavier_kg: heavier.filter(|by| by.abs() > SAME_MASS),
            moved_m: way.filter(|by| by.iter().any(|c| c.abs() > SAME_PLACE)),
        }
    }
}

fn way(from: [f64; 3], to: [f64; 3]) -> [f64; 3] {
    let [[x, y, z], [to_x, to_y, to_z]] = [from, to];
    [to_x - x, to_y - y, to_z - z]
}

/// True when two parts have the same solid, wherever it is.
fn same_shape(was: &PartRecord, is: &PartRecord) -> bool {
    let at_origin = |part: &PartRecord| part.solid.clone().map(|solid| solid.placed([0.0; 3]));
    at_origin(was) == at_origin(is)
}

/// Two boats, or one boat at two times.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The names of the two, if they differ.
    pub names: Option<[String; 2]>,
    /// The six numbers, if they differ, or only one of the two has them.
    pub quick: Option<Difference<QuickRecord>>,
    /// Parts, in the order of the later boat; those that are gone last.
    pub parts: Vec<Difference<PartFigures>>,
    /// Tanks, in the same order.
    pub tanks: Vec<Difference<TankFigures>>,
    /// Marks.
    pub marks: Vec<Difference<MarkRecord>>,
    /// Places for weight.
    pub places: Vec<Difference<PlaceRecord>>,
    /// Lengths are measured from another point, or the length over all differs.
    pub lengths: bool,
    /// What is known of the way down and up differs.
    pub dive: bool,
    /// What the two weigh, by status and by heading.
    pub sums: [MassSums; 2],
}

impl Comparison {
    /// True when the two are the same boat, apart from the name.
    pub fn is_same(&self) -> bool {
        let lists = self.parts.is_empty()
            && self.tanks.is_empty()
            && self.marks.is_empty()
            && self.places.is_empty();
        lists && self.quick.is_none() && !self.lengths && !self.dive
    }
}

/// Compares two boats as they were. Things are the same thing if they have the same name; what is the
/// same in all but its name was renamed. A shape that is only named in one of the two (as in
/// [`super::Diary::states`]) is the same as that shape in the other.
pub fn compare(before: &BoatRecord, after: &BoatRecord) -> Comparison {
    let was = Compared::of(before, None);
    let is = Compared::of(after, Some(&was));
    let parts = differences(&was.parts, &is.parts, &PARTS);
    let tanks = differences(&was.tanks, &is.tanks, &TANKS);
    let quick = match (before.quick.clone(), after.quick.clone()) {
        (Some(before), Some(after)) if before == after => None,
        (Some(before), Some(after)) => Some(Difference::Changed { before, after }),
        (Some(before), None) => Some(Difference::Gone(before)),
        (None, after) => after.map(Difference::Added),
    };
    Comparison {
        names: (before.name != after.name).then(|| [before.name.clone(), after.name.clone()]),
        quick,
        parts: parts.into_iter().map(|found| found.map(|(_, figures)| figures.clone())).collect(),
        tanks: tanks.into_iter().map(|found| found.map(|(_, figures)| figures.clone())).collect(),
        marks: differences(&before.marks, &after.marks, &MARKS)
            .into_iter()
            .map(|found| found.map(MarkRecord::clone))
            .collect(),
        places: differences(&before.places, &after.places, &PLACES)
            .into_iter()
            .map(|found| found.map(PlaceRecord::clone))
            .collect(),
        lengths: before.datum != after.datum || before.length_m != after.length_m,
        dive: before.dive != after.dive,
        sums: [was.sums(before), is.sums(after)],
    }
}

const PARTS: Comparer<(PartRecord, PartFigures)> = Comparer {
    name: |(part, _)| &part.name,
    same: |(was, _), (is, _)| was == is,
    renamed: |(was, _), (is, _)| PartRecord { name: is.name.clone(), ..was.clone() } == *is,
};

const TANKS: Comparer<(TankRecord, TankFigures)> = Comparer {
    name: |(tank, _)| &tank.name,
    same: |(was, _), (is, _)| was == is,
    renamed: |(was, _), (is, _)| TankRecord { name: is.name.clone(), ..was.clone() } == *is,
};

const MARKS: Comparer<MarkRecord> = Comparer {
    name: |mark| &mark.name,
    same: |was, is| was == is,
    renamed: |was, is| MarkRecord { name: is.name.clone(), ..was.clone() } == *is,
};

const PLACES: Comparer<PlaceRecord> = Comparer {
    name: |place| &place.name,
    same: |was, is| was == is,
    renamed: |was, is| PlaceRecord { name: is.name.clone(), ..was.clone() } == *is,
};

/// The parts and tanks of a boat with their figures, each beside its record without large meshes.
struct Compared {
    parts: Vec<(PartRecord, PartFigures)>,
    tanks: Vec<(TankRecord, TankFigures)>,
}

impl Compared {
    /// Of a boat; parts that are the same in the other one are not made again.
    fn of(boat: &BoatRecord, other: Option<&Self>) -> Self {
        let mut light = boat.clone();
        let _in_the_boat = part_from_meshes(&mut light);
        let part = |(light, record): (PartRecord, &PartRecord)| {
            let known = other.and_then(|other| other.parts.iter().find(|(part, _)| *part == light));
            // A shape that is missing in the other one may be here.
            let known = known.filter(|(_, figures)| figures.made.is_ok());
            let made = known.map_or_else(|| weighed(record), |(_, figures)| figures.made.clone());
            (light, PartFigures { record: record.clone(), made })
        };
        let tank = |(light, record): (TankRecord, &TankRecord)| {
            let capacity_m3 = capacity(record);
            (light, TankFigures { record: record.clone(), capacity_m3 })
        };
        Self {
            parts: light.parts.into_iter().zip(&boat.parts).map(part).collect(),
            tanks: light.tanks.into_iter().zip(&boat.tanks).map(tank).collect(),
        }
    }

    /// What the boat weighs; one of six numbers is one part, the whole of it.
    fn sums(&self, boat: &BoatRecord) -> MassSums {
        let mut sums = MassSums::default();
        if boat.quick.is_none() {
            self.parts.iter().for_each(|(_, figures)| sums.add(figures));
            boat.tanks.iter().for_each(|tank| sums.add_tank(tank));
            return sums;
        }
        let whole = PartRecord { name: boat.name.clone(), ..PartRecord::default() };
        let parts = boat.boat().map(|boat| boat.parts);
        let made = parts.map(|parts| parts.iter().map(PlacedMass::from).collect::<Vec<_>>());
        match made {
            Ok(made) => made.into_iter().for_each(|one| {
                sums.add(&PartFigures { record: whole.clone(), made: Ok(one) });
            }),
            Err(problem) => sums.add(&PartFigures { record: whole, made: Err(problem) }),
        }
        sums
    }
}

fn weighed(record: &PartRecord) -> Result<PlacedMass, BoatRecordError> {
    made(record).map(|made| PlacedMass::from(&made.part))
}

fn capacity(record: &TankRecord) -> Result<f64, BoatRecordError> {
    let name = || record.name.clone();
    let tank = record.tank();
    let tank = tank.map_err(|problem| BoatRecordError::Mesh { part: name(), problem })?;
    let mesh = tank.cavity.mesh(Fineness::WORK);
    let mesh =
        mesh.map_err(|problem| BoatRecordError::Part { part: name(), problem: problem.into() })?;
    Ok(mesh.volume())
}
