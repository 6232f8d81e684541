//! What is done to a boat: it goes into the boat's list, and into the session as data.

use super::boat_record::BoatRecord;
use super::changing::move_part;
use super::field_tables::{fields, words};
use super::fields::Extra;
use super::part_record::{MaterialRecord, PartRecord, StatusRecord};
use super::solid::SolidRecord;
use crate::ballast::{Step, Weight, floats};
use crate::unit::GRAM;

/// What can be done with a weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum DeedKind {
    /// It was put on.
    #[default]
    Add,
    /// It was taken off.
    TakeOff,
    /// It was moved.
    Shift,
}

words!(DeedKind {
    Add "add",
    TakeOff "take_off",
    Shift "shift",
});

/// One thing that was done to a boat.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct DeedRecord {
    /// What.
    pub kind: DeedKind,
    /// The weight's mass in air, kg; of a part that was shifted what it counts in the water.
    pub mass_kg: f64,
    /// Where it was put or lay, metres. None for a weight that was shifted and is in no list.
    pub at_m: Option<[f64; 3]>,
    /// By how much it was shifted, metres.
    pub by_m: Option<[f64; 3]>,
    /// Density of its material, kg/m³, if water comes to it: then it displaces where it is under.
    pub density_kg_m3: Option<f64>,
    /// The part of the boat's list that came of it, or that it was taken from or moved; empty if it is in
    /// no list.
    pub part: String,
    /// Fields of other versions.
    pub extra: Extra,
}

fields!(DeedRecord {
    needs kind as "do",
    needs mass_kg,
    may at_m,
    may by_m,
    may density_kg_m3,
    may part,
    .. extra
});

/// What a step needs to go into the list, besides itself.
#[derive(Debug, Clone)]
pub struct Doing<'a> {
    /// What a weight that is put on is called.
    pub name: &'a str,
    /// What it is made of.
    pub material: &'a MaterialRecord,
    /// The part that was chosen to be shifted, if one was.
    pub shifted: Option<&'a str>,
}

/// Metals at least so dense are ballast, kg/m³: no other part of a model is of them and may be cut.
const BALLAST: f64 = 7000.0;
/// How far from its given place a weight to be taken off may lie, metres: a hand's breadth.
const NEAR: f64 = 0.1;
/// A remainder below this is taken off with the rest, kg.
const ALL: f64 = 0.5 * GRAM;

impl BoatRecord {
    /// Does a step to the boat in the list: what is put on becomes a temporary part, what is taken
    /// off comes from ballast that lies there, what is shifted moves. Ballast missing from the list
    /// was not in the calculated boat either: taking it off, or shifting it, changes nothing there.
    pub fn do_step(&mut self, step: &Step, doing: &Doing<'_>) -> DeedRecord {
        match step {
            Step::Add(weight) => self.put_on(weight, doing),
            Step::TakeOff(weight) => self.take_off(weight),
            Step::Shift { mass, forward, to_port } => {
                self.shift(*mass, [forward.value, to_port.value, 0.0], doing.shifted)
            }
        }
    }

    /// What is strapped on and can be taken off again, all or some of it ([`Self::do_step`]).
    pub fn strapped_on(&self) -> impl Iterator<Item = &PartRecord> {
        self.parts.iter().filter(|part| {
            let is_told = part.mass_kg.is_some() && part.centre_m.is_some();
            part.status == StatusRecord::Temporary && is_told && is_ballast(part)
        })
    }

    fn put_on(&mut self, weight: &Weight, doing: &Doing<'_>) -> DeedRecord {
        let (mass, at) = (weight.mass.value, weight.at().vector().into());
        // In the wet it displaces: a piece of its material.
        let is_wet = weight.displaces.is_some();
        let side = (mass / doing.material.density_kg_m3).cbrt();
        let solid = is_wet.then(|| SolidRecord::Box {
            size_m: [side; 3],
            centre_m: at,
            extra: Extra::new(),
        });
        let part = PartRecord {
            name: self.unused_name(doing.name),
            solid,
            mass_kg: Some(mass),
            centre_m: Some(at),
            material: Some(doing.material.clone()),
            status: StatusRecord::Temporary,
            // Its place was set as wet, and its shape is not one that was measured.
            displaces: is_wet.then_some(true),
            ..PartRecord::default()
        };
        let deed = deed(DeedKind::Add, mass, Some(at), &part.name);
        self.parts.push(part);
        DeedRecord { density_kg_m3: weight.displaces, ..deed }
    }

    fn take_off(&mut self, weight: &Weight) -> DeedRecord {
        let (mass, at) = (weight.mass.value, <[f64; 3]>::from(weight.at().vector()));
        let far = |part: &PartRecord| {
            let lies = part.centre_m.unwrap_or([f64::INFINITY; 3]);
            (lies[0] - at[0]).hypot(lies[1] - at[1]).hypot(lies[2] - at[2])
        };
        let lies_there = |part: &PartRecord| far(part) <= NEAR;
        // Foam is not cut from lead, nor lead from foam.
        let suits = |part: &PartRecord| lies_there(part) && is_foam(part) == weight.floats();
        let all = weight.cut() / 2.0;
        let from = self.ballast(mass, all, suits, |part| far(part));
        let taken = |part: &str| DeedRecord {
            density_kg_m3: weight.displaces,
            ..deed(DeedKind::TakeOff, mass, Some(at), part)
        };
        let Some(k) = from else { return taken("") };
        let name = self.parts[k].name.clone();
        self.reduce(k, mass, all);
        taken(&name)
    }

    fn shift(&mut self, mass: f64, by: [f64; 3], chosen: Option<&str>) -> DeedRecord {
        let named = chosen.and_then(|name| self.parts.iter().position(|p| p.name == name));
        let weighs = |part: &PartRecord| part.mass_kg.unwrap_or(f64::INFINITY);
        let found = || self.ballast(mass, ALL, |part| !is_foam(part), weighs);
        let Some(k) = named.or_else(found) else {
            return DeedRecord { by_m: Some(by), ..deed(DeedKind::Shift, mass, None, "") };
        };
        let (at, whole) = (self.parts[k].centre_m, self.parts[k].mass_kg);
        let is_all = named.is_some() || whole.is_none_or(|whole| whole - mass < ALL);
        let moved = if is_all { k } else { self.part_off(k, mass) };
        move_part(&mut self.parts[moved], by);
        let name = self.parts[moved].name.clone();
        DeedRecord { by_m: Some(by), ..deed(DeedKind::Shift, mass, at, &name) }
    }

    /// The ballast from which so much can be taken, less `all` (kg): temporary before fixed, then by `rank`, least first.
    fn ballast(
        &self,
        mass: f64,
        all: f64,
        suits: impl Fn(&PartRecord) -> bool,
        rank: impl Fn(&PartRecord) -> f64,
    ) -> Option<usize> {
        let aboard = self.parts.iter().enumerate().filter(|(_, part)| {
            let holds = part.mass_kg.is_some_and(|whole| whole > mass - all);
            is_ballast(part) && holds && suits(part)
        });
        let order = |part: &PartRecord| (part.status != StatusRecord::Temporary, rank(part));
        let by = |(_, a): &(usize, &PartRecord), (_, b): &(usize, &PartRecord)| {
            let ((fixed_a, a), (fixed_b, b)) = (order(a), order(b));
            fixed_a.cmp(&fixed_b).then(a.total_cmp(&b))
        };
        aboard.min_by(by).map(|(k, _)| k)
    }

    /// Takes mass from a part; all of it takes the part off the list.
    fn reduce(&mut self, k: usize, mass: f64, all: f64) {
        let whole = self.parts[k].mass_kg.unwrap_or_default();
        if whole - mass < all {
            self.parts.remove(k);
        } else {
            scale(&mut self.parts[k], (whole - mass) / whole);
        }
    }

    /// Parts so much off a part, as a temporary part of its own at the same place: its number.
    fn part_off(&mut self, k: usize, mass: f64) -> usize {
        let whole = self.parts[k].mass_kg.unwrap_or(mass);
        let mut piece = self.parts[k].clone();
        scale(&mut piece, mass / whole);
        scale(&mut self.parts[k], 1.0 - mass / whole);
        piece.name = self.unused_name(&piece.name);
        piece.status = StatusRecord::Temporary;
        self.parts.insert(k + 1, piece);
        k + 1
    }

    fn unused_name(&self, wanted: &str) -> String {
        let is_used = |name: &str| self.parts.iter().any(|part| part.name == name);
        let others = (2..).map(|n| format!("{wanted} {n}"));
        let mut names = std::iter::once(wanted.to_owned()).chain(others);
        names.find(|name| !is_used(name)).unwrap_or_default()
    }
}

/// Weights that may be cut and moved: those that are temporary, or of heavy metal, and of a shape that
/// becomes smaller with them.
fn is_ballast(part: &PartRecord) -> bool {
    let is_metal = part.material.as_ref().is_some_and(|m| m.density_kg_m3 >= BALLAST);
    let aboard = match part.status {
        StatusRecord::Temporary => true,
        StatusRecord::Fixed => is_metal,
        StatusRecord::Planned | StatusRecord::TakenOut => false,
    };
    let plain = matches!(part.solid, None | Some(SolidRecord::Box { .. }));
    aboard && plain && part.wall.is_none() && part.coat.is_none()
}

fn is_foam(part: &PartRecord) -> bool {
    part.material.as_ref().is_some_and(|m| floats(m.density_kg_m3))
}

/// The part with another mass; its shape keeps its proportions and its middle.
fn scale(part: &mut PartRecord, share: f64) {
    part.mass_kg = part.mass_kg.map(|mass| mass * share);
    if let Some(SolidRecord::Box { size_m, .. }) = &mut part.solid {
        *size_m = size_m.map(|side| side * share.cbrt());
    }
}

fn deed(kind: DeedKind, mass_kg: f64, at_m: Option<[f64; 3]>, part: &str) -> DeedRecord {
    DeedRecord { kind, mass_kg, at_m, part: part.to_owned(), ..DeedRecord::default() }
}
