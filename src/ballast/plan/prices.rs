//! What letting out a limit would save.

use super::bound::{Binding, Bound};
use super::built::{Built, RowIs};
use super::linear::{Optimum, Programme, Solved};

/// Prices below this are left out: nothing hangs on them.
const NO_PRICE: f64 = 0.005;
/// By how much a limit is let out to find what that saves, kg, kg·m or share.
const A_LITTLE: f64 = 1e-5;

impl Built<'_> {
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
    pub(super) fn binding(&self, found: &Optimum) -> Vec<Binding> {
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
        binding
    }
}
