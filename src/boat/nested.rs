//! Which solids of a boat displace water: one inside another does not.
//!
//! A part's solid is its outer shape, hollow or not; for a flooded skin it is only the wall, so
//! things in the skin's water are inside nothing. Solids that overlap only in part both displace,
//! and are reported.

use super::{Boat, Housing, Part};
use crate::geometry::{Mesh, Overlap};
use std::sync::Arc;

/// Something in a boat that can displace water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Displacer {
    /// A part, by its index in the boat.
    Part(usize),
    /// A tank in the wet, by its index in the boat.
    Tank(usize),
}

/// Two things that overlap, so that the shared volume counts twice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharedVolume {
    /// The two, the larger first.
    pub of: [Displacer; 2],
    /// Volume counted twice, m³.
    pub volume: f64,
}

/// Least overlap that is reported, m³: a gram of lift. Common practice, no source.
const NAMED: f64 = 1e-6;

/// Which solids of a boat displace. Clones are cheap where they are shared.
#[derive(Debug, Clone, Default)]
pub struct Nesting {
    parts: Vec<Lie>,
    tanks: Vec<Option<Arc<Mesh>>>,
    twice: Vec<SharedVolume>,
    pairs: Vec<Pair>,
}

/// How one part lies.
#[derive(Debug, Clone)]
struct Lie {
    shape: Option<Arc<Mesh>>,
    within: Option<Displacer>,
    displaces: bool,
}

/// Two solids that were measured, the smaller one first.
#[derive(Debug, Clone)]
struct Pair {
    of: [Arc<Mesh>; 2],
    lie: Overlap,
}

/// A solid while it is decided whether it displaces.
#[derive(Debug)]
struct NestedSolid<'a> {
    what: Displacer,
    mesh: &'a Arc<Mesh>,
    told: Option<bool>,
    within: Option<Displacer>,
    displaces: bool,
}

impl Nesting {
    /// Decides for a boat. `shapes` are the solids of its parts that are aboard, `cavities` those
    /// of its tanks, both in the boat's order. Solids that were measured `before` are not measured
    /// again.
    pub fn of(
        boat: &Boat,
        shapes: Vec<Option<Arc<Mesh>>>,
        cavities: &[Arc<Mesh>],
        before: Option<&Self>,
    ) -> Self {
        let wet = |(tank, cavity): (&super::Tank, &Arc<Mesh>)| {
            (tank.housing == Housing::InTheWet).then(|| Arc::clone(cavity))
        };
        let tanks: Vec<_> = boat.tanks.iter().zip(cavities).map(wet).collect();
        let mut bodies = bodies(boat, &shapes, &tanks);
        let (mut twice, mut pairs) = (Vec::new(), Vec::new());
        for k in 0..bodies.len() {
            // The larger ones before it are decided.
            let Some((own, larger)) = bodies.get(..=k).and_then(<[_]>::split_last) else { break };
            let lies = larger.iter().map(|other| (other, lie(own.mesh, other.mesh, before)));
            let mut lies: Vec<_> = lies.collect();
            // Things apart within a skin's bounding box have been measured too.
            pairs.extend(lies.iter().map(|(other, lie)| Pair {
                of: [Arc::clone(own.mesh), Arc::clone(other.mesh)],
                lie: *lie,
            }));
            lies.retain(|(_, lie)| *lie != Overlap::Apart);
            let within = own.within(&lies);
            let displaces = own.told.unwrap_or(within.is_none());
            if displaces {
                twice.extend(lies.iter().filter_map(|(other, lie)| own.twice(other, *lie)));
            }
            if let Some(own) = bodies.get_mut(k) {
                (own.within, own.displaces) = (within, displaces);
            }
        }
        let mut parts = lies(&bodies, shapes.len());
        for (lie, shape) in parts.iter_mut().zip(shapes) {
            lie.shape = shape;
        }
        Self { parts, tanks, twice, pairs }
    }

    /// The shape of a part that is aboard and has one, whether it displaces or not.
    pub fn shape(&self, part: usize) -> Option<&Arc<Mesh>> {
        self.parts.get(part)?.shape.as_ref()
    }

    /// What a part displaces, if it does.
    pub fn displaced_by_part(&self, part: usize) -> Option<&Arc<Mesh>> {
        self.parts.get(part).filter(|lie| lie.displaces)?.shape.as_ref()
    }

    /// What a tank displaces, if it stands in the wet.
    pub fn displaced_by_tank(&self, tank: usize) -> Option<&Arc<Mesh>> {
        self.tanks.get(tank)?.as_ref()
    }

    /// The smallest solid that a part lies wholly inside, if any.
    pub fn within(&self, part: usize) -> Option<Displacer> {
        self.parts.get(part)?.within
    }

    /// Overlaps that count twice, of at least a millilitre each, where the builder has set nothing.
    pub fn twice(&self) -> &[SharedVolume] {
        &self.twice
    }

    /// What displaces, in the order of the boat's parts and then tanks.
    pub fn displacing(&self) -> impl Iterator<Item = &Arc<Mesh>> {
        let parts = (0..self.parts.len()).filter_map(|k| self.displaced_by_part(k));
        parts.chain(self.tanks.iter().flatten())
    }
}

/// How a solid lies relative to a larger one; taken from `before` if both are unchanged.
fn lie(own: &Arc<Mesh>, other: &Arc<Mesh>, before: Option<&Nesting>) -> Overlap {
    let same = |pair: &&Pair| Arc::ptr_eq(&pair.of[0], own) && Arc::ptr_eq(&pair.of[1], other);
    let known = before.and_then(|b| b.pairs.iter().find(same));
    known.map_or_else(|| Overlap::of(own, other), |pair| pair.lie)
}

impl NestedSolid<'_> {
    /// Whether it keeps water away from its contents.
    fn holds(&self) -> bool {
        self.displaces || self.within.is_some()
    }

    /// The smallest of the larger solids that contains it. A tank set as wet stays wet.
    fn within(&self, larger: &[(&Self, Overlap)]) -> Option<Displacer> {
        let holds = |(other, lie): &&(&Self, Overlap)| *lie == Overlap::Inside && other.holds();
        let is_part = matches!(self.what, Displacer::Part(_));
        larger.iter().rfind(holds).filter(|_| is_part).map(|(other, _)| other.what)
    }

    /// Its overlap with a larger solid, if that is to be reported.
    fn twice(&self, other: &Self, lie: Overlap) -> Option<SharedVolume> {
        let volume = match lie {
            Overlap::Apart => 0.0,
            Overlap::Partly(volume) => volume,
            Overlap::Inside => self.mesh.volume(),
        };
        let told = self.told.is_some() || other.told.is_some();
        (other.displaces && !told && volume >= NAMED)
            .then_some(SharedVolume { of: [other.what, self.what], volume })
    }
}

/// What can displace, largest first; among equals, in the boat's order.
fn bodies<'a>(
    boat: &Boat,
    shapes: &'a [Option<Arc<Mesh>>],
    tanks: &'a [Option<Arc<Mesh>>],
) -> Vec<NestedSolid<'a>> {
    let body = |what, mesh, told| NestedSolid { what, mesh, told, within: None, displaces: false };
    let of_part = |(k, (part, shape)): (usize, (&Part, &'a Option<Arc<Mesh>>))| {
        Some(body(Displacer::Part(k), shape.as_ref()?, part.displaces))
    };
    let of_tank = |(k, mesh): (usize, &'a Option<Arc<Mesh>>)| {
        Some(body(Displacer::Tank(k), mesh.as_ref()?, None))
    };
    let parts = boat.parts.iter().zip(shapes).enumerate().filter_map(of_part);
    let tanks = tanks.iter().enumerate().filter_map(of_tank);
    let mut bodies: Vec<_> = parts.chain(tanks).collect();
    bodies.sort_by(|a, b| b.mesh.volume().total_cmp(&a.mesh.volume()));
    bodies
}

fn lies(bodies: &[NestedSolid<'_>], n_parts: usize) -> Vec<Lie> {
    let mut lies = vec![Lie { shape: None, within: None, displaces: false }; n_parts];
    for body in bodies {
        if let Displacer::Part(k) = body.what
            && let Some(lie) = lies.get_mut(k)
        {
            (lie.within, lie.displaces) = (body.within, body.displaces);
        }
    }
    lies
}
