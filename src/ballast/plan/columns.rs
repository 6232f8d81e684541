//! The unknowns of a plan's programme: what each is, and what a unit of it does in each state.

use super::state::{Effect, PlanState};
use super::task::{Loading, Placed, PlanError, PlanTask};
use crate::frame::{Body, Position};
use crate::unit::GRAM;
use nalgebra::Vector3;

/// Something of the stock in a slot: a mass at each of the places between which it may lie.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Candidate {
    pub(super) slot: usize,
    pub(super) item: usize,
    pub(super) most: f64,
    pub(super) ends: Vec<Position<Body>>,
    /// The mass whose size its ends and effects are of, kg.
    near: f64,
}

/// What a unit of an unknown does, by state.
pub(super) type Effects = Vec<Effect>;

/// A piece as small as this is taken where none lies yet, kg.
const NONE_YET: f64 = GRAM;
/// How far a fill is varied to see what it does, a share: exact for a box, whose moment is of second degree.
const VARIED: f64 = 0.01;

/// What may be put into the slots; `near`, if it is known, is what a plan put there last.
pub(super) fn candidates(task: &PlanTask, near: Option<&Loading>) -> Vec<Candidate> {
    let mut found = Vec::new();
    for (slot, place) in task.slots.iter().enumerate() {
        for &item in &place.takes {
            let most = place.takes_at_most(&task.stock[item]);
            if most.is_nan() || most <= 0.0 {
                continue;
            }
            let lies = |p: &&Placed| p.slot == slot && p.item == item;
            let last = near.and_then(|near| near.pieces.iter().find(lies)).map_or(0.0, |p| p.mass);
            let near = last.max(NONE_YET.min(most));
            let ends = place.ends(task.stock[item].size(near, place.room));
            found.push(Candidate { slot, item, most, ends, near });
        }
    }
    found
}

impl Candidate {
    /// What a kilogram does at each of its ends.
    pub(super) fn effects(
        &self,
        task: &PlanTask,
        states: &[PlanState],
    ) -> Result<Vec<Effects>, PlanError> {
        let (slot, item) = (&task.slots[self.slot], &task.stock[self.item]);
        let at_end = |at: &Position<Body>| {
            let mesh = item.mesh(self.near, *at, slot.room, slot.medium)?;
            let of = |state: &PlanState| {
                state.of_weight(self.near, *at, mesh.as_deref()) * (1.0 / self.near)
            };
            Ok(states.iter().map(of).collect())
        };
        self.ends.iter().map(at_end).collect()
    }

    /// A place as it is, or as the ends that it lies between have it: rounding may cost it its last digit.
    fn between(&self, at: Vector3<f64>) -> Position<Body> {
        let first = self.ends.first().map_or(at, |end| end.vector());
        let (low, high) = self.ends.iter().fold((first, first), |(low, high), end| {
            (low.inf(&end.vector()), high.sup(&end.vector()))
        });
        Position::from_vector(at.sup(&low).inf(&high))
    }

    /// The piece that masses (kg) at its ends come to, if they are any.
    pub(super) fn piece(&self, masses: &[f64]) -> Option<Placed> {
        let mass: f64 = masses.iter().sum();
        let moments = self.ends.iter().zip(masses).map(|(at, mass)| at.vector() * *mass);
        let moment = moments.fold(Vector3::zeros(), |sum, one| sum + one);
        (mass > NOTHING).then(|| Placed {
            slot: self.slot,
            item: self.item,
            mass,
            at: self.between(moment / mass),
        })
    }
}

/// Less than this is nothing: what a solver leaves, kg.
pub(super) const NOTHING: f64 = 1e-7;

/// What a kilogram taken out of each removable part does.
pub(super) fn removals(task: &PlanTask, states: &[PlanState]) -> Vec<Effects> {
    let of = |part: &super::task::Removable| {
        let taken = |state: &PlanState| {
            let whole = state.of_weight(part.mass, part.centre, part.solid.as_deref());
            whole * (-1.0 / part.mass)
        };
        states.iter().map(taken).collect()
    };
    task.removable.iter().map(of).collect()
}

/// A boat in a state: what it does with its free tanks at a share of nothing, and what each share does.
pub(super) struct Own {
    pub(super) fixed: Effect,
    pub(super) fills: Vec<Effect>,
}

/// A boat's own in a state. Without `near` a free tank's liquid counts at the height that it has when it is filled to
/// its greatest share; else at, and around, what it was filled to last, with what then lay aboard.
pub(super) fn own(
    task: &PlanTask,
    state: &PlanState,
    near: Option<(&Loading, &[f64])>,
) -> Result<Own, PlanError> {
    let n = state.free.len();
    let with = |shares: &[f64]| Ok::<_, PlanError>(state.of_boat(&state.filled(shares)?));
    let one = |k: usize, value: f64, others: &[f64]| {
        let mut shares = others.to_vec();
        shares[k] = value;
        with(&shares)
    };
    let Some((loading, shares)) = near else {
        let empty = vec![0.0; n];
        let fixed = with(&empty)?;
        let mut fills = Vec::with_capacity(n);
        for (k, free) in state.free.iter().enumerate() {
            let high = free.range[1];
            let slope = if high > 0.0 {
                (one(k, high, &empty)? - fixed) * (1.0 / high)
            } else {
                Effect::NONE
            };
            fills.push(Effect { surfaces: [0.0; 2], ..slope });
        }
        let middle: Vec<f64> =
            state.free.iter().map(|f| f64::midpoint(f.range[0], f.range[1])).collect();
        let surfaces = with(&middle)?.surfaces;
        return Ok(Own { fixed: Effect { surfaces, ..fixed }, fills });
    };
    let mut fixed = with(shares)?;
    let mut fills = Vec::with_capacity(n);
    for (k, share) in shares.iter().enumerate() {
        let [low, high] = [(share - VARIED).max(0.0), (share + VARIED).min(1.0)];
        let slope = (one(k, high, shares)? - one(k, low, shares)?) * (1.0 / (high - low));
        let slope = Effect { surfaces: [0.0; 2], ..slope };
        fixed = fixed - slope * *share;
        fills.push(slope);
    }
    // What pierces the water there counts in the waterplane, whatever it is of.
    let laden = loading.done_to(&state.boat, task)?;
    let surfaces = state.of_boat(&state.filled_of(&laden, shares)?).surfaces;
    Ok(Own { fixed: Effect { surfaces, ..fixed }, fills })
}
