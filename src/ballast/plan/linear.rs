//! A linear programme, solved by an interior-point library: numbers only, it knows nothing of boats.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettings, DefaultSolver, IPSolver, NonnegativeConeT, SolverStatus, SupportedConeT,
    ZeroConeT,
};

/// An unknown: what a unit of it costs, and between what it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Column {
    pub(super) cost: f64,
    pub(super) low: f64,
    pub(super) high: f64,
}

/// A sum of unknowns (number, factor) and between what it lies; either limit may be infinite.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    pub(super) terms: Vec<(usize, f64)>,
    pub(super) low: f64,
    pub(super) high: f64,
}

/// What is to be made least.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Programme {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Row>,
}

/// The least, and what each limit costs: so much would be saved for each unit by which it is let out, at both ends.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Optimum {
    pub(super) values: Vec<f64>,
    pub(super) row_prices: Vec<f64>,
    /// The price of both limits of a column, and that of its upper one alone.
    pub(super) column_prices: Vec<[f64; 2]>,
}

/// What comes of a programme.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Solved {
    Optimum(Optimum),
    /// No values lie within all limits.
    Infeasible,
    /// The solver came to no end, or a number was none.
    Unsolved,
}

/// Limits closer than this are one value.
const ONE_VALUE: f64 = 1e-12;
/// Gap and feasibility at which the solver stops: far below a milligram.
const EXACT: f64 = 1e-10;
/// Steps of the solver; it needs a dozen or two.
const STEPS: u32 = 200;

/// One inequality or equation of the solver: whose it is, and by which sign it is turned.
#[derive(Clone, Copy)]
enum Limit {
    Row(usize),
    Low(usize),
    High(usize),
}

/// The solver's own form: sums, each at most (or exactly) a right-hand side.
#[derive(Default)]
struct Form {
    entries: [Vec<usize>; 2],
    factors: Vec<f64>,
    right: Vec<f64>,
    limits: Vec<Limit>,
}

impl Form {
    fn push(&mut self, limit: Limit, terms: &[(usize, f64)], sign: f64, right: f64) {
        let row = self.right.len();
        for &(column, factor) in terms {
            self.entries[0].push(row);
            self.entries[1].push(column);
            self.factors.push(sign * factor);
        }
        self.right.push(sign * right);
        self.limits.push(limit);
    }

    /// Puts in a sum between two limits where they are one value (`equal`) or where they are not.
    fn between(&mut self, limits: [Limit; 2], terms: &[(usize, f64)], at: [f64; 2], equal: bool) {
        let [low, high] = at;
        let is_one = high - low <= ONE_VALUE;
        if is_one != equal {
            return;
        }
        if is_one {
            self.push(limits[1], terms, 1.0, f64::midpoint(low, high));
            return;
        }
        if high.is_finite() {
            self.push(limits[1], terms, 1.0, high);
        }
        if low.is_finite() {
            self.push(limits[0], terms, -1.0, low);
        }
    }
}

impl Programme {
    /// True when every number is one and every unknown of a row is there.
    fn is_sound(&self) -> bool {
        let columns = self
            .columns
            .iter()
            .all(|c| c.cost.is_finite() && !c.low.is_nan() && !c.high.is_nan() && c.low <= c.high);
        let rows = self.rows.iter().all(|row| {
            let terms = row.terms.iter().all(|&(k, f)| k < self.columns.len() && f.is_finite());
            terms && !row.low.is_nan() && !row.high.is_nan() && row.low <= row.high
        });
        columns && rows && !self.columns.is_empty()
    }

    fn form(&self) -> (Form, usize) {
        let mut form = Form::default();
        let mut n_equal = 0;
        for equal in [true, false] {
            for (k, row) in self.rows.iter().enumerate() {
                form.between([Limit::Row(k); 2], &row.terms, [row.low, row.high], equal);
            }
            for (k, c) in self.columns.iter().enumerate() {
                let limits = [Limit::Low(k), Limit::High(k)];
                form.between(limits, &[(k, 1.0)], [c.low, c.high], equal);
            }
            if equal {
                n_equal = form.right.len();
            }
        }
        (form, n_equal)
    }

    /// Solves it.
    pub(super) fn solved(&self) -> Solved {
        if !self.is_sound() {
            return Solved::Unsolved;
        }
        let n = self.columns.len();
        let (form, n_equal) = self.form();
        let Form { entries: [rows, columns], factors, right, limits } = form;
        let sums = CscMatrix::new_from_triplets(right.len(), n, rows, columns, factors);
        let costs: Vec<f64> = self.columns.iter().map(|c| c.cost).collect();
        let cones: [SupportedConeT<f64>; 2] =
            [ZeroConeT(n_equal), NonnegativeConeT(right.len() - n_equal)];
        let settings = DefaultSettings {
            verbose: false,
            max_iter: STEPS,
            tol_gap_abs: EXACT,
            tol_gap_rel: EXACT,
            tol_feas: EXACT,
            ..DefaultSettings::default()
        };
        let none = CscMatrix::zeros((n, n));
        let Ok(mut solver) = DefaultSolver::new(&none, &costs, &sums, &right, &cones, settings)
        else {
            return Solved::Unsolved;
        };
        solver.solve();
        let found = &solver.solution;
        match found.status {
            SolverStatus::Solved | SolverStatus::AlmostSolved => {
                Solved::Optimum(self.optimum(&found.x, &found.z, &limits))
            }
            SolverStatus::PrimalInfeasible | SolverStatus::AlmostPrimalInfeasible => {
                Solved::Infeasible
            }
            _ => Solved::Unsolved,
        }
    }

    fn optimum(&self, values: &[f64], duals: &[f64], limits: &[Limit]) -> Optimum {
        let mut row_prices = vec![0.0; self.rows.len()];
        let mut column_prices = vec![[0.0; 2]; self.columns.len()];
        for (limit, dual) in limits.iter().zip(duals) {
            match *limit {
                Limit::Row(k) => row_prices[k] += dual.abs(),
                Limit::Low(k) => column_prices[k][0] += dual.abs(),
                Limit::High(k) => {
                    column_prices[k][0] += dual.abs();
                    column_prices[k][1] += dual.abs();
                }
            }
        }
        // An interior point stops just inside, or by rounding just outside, its limits.
        let columns = values.iter().zip(&self.columns);
        let values = columns.map(|(v, c)| v.max(c.low).min(c.high)).collect();
        Optimum { values, row_prices, column_prices }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(cost: f64, low: f64, high: f64) -> Column {
        Column { cost, low, high }
    }

    #[test]
    fn a_programme_that_can_be_solved_by_hand_has_its_least_and_its_prices() {
        // Least 2a + 3b with a + b ≥ 4, a ≤ 3, b ≥ 0: a = 3, b = 1, 9 in all. One less of the sum saves a
        // whole b (3); one more of a saves the difference (1).
        let columns = vec![column(2.0, 0.0, 3.0), column(3.0, 0.0, f64::INFINITY)];
        let sum = Row { terms: vec![(0, 1.0), (1, 1.0)], low: 4.0, high: f64::INFINITY };
        let Solved::Optimum(got) = (Programme { columns, rows: vec![sum] }).solved() else {
            panic!("it has a solution")
        };
        let near = |got: f64, expected: f64| (got - expected).abs() < 1e-7;
        assert!(near(got.values[0], 3.0) && near(got.values[1], 1.0), "{got:?}");
        assert!(near(got.row_prices[0], 3.0), "{got:?}");
        assert!(near(got.column_prices[0][1], 1.0), "{got:?}");
    }

    #[test]
    fn limits_that_exclude_one_another_are_infeasible_and_no_number_is_unsolved() {
        let columns = vec![column(1.0, 0.0, 1.0)];
        let row = Row { terms: vec![(0, 1.0)], low: 2.0, high: 2.0 };
        let wrong = Programme { columns: columns.clone(), rows: vec![row.clone()] };
        assert_eq!(wrong.solved(), Solved::Infeasible);
        let row = Row { terms: vec![(0, f64::NAN)], ..row };
        assert_eq!(Programme { columns, rows: vec![row] }.solved(), Solved::Unsolved);
        assert_eq!(Programme::default().solved(), Solved::Unsolved, "nothing to find");
    }
}
