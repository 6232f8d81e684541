//! What must give where not all demands can be met at once.

use super::bound::Bound;
use super::built::{Built, RowIs};
use super::columns::NOTHING;
use super::demanded::Demanded;
use super::linear::{Column, Optimum, Programme, Solved};
use super::task::{Loading, PlanError};

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

/// What a demand's giving costs where it should only if nothing else will do, per kg or kg·m: a thousand times a mass.
const GIVES_LAST: f64 = 1e3;
/// Less than this a demand does not give, kg or kg·m: far below what is read.
const GIVES_NOTHING: f64 = 1e-6;

impl Built<'_> {
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
