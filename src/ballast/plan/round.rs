//! From masses to real pieces: whole millimetres of bar, grams of shot, cubic centimetres of foam.

use super::agree::Agreed;
use super::columns::{Own, own, removals};
use super::demanded::Demanded;
use super::judge::{outside, tolerances};
use super::slot::Reach;
use super::state::{Effect, Lies, PlanState};
use super::task::{Loading, Placed, PlanError, PlanTask};
use crate::frame::Position;
use crate::unit::{GRAM, MILLIMETRE};
use nalgebra::Vector3;

/// Steps of the search; each makes the plan better.
const STEPS: usize = 200;
/// What a kilogram more counts against what a demand lacks.
const MASS_COUNTS: f64 = 1e-3;

/// One thing that can be made a little more or less.
#[derive(Debug, Clone, Copy)]
enum Move {
    /// A piece by one cut.
    Cut(usize),
    /// A piece by a millimetre along (0) or across (1).
    Shift(usize, usize),
    /// What is taken out of a part, by a gram.
    Removed(usize),
}

struct Search<'a> {
    task: &'a PlanTask,
    states: &'a [PlanState],
    owns: Vec<Own>,
    tolerances: Vec<[f64; 7]>,
    removals: Vec<Vec<Effect>>,
}

/// The plan in pieces that can be cut, as near to what is demanded as a small search finds.
///
/// # Errors
/// [`PlanError`] when a piece cannot be made.
pub(super) fn rounded(task: &PlanTask, agreed: &Agreed) -> Result<Loading, PlanError> {
    let states = &agreed.states;
    let search = Search::of(task, states, &agreed.loading)?;
    let mut loading = search.start(&agreed.loading);
    for _ in 0..STEPS {
        let Some(better) = search.better(&loading)? else { break };
        loading = better;
    }
    loading.pieces.retain(|piece| piece.mass > 0.0);
    loading.fills = search.fills(&search.sums(&loading)?);
    Ok(loading)
}

impl<'a> Search<'a> {
    fn of(
        task: &'a PlanTask,
        states: &'a [PlanState],
        loading: &Loading,
    ) -> Result<Self, PlanError> {
        let mut owns = Vec::new();
        let mut held = Vec::new();
        for (k, state) in states.iter().enumerate() {
            let fills = loading.fills.get(k).map_or(&[][..], Vec::as_slice);
            let own = own(task, state, Some((loading, fills)))?;
            let boat = state.filled_of(&loading.done_to(&state.boat, task)?, fills)?;
            let effect = state.of_boat(&boat);
            let pose = state.pose();
            let over = -pose.up().dot(&effect.moment);
            let waterplane = match state.lies {
                Lies::Under => 0.0,
                Lies::Afloat(_) | Lies::OnTheWay(_) => {
                    boat.wet(pose).waterplane.area * state.density
                }
            };
            held.push(tolerances(effect.mass, waterplane, effect.surfaces.map(|s| s + over)));
            owns.push(own);
        }
        let removals = removals(task, states);
        Ok(Self { task, states, owns, tolerances: held, removals })
    }

    /// The nearest that can be cut.
    fn start(&self, exact: &Loading) -> Loading {
        let nearest = |value: f64, unit: f64| (value / unit).round() * unit;
        let piece = |piece: &Placed| {
            let mass = nearest(piece.mass, self.task.stock[piece.item].cut());
            let at = match self.task.slots[piece.slot].reach {
                Reach::Point(at) => at,
                Reach::Rail { .. } | Reach::Area { .. } => {
                    let across = match self.task.slots[piece.slot].reach {
                        Reach::Area { .. } => nearest(piece.at.y(), MILLIMETRE),
                        _ => piece.at.y(),
                    };
                    Position::new(nearest(piece.at.x(), MILLIMETRE), across, piece.at.z())
                }
            };
            Placed { mass, at, ..*piece }
        };
        let removed = self.task.removable.iter().zip(&exact.removed);
        let whole = |(part, mass): (&super::task::Removable, &f64)| {
            if part.mass - mass < GRAM / 2.0 { part.mass } else { nearest(*mass, GRAM) }
        };
        Loading {
            pieces: exact.pieces.iter().map(piece).collect(),
            removed: removed.map(whole).collect(),
            fills: exact.fills.clone(),
        }
    }

    fn of_piece(&self, piece: &Placed, state: &PlanState) -> Result<Effect, PlanError> {
        if piece.mass <= 0.0 {
            return Ok(Effect::NONE);
        }
        let slot = &self.task.slots[piece.slot];
        let item = &self.task.stock[piece.item];
        let mesh = item.mesh(piece.mass, piece.at, slot.room, slot.medium)?;
        Ok(state.of_weight(piece.mass, piece.at, mesh.as_deref()))
    }

    /// What all weights do in each state, without the free tanks.
    fn sums(&self, loading: &Loading) -> Result<Vec<Effect>, PlanError> {
        let mut sums = Vec::new();
        for (k, (state, own)) in self.states.iter().zip(&self.owns).enumerate() {
            let mut sum = own.fixed;
            for piece in &loading.pieces {
                sum = sum + self.of_piece(piece, state)?;
            }
            for (of, mass) in self.removals.iter().zip(&loading.removed) {
                sum = sum + of[k] * *mass;
            }
            sums.push(sum);
        }
        Ok(sums)
    }

    /// The fills that bring the weight of each state nearest to what it should be: what is free fills together.
    fn fills(&self, sums: &[Effect]) -> Vec<Vec<f64>> {
        let all = self.states.iter().zip(&self.owns).zip(sums);
        all.map(|((state, own), sum)| self.fill(state, own, sum)).collect()
    }

    fn fill(&self, state: &PlanState, own: &Own, sum: &Effect) -> Vec<f64> {
        let _ = self;
        let mut shares: Vec<f64> = state.free.iter().map(|f| f.range[0]).collect();
        let weight = |effect: &Effect| Demanded::Weight.of(state, effect);
        let [low, high] = state.weight;
        let mut lacks = f64::midpoint(low, high) - weight(sum);
        for (share, fill) in shares.iter().zip(&own.fills) {
            lacks -= share * weight(fill);
        }
        for ((share, free), fill) in shares.iter_mut().zip(&state.free).zip(&own.fills) {
            let each = weight(fill);
            if each.abs() <= f64::EPSILON {
                continue;
            }
            let by = (lacks / each).clamp(0.0, free.range[1] - free.range[0]);
            *share += by;
            lacks -= by * each;
        }
        shares
    }

    /// How far all demands are from being met.
    fn score(&self, sums: &[Effect], mass: f64) -> f64 {
        let mut score = MASS_COUNTS * mass;
        for (k, (state, own)) in self.states.iter().zip(&self.owns).enumerate() {
            let shares = self.fill(state, own, &sums[k]);
            let filled = own.fills.iter().zip(&shares);
            let whole = filled.fold(sums[k], |sum, (fill, share)| sum + *fill * *share);
            for (what, tolerance) in Demanded::ALL.into_iter().zip(self.tolerances[k]) {
                let Some(limits) = what.limits(state) else { continue };
                let off = outside(what.of(state, &whole), limits) / tolerance;
                score += off * off;
            }
        }
        score
    }

    /// What may be made a little more or less.
    fn moves(&self, loading: &Loading) -> Vec<Move> {
        let mut moves = Vec::new();
        for (k, piece) in loading.pieces.iter().enumerate() {
            moves.push(Move::Cut(k));
            match self.task.slots[piece.slot].reach {
                Reach::Point(_) => {}
                Reach::Rail { .. } => moves.push(Move::Shift(k, 0)),
                Reach::Area { .. } => moves.extend([Move::Shift(k, 0), Move::Shift(k, 1)]),
            }
        }
        let some = loading.removed.iter().enumerate().filter(|(_, mass)| **mass > 0.0);
        moves.extend(some.map(|(k, _)| Move::Removed(k)));
        moves
    }

    /// What a move does in each state, to first order.
    fn step(&self, loading: &Loading, one: Move) -> Result<Vec<Effect>, PlanError> {
        let mut all = Vec::new();
        for (k, state) in self.states.iter().enumerate() {
            all.push(match one {
                Move::Cut(p) => {
                    let piece = &loading.pieces[p];
                    let cut = self.task.stock[piece.item].cut();
                    let more = Placed { mass: piece.mass + cut, ..*piece };
                    self.of_piece(&more, state)? - self.of_piece(piece, state)?
                }
                Move::Shift(p, axis) => {
                    let piece = &loading.pieces[p];
                    let Effect { mass, carried, .. } = self.of_piece(piece, state)?;
                    let by = if axis == 0 { Vector3::x() } else { Vector3::y() };
                    let moment = by * ((mass - carried) * MILLIMETRE);
                    Effect { moment, ..Effect::NONE }
                }
                Move::Removed(p) => self.removals[p][k] * GRAM,
            });
        }
        Ok(all)
    }

    /// Makes a move, if it stays within what slots, stock and parts allow.
    fn moved(&self, loading: &Loading, one: Move, sign: f64) -> Option<Loading> {
        let mut next = loading.clone();
        match one {
            Move::Removed(k) => {
                let mass = next.removed[k] + sign * GRAM;
                next.removed[k] = mass;
                return (mass >= 0.0 && mass <= self.task.removable[k].mass).then_some(next);
            }
            Move::Cut(k) => {
                let cut = self.task.stock[next.pieces[k].item].cut();
                let mass = next.pieces[k].mass + sign * cut;
                // Nothing is left of less than half a cut.
                next.pieces[k].mass = if mass < cut / 2.0 { 0.0 } else { mass };
                if mass < -cut / 2.0 || !self.is_within(&next, k) {
                    return None;
                }
            }
            Move::Shift(k, axis) => {
                let by = sign * MILLIMETRE;
                let at = next.pieces[k].at;
                let (x, y) = if axis == 0 { (by, 0.0) } else { (0.0, by) };
                next.pieces[k].at = Position::new(at.x() + x, at.y() + y, at.z());
            }
        }
        self.is_inside(&next, one).then_some(next)
    }

    /// Whether slots and stock hold so much.
    fn is_within(&self, loading: &Loading, k: usize) -> bool {
        let piece = &loading.pieces[k];
        let (slot, item) = (&self.task.slots[piece.slot], &self.task.stock[piece.item]);
        let in_slot = loading.pieces.iter().filter(|p| p.slot == piece.slot);
        let share =
            in_slot.map(|p| p.mass * slot.share_of_limit(&self.task.stock[p.item])).sum::<f64>();
        let of_item = loading.pieces.iter().filter(|p| p.item == piece.item);
        let used = of_item.map(|p| p.mass).sum::<f64>();
        piece.mass <= slot.takes_at_most(item)
            && share <= slot.most()
            && item.amount.is_none_or(|amount| used <= amount)
    }

    /// Whether a piece lies where its slot lets it.
    fn is_inside(&self, loading: &Loading, one: Move) -> bool {
        let (Move::Cut(k) | Move::Shift(k, _)) = one else { return true };
        let piece = &loading.pieces[k];
        if piece.mass <= 0.0 {
            return true;
        }
        let slot = &self.task.slots[piece.slot];
        let ends = slot.ends(self.task.stock[piece.item].size(piece.mass, slot.room));
        let reaches = |value: f64, of: fn(Position<crate::frame::Body>) -> f64| {
            let all = ends.iter().map(|end| of(*end));
            let (low, high) =
                all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
            // Half a millimetre: its own place was rounded to one.
            low - MILLIMETRE / 2.0 <= value && value <= high + MILLIMETRE / 2.0
        };
        reaches(piece.at.x(), Position::x) && reaches(piece.at.y(), Position::y)
    }

    /// The best of all loadings that one or two moves make, if it is better.
    fn better(&self, loading: &Loading) -> Result<Option<Loading>, PlanError> {
        let sums = self.sums(loading)?;
        let moves = self.moves(loading);
        let mut steps = Vec::new();
        for one in &moves {
            let effect = self.step(loading, *one)?;
            let mass: f64 = match one {
                Move::Cut(p) => self.task.stock[loading.pieces[*p].item].cut(),
                Move::Removed(_) => GRAM,
                Move::Shift(..) => 0.0,
            };
            for sign in [1.0, -1.0] {
                let signed: Vec<Effect> = effect.iter().map(|e| *e * sign).collect();
                steps.push((*one, sign, signed, mass * sign));
            }
        }
        let added = |a: &[Effect], b: &[Effect]| -> Vec<Effect> {
            a.iter().zip(b).map(|(a, b)| *a + *b).collect()
        };
        let mass = loading.changed_mass();
        let mut least = self.score(&sums, mass) * (1.0 - 1e-9) - 1e-12;
        let mut best = None;
        for (k, (one, sign, effect, more)) in steps.iter().enumerate() {
            let Some(next) = self.moved(loading, *one, *sign) else { continue };
            let then = added(&sums, effect);
            let score = self.score(&then, mass + more);
            if score < least {
                (least, best) = (score, Some(next.clone()));
            }
            for (other, sign, effect, further) in &steps[k + 1..] {
                let score = self.score(&added(&then, effect), mass + more + further);
                if score >= least {
                    continue;
                }
                if let Some(both) = self.moved(&next, *other, *sign) {
                    (least, best) = (score, Some(both));
                }
            }
        }
        // To first order: what is not better in fact ends the search.
        let Some(best) = best else { return Ok(None) };
        let is_better =
            self.score(&self.sums(&best)?, best.changed_mass()) < self.score(&sums, mass);
        Ok(is_better.then_some(best))
    }
}
