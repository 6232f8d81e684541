//! The plan as a linear programme: what must be put where, what binds, and what must give where nothing serves.

use super::columns::{Candidate, Effects, NOTHING, Own, candidates, own, removals};
use super::demanded::Demanded;
use super::linear::{Column, Optimum, Programme, Row, Solved};
use super::state::{Effect, Lies, PlanState};
use super::task::{Loading, PlanError, PlanTask};

/// What a plan is bound by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// A demand of a state, by number.
    Demand(usize, Demanded),
    /// What a slot takes, by number.
    Slot(usize),
    /// How much there is of an item of the stock, by number.
    Stock(usize),
    /// The range of a free fill of a state, by their numbers.
    Fill(usize, usize),
}

/// A limit that binds, with its price.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Binding {
    /// What binds.
    pub what: Bound,
    /// What would be saved for each unit by which it is let out (on both sides where it has two), kg per kg, per kg·m
    /// or per share.
    pub price: f64,
}

/// A plan as the linear programme has it.
#[derive(Debug, Clone, PartialEq)]
pub struct LinearPlan {
    /// What is put where.
    pub loading: Loading,
    /// What binds, and by what price.
    pub binding: Vec<Binding>,
}

/// A demand that must give, and by how much.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Given {
    /// Of which state, by number.
    pub state: usize,
    /// Which demand.
    pub what: Demanded,
    /// What is demanded less what is reached, kg or kg·m: a negative weight is too heavy, a positive stiffness short.
    pub amount: f64,
}

/// The least by which the demands must give, each weighed by its price.
#[derive(Debug, Clone, PartialEq)]
pub struct Relaxation {
    /// The sum of what each gives, times its price.
    pub total: f64,
    /// What gives.
    pub gives: Vec<Given>,
}

impl Relaxation {
    /// The same where each gives so many times as much.
    #[must_use]
    pub(super) fn times(mut self, factor: f64) -> Self {
        self.total *= factor;
        for given in &mut self.gives {
            given.amount *= factor;
        }
        self
    }

    /// What gives in all where more gives than this.
    #[must_use]
    pub(super) fn and(mut self, more: Self) -> Self {
        self.total += more.total;
        for given in more.gives {
            let is_same = |own: &&mut Given| own.state == given.state && own.what == given.what;
            match self.gives.iter_mut().find(is_same) {
                Some(own) => own.amount += given.amount,
                None => self.gives.push(given),
            }
        }
        self
    }
}

/// What the linear programme comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum LinearAnswer {
    /// All demands are met.
    Met(LinearPlan),
    /// They cannot be met at once.
    CannotBeMet,
}

/// What things cost.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Weighing {
    /// What a kilogram costs by slot and item; 1 where none is given.
    pub(super) add: Vec<((usize, usize), f64)>,
    /// What is saved where something taken out is used again, per kilogram.
    pub(super) reuse: f64,
    /// What height costs: a kg·m of what lowers BG.
    pub(super) height: f64,
    /// The most that may be added and taken out in all, kg.
    pub(super) most: Option<f64>,
    /// Whether of plans that cost the same one is preferred that has few pieces: by making each place dearer by a
    /// little of its own, up to [`TIE`].
    pub(super) ties: bool,
}

impl Weighing {
    /// By mass alone.
    pub(super) const MASS: Self =
        Self { add: Vec::new(), reuse: 0.0, height: 0.0, most: None, ties: true };
    /// The same, to the last digit.
    const EXACTLY_MASS: Self =
        Self { add: Vec::new(), reuse: 0.0, height: 0.0, most: None, ties: false };

    fn of(&self, candidate: &Candidate) -> f64 {
        let own = self.add.iter().find(|(key, _)| *key == (candidate.slot, candidate.item));
        own.map_or(1.0, |(_, price)| *price)
    }
}

/// Prices below this are left out: nothing hangs on them.
const NO_PRICE: f64 = 0.005;
/// The share of a kilogram by which one place may be dearer than another that serves as well: an interior point would
/// share masses out among them.
const TIE: f64 = 1e-4;
/// What a demand's giving costs where it should only if nothing else will do, per kg or kg·m: a thousand times a mass.
const GIVES_LAST: f64 = 1e3;
/// Less than this a demand does not give, kg or kg·m: far below what is read.
const GIVES_NOTHING: f64 = 1e-6;
/// The golden ratio's fractional part: multiples of it never come near one another.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// What the column of this number is dearer by.
fn tie(column: usize) -> f64 {
    TIE * (column as f64 * GOLDEN).fract()
}

/// By how much a limit is let out to find what that saves, kg, kg·m or share.
const A_LITTLE: f64 = 1e-5;
/// Densities closer than this share are of one material.
const SAME_MATERIAL: f64 = 0.02;

/// A plan's programme, with what each unknown is.
pub(super) struct Built<'a> {
    task: &'a PlanTask,
    states: &'a [PlanState],
    candidates: Vec<Candidate>,
    /// The first column of each candidate.
    starts: Vec<usize>,
    /// The first of the removable parts.
    first_part: usize,
    /// The first free fill of each state.
    first_fill: Vec<usize>,
    programme: Programme,
    /// What each row is.
    rows: Vec<RowIs>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum RowIs {
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
            let price = weighing.of(candidate);
            for effect in candidate.effects(task, states)? {
                let cost = price + if weighing.ties { tie(columns.len()) } else { 0.0 };
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
    fn loading(&self, values: &[f64]) -> Loading {
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

    /// What has a price in the solver's answer.
    fn priced(&self, found: &Optimum) -> Vec<Bound> {
        let mut all: Vec<Bound> = Vec::new();
        let mut push = |what: Bound, price: f64| {
            if price >= NO_PRICE && !all.contains(&what) {
                all.push(what);
            }
        };
        for (is, price) in self.rows.iter().zip(&found.row_prices) {
            if let RowIs::Bound(what) = *is {
                push(what, *price);
            }
        }
        for (k, (state, first)) in self.states.iter().zip(&self.first_fill).enumerate() {
            for free in 0..state.free.len() {
                push(Bound::Fill(k, free), found.column_prices[first + free][0]);
            }
        }
        for (candidate, &start) in self.candidates.iter().zip(&self.starts) {
            for [_, price] in &found.column_prices[start..start + candidate.ends.len()] {
                push(Bound::Slot(candidate.slot), *price);
            }
        }
        all
    }

    /// The same programme with one of its limits let out a little, on both sides where it has two.
    fn with_let_out(&self, what: Bound) -> Programme {
        let mut programme = self.programme.clone();
        for (row, is) in programme.rows.iter_mut().zip(&self.rows) {
            if *is == RowIs::Bound(what) {
                row.low -= A_LITTLE;
                row.high += A_LITTLE;
            }
        }
        if let Bound::Fill(state, free) = what {
            let column = &mut programme.columns[self.first_fill[state] + free];
            column.low -= A_LITTLE;
            column.high += A_LITTLE;
        }
        for (candidate, &start) in self.candidates.iter().zip(&self.starts) {
            if Bound::Slot(candidate.slot) == what {
                for column in &mut programme.columns[start..start + candidate.ends.len()] {
                    column.high += A_LITTLE;
                }
            }
        }
        programme
    }

    /// What binds. Where several limits bind as one, the solver shares their price out among them, though letting out
    /// one alone saves nothing: so each is let out, and the saving is its price.
    pub(super) fn binding(&self, found: &Optimum) -> Result<Vec<Binding>, PlanError> {
        let cost = |values: &[f64]| -> f64 {
            self.programme.columns.iter().zip(values).map(|(c, v)| c.cost * v).sum()
        };
        let least = cost(&found.values);
        let mut binding = Vec::new();
        for what in self.priced(found) {
            // What cannot be solved where it is let out has no price that could be told.
            let Solved::Optimum(less) = self.with_let_out(what).solved() else {
                continue;
            };
            let price = (least - cost(&less.values)) / A_LITTLE;
            if price >= NO_PRICE {
                binding.push(Binding { what, price });
            }
        }
        Ok(binding)
    }

    /// The best of all plans, if there is one.
    pub(super) fn best(&self) -> Result<Option<(Loading, Optimum)>, PlanError> {
        match self.programme.solved() {
            Solved::Optimum(found) => Ok(Some((self.loading(&found.values), found))),
            Solved::Infeasible => Ok(None),
            // The solver may come to no end where limits all but exclude one another: what must give tells.
            Solved::Unsolved => {
                let (given, programme) = self.elastic(&|_, _| GIVES_LAST);
                let Solved::Optimum(mut found) = programme.solved() else {
                    return Err(PlanError::Unsolved);
                };
                if given.iter().any(|given| given.amount(&found).abs() > GIVES_NOTHING) {
                    return Ok(None);
                }
                found.values.truncate(self.programme.columns.len());
                found.column_prices.truncate(self.programme.columns.len());
                Ok(Some((self.loading(&found.values), found)))
            }
        }
    }

    /// The same programme with demands that give, at these prices per unit (kg or kg·m).
    fn elastic(&self, price: &dyn Fn(usize, Demanded) -> f64) -> (Vec<Gives>, Programme) {
        let mut programme = self.programme.clone();
        let mut all = Vec::new();
        for (row, is) in programme.rows.iter_mut().zip(&self.rows) {
            let RowIs::Bound(Bound::Demand(state, what)) = *is else { continue };
            let cost = price(state, what);
            let first = programme.columns.len();
            row.terms.extend([(first, 1.0), (first + 1, -1.0)]);
            programme.columns.extend([Column { cost, low: 0.0, high: f64::INFINITY }; 2]);
            all.push(Gives { state, what, first });
        }
        (all, programme)
    }

    /// The least by which demands must give, at these prices per unit (kg or kg·m).
    pub(super) fn relaxed(
        &self,
        price: &dyn Fn(usize, Demanded) -> f64,
    ) -> Result<Relaxation, PlanError> {
        let (all, mut programme) = self.elastic(price);
        for column in programme.columns.iter_mut().take(self.programme.columns.len()) {
            column.cost = 0.0;
        }
        let Solved::Optimum(found) = programme.solved() else { return Err(PlanError::Unsolved) };
        let gives = all.iter().map(|one| Given {
            state: one.state,
            what: one.what,
            amount: one.amount(&found),
        });
        let gives: Vec<Given> = gives.filter(|given| given.amount.abs() > NOTHING).collect();
        let costs = gives.iter().map(|g| price(g.state, g.what) * g.amount.abs());
        Ok(Relaxation { total: costs.sum(), gives })
    }
}

/// A demand that gives, and the first of its two columns: short, and beyond.
struct Gives {
    state: usize,
    what: Demanded,
    first: usize,
}

impl Gives {
    fn amount(&self, found: &Optimum) -> f64 {
        found.values[self.first] - found.values[self.first + 1]
    }
}

/// The least mass that meets all demands of a task, as a linear programme: what lies across the water's surface counts
/// as its first gram does, and a free tank's liquid has the height that it has when it is as full as it may be.
///
/// # Errors
/// [`PlanError`] for a task that cannot be calculated.
pub fn linear_plan(task: &PlanTask) -> Result<LinearAnswer, PlanError> {
    task.check()?;
    let built = Built::of(task, &task.states, None, &Weighing::EXACTLY_MASS)?;
    Ok(match built.best()? {
        Some((loading, found)) => {
            LinearAnswer::Met(LinearPlan { loading, binding: built.binding(&found)? })
        }
        None => LinearAnswer::CannotBeMet,
    })
}

/// The least by which the demands of a task must give, at these prices per kg or kg·m of each demand of each state
/// (by number).
///
/// # Errors
/// [`PlanError`] for a task that cannot be calculated.
pub fn relaxation(
    task: &PlanTask,
    price: &dyn Fn(usize, Demanded) -> f64,
) -> Result<Relaxation, PlanError> {
    task.check()?;
    Built::of(task, &task.states, None, &Weighing::EXACTLY_MASS)?.relaxed(price)
}
