//! A plan's programme: its unknowns, what each does to each demand, and what slots and stock allow.

use super::bound::Bound;
use super::columns::{Candidate, Effects, NOTHING, Own, candidates, own, removals};
use super::demanded::Demanded;
use super::linear::{Column, Programme, Row};
use super::state::{Effect, Lies, PlanState};
use super::task::{Loading, PlanError, PlanTask};
use super::weighing::Weighing;

/// Densities closer than this share are of one material.
const SAME_MATERIAL: f64 = 0.02;

/// A plan's programme, with what each unknown is.
pub(super) struct Built<'a> {
    task: &'a PlanTask,
    pub(super) states: &'a [PlanState],
    pub(super) candidates: Vec<Candidate>,
    /// The first column of each candidate.
    pub(super) starts: Vec<usize>,
    /// The first of the removable parts.
    first_part: usize,
    /// The first free fill of each state.
    pub(super) first_fill: Vec<usize>,
    pub(super) programme: Programme,
    /// What each row is.
    pub(super) rows: Vec<RowIs>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum RowIs {
    Bound(Bound),
    Other,
}

impl<'a> Built<'a> {
    /// The programme of a task in these states; see [`own`] for `near`.
    pub(super) fn of(
        task: &'a PlanTask,
        states: &'a [PlanState],
        near: Option<&Loading>,
        weighing: &Weighing,
    ) -> Result<Self, PlanError> {
        let candidates = candidates(task, near);
        let mut columns = Vec::new();
        let mut effects: Vec<Effects> = Vec::new();
        let mut starts = Vec::new();
        for candidate in &candidates {
            starts.push(columns.len());
            let key = (candidate.slot, candidate.item);
            for effect in candidate.effects(task, states)? {
                let cost = weighing.of(key, columns.len());
                columns.push(Column { cost, low: 0.0, high: candidate.most });
                effects.push(effect);
            }
        }
        let first_part = columns.len();
        for (part, effect) in task.removable.iter().zip(removals(task, states)) {
            columns.push(Column { cost: 1.0, low: 0.0, high: part.mass });
            effects.push(effect);
        }
        if let Some(k) = states.iter().position(|s| s.lies == Lies::Under) {
            let up = states[k].pose().up();
            for (column, effect) in columns.iter_mut().zip(&effects) {
                column.cost += weighing.height * up.dot(&effect[k].moment);
            }
        }
        let owns: Vec<Own> = states
            .iter()
            .enumerate()
            .map(|(k, state)| {
                let last = near.and_then(|near| Some((near, near.fills.get(k)?.as_slice())));
                own(task, state, last.filter(|(_, fills)| fills.len() == state.free.len()))
            })
            .collect::<Result<_, _>>()?;
        let mut first_fill = Vec::new();
        for state in states {
            first_fill.push(columns.len());
            let ranges = state.free.iter().map(|free| free.range);
            columns.extend(ranges.map(|[low, high]| Column { cost: 0.0, low, high }));
        }
        let mut built = Self {
            task,
            states,
            candidates,
            starts,
            first_part,
            first_fill,
            programme: Programme { columns, rows: Vec::new() },
            rows: Vec::new(),
        };
        built.demand(&effects, &owns);
        built.limit(weighing);
        built.reuse(weighing);
        Ok(built)
    }

    fn push(&mut self, is: RowIs, row: Row) {
        self.rows.push(is);
        self.programme.rows.push(row);
    }

    fn demand(&mut self, effects: &[Effects], owns: &[Own]) {
        for (k, own) in owns.iter().enumerate() {
            let state = &self.states[k];
            for what in Demanded::ALL {
                let Some([low, high]) = what.limits(state) else { continue };
                let value = |effect: &Effect| what.of(state, effect);
                let weights = effects.iter().enumerate().map(|(c, e)| (c, value(&e[k])));
                let fills = own.fills.iter().enumerate();
                let fills = fills.map(|(c, e)| (self.first_fill[k] + c, value(e)));
                let terms = weights.chain(fills).filter(|(_, factor)| *factor != 0.0).collect();
                let fixed = value(&own.fixed);
                let row = Row { terms, low: low - fixed, high: high - fixed };
                self.push(RowIs::Bound(Bound::Demand(k, what)), row);
            }
        }
    }

    /// The columns of the candidates that something is true of.
    fn columns_of(&self, wanted: impl Fn(&Candidate) -> bool) -> Vec<(usize, usize)> {
        let with_start = self.candidates.iter().enumerate().zip(&self.starts);
        let wanted = with_start.filter(|((_, candidate), _)| wanted(candidate));
        wanted
            .flat_map(|((k, candidate), &start)| {
                (start..start + candidate.ends.len()).map(move |column| (k, column))
            })
            .collect()
    }

    fn limit(&mut self, weighing: &Weighing) {
        let most =
            |terms: Vec<(usize, f64)>, high: f64| Row { terms, low: f64::NEG_INFINITY, high };
        for slot in 0..self.task.slots.len() {
            let place = &self.task.slots[slot];
            let share = |k: usize| place.share_of_limit(&self.task.stock[self.candidates[k].item]);
            let terms: Vec<_> = self
                .columns_of(|c| c.slot == slot)
                .into_iter()
                .map(|(k, column)| (column, share(k)))
                .collect();
            // In kilograms of what is heaviest there, so that all rows are of a size.
            let unit = terms.iter().map(|(_, s)| *s).fold(f64::INFINITY, f64::min);
            if terms.is_empty() || unit <= 0.0 {
                continue;
            }
            let terms = terms.into_iter().map(|(column, share)| (column, share / unit)).collect();
            let row = most(terms, place.most() / unit);
            self.push(RowIs::Bound(Bound::Slot(slot)), row);
        }
        for (item, of) in self.task.stock.iter().enumerate() {
            let Some(amount) = of.amount else { continue };
            let columns = self.columns_of(|c| c.item == item);
            let terms: Vec<_> = columns.into_iter().map(|(_, column)| (column, 1.0)).collect();
            if !terms.is_empty() {
                self.push(RowIs::Bound(Bound::Stock(item)), most(terms, amount));
            }
        }
        if let Some(high) = weighing.most {
            let end = self.first_part + self.task.removable.len();
            self.push(RowIs::Other, most((0..end).map(|k| (k, 1.0)).collect(), high));
        }
    }

    /// What is taken out and used again elsewhere: no more than either.
    fn reuse(&mut self, weighing: &Weighing) {
        if weighing.reuse <= 0.0 {
            return;
        }
        for (part, of) in self.task.removable.iter().enumerate() {
            let Some(density) = of.density else { continue };
            let is_same = |c: &Candidate| {
                let other = self.task.stock[c.item].density;
                (other - density).abs() <= SAME_MATERIAL * density
            };
            let columns = self.columns_of(is_same);
            if columns.is_empty() {
                continue;
            }
            let again = self.programme.columns.len();
            let column = Column { cost: -weighing.reuse, low: 0.0, high: of.mass };
            self.programme.columns.push(column);
            let (low, high) = (f64::NEG_INFINITY, 0.0);
            let taken = vec![(again, 1.0), (self.first_part + part, -1.0)];
            self.push(RowIs::Other, Row { terms: taken, low, high });
            let put = columns.into_iter().map(|(_, column)| (column, -1.0));
            let put = std::iter::once((again, 1.0)).chain(put).collect();
            self.push(RowIs::Other, Row { terms: put, low, high });
        }
    }

    /// What these values of the unknowns put where.
    pub(super) fn loading(&self, values: &[f64]) -> Loading {
        let value = |k: usize| values.get(k).copied().unwrap_or(0.0);
        let above = |mass: f64| if mass > NOTHING { mass } else { 0.0 };
        let pieces = self.candidates.iter().zip(&self.starts).filter_map(|(candidate, &start)| {
            let masses: Vec<f64> =
                (start..start + candidate.ends.len()).map(|k| above(value(k))).collect();
            candidate.piece(&masses)
        });
        let parts = 0..self.task.removable.len();
        let fills = self
            .states
            .iter()
            .zip(&self.first_fill)
            .map(|(state, &first)| (first..first + state.free.len()).map(value).collect());
        Loading {
            pieces: pieces.collect(),
            removed: parts.map(|k| above(value(self.first_part + k))).collect(),
            fills: fills.collect(),
        }
    }
}
