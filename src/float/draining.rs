//! Water that leaves a space while the level outside falls, over one step of a way.

use super::outcome::Outcome;
use super::problem::BoatError;
use crate::boat::Space;

/// Most iterations of a step; the boats that come with the app need two or three.
const ROUNDS: u32 = 40;
/// Share of a space by which its water may change in the last iteration: a microgram per litre. The
/// remainder adds up over the rows, and must stay below the error of a step.
const CLOSE: f64 = 1e-9;
/// Largest extrapolation, in multiples of an iteration's change.
const BOLDEST: f64 = 50.0;

/// What the spaces hold at the end of a step, while the outside level at that end is sought: it
/// depends on how the boat lies, and that on what they hold. Levels are volumes of the cavity below
/// them, m³.
///
/// With the level outside o going evenly from one row to the next and dh/dt = -(h - o) / τ,
/// h after a time t is w o₁ + (1 - w) o₀ + (h₀ - o₀) e, e = exp(-t / τ), w = 1 - (1 - e) τ / t
/// (closed form of the linear equation); it is never below o₁.
#[derive(Debug)]
pub(super) struct Draining {
    /// Of each space: the cavity, w, and what does not depend on the level outside at the end.
    spaces: Vec<[f64; 3]>,
    /// The outside levels assumed.
    taken: Vec<f64>,
    /// The previous iteration: the levels found, and their error.
    before: Option<[Vec<f64>; 2]>,
    rounds: u32,
}

impl Draining {
    /// A step of `seconds`, from spaces that held `held` with `outside` around them; `guess` is
    /// the level outside at its end.
    pub(super) fn new(
        spaces: &[Space],
        held: &[f64],
        outside: &[f64],
        guess: Vec<f64>,
        seconds: f64,
    ) -> Self {
        let space = |((space, held), outside): ((&Space, &f64), &f64)| {
            let times = seconds / space.drain;
            // One that drains at once has the level outside.
            let (left, weight) = if times.is_finite() && times > 0.0 {
                ((-times).exp(), 1.0 + (-times).exp_m1() / times)
            } else {
                (0.0, 1.0)
            };
            [space.cavity.volume(), weight, (1.0 - weight) * outside + (held - outside) * left]
        };
        let spaces = spaces.iter().zip(held).zip(outside).map(space).collect();
        Self { spaces, taken: guess, before: None, rounds: 0 }
    }

    /// What the spaces hold at the assumed levels.
    pub(super) fn held(&self) -> Vec<f64> {
        let held = |(space, &outside): (&[f64; 3], &f64)| held_in(space, outside);
        self.spaces.iter().zip(&self.taken).map(held).collect()
    }

    /// Takes the outside levels of the boat at rest with that; true when they match the assumed
    /// ones. If not, assumes new ones on the line through the last two iterations (Anderson 1965,
    /// J. ACM 12:547, with one iteration remembered: the secant method for one space).
    ///
    /// # Errors
    /// [`BoatError::Unsettled`] when it has not converged within the iterations allowed.
    pub(super) fn agrees(&mut self, found: Vec<f64>) -> Result<bool, BoatError> {
        self.rounds += 1;
        let same = |((space, &taken), &found): ((&[f64; 3], &f64), &f64)| {
            (held_in(space, found) - held_in(space, taken)).abs() <= CLOSE * space[0]
        };
        if self.spaces.iter().zip(&self.taken).zip(&found).all(same) {
            return Ok(true);
        }
        if self.rounds >= ROUNDS {
            return Err(BoatError::Unsettled(ROUNDS));
        }
        let off: Vec<f64> = found.iter().zip(&self.taken).map(|(f, t)| f - t).collect();
        let back = self.before.as_ref().map_or(0.0, |[_, off_before]| {
            let (mut along, mut whole) = (0.0, 0.0);
            for (now, before) in off.iter().zip(off_before) {
                along += (now - before) * now;
                whole += (now - before) * (now - before);
            }
            if whole > 0.0 { (along / whole).clamp(-BOLDEST, 1.0) } else { -BOLDEST }
        });
        let last = self.before.as_ref().map_or(&found, |[found, _]| found);
        let next = |((now, last), space): ((&f64, &f64), &[f64; 3])| {
            (now - back * (now - last)).clamp(0.0, space[0])
        };
        self.taken = found.iter().zip(last).zip(&self.spaces).map(next).collect();
        self.before = Some([found, off]);
        Ok(false)
    }
}

fn held_in([_, weight, rest]: &[f64; 3], outside: f64) -> f64 {
    (weight * outside + rest).max(outside)
}

/// What of a space lies below the surface outside, m³: all of it under water.
pub(super) fn outside(space: &Space, outcome: &Outcome) -> f64 {
    let pose = outcome.pose();
    match outcome.afloat() {
        Some(_) => space.cavity.below(pose.up(), pose.height()).volume,
        None => space.cavity.volume(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frame::Position;
    use crate::geometry::{Fineness, Solid};

    /// A step of a second in which a space of a litre, full, drains as fast.
    fn litre() -> Draining {
        let solid = Solid::Box { size: [0.1; 3], centre: Position::ORIGIN };
        let cavity = solid.mesh(Fineness::WORK).expect("a box");
        let space = Space { name: "space".to_owned(), cavity, permeability: 1.0, drain: 1.0 };
        Draining::new(&[space], &[1e-3], &[1e-3], vec![0.5e-3], 1.0)
    }

    #[test]
    fn levels_that_answer_what_they_are_asked_with_agree_soon() {
        let mut draining = litre();
        // The boat rises by what the space has lost: outside = 0.2 l + held / 2, closed form for the fixed point.
        let mut rounds = 0;
        while !draining
            .agrees(draining.held().iter().map(|held| 0.2e-3 + held / 2.0).collect())
            .expect("it settles")
        {
            rounds += 1;
        }
        // h = w o + (1 - w) V + 0 with o₀ = h₀ = V, w = 1 - (1 - 1/e); and o = 0.2 l + h / 2.
        let weight = (-1.0_f64).exp();
        let rest = (1.0 - weight) * 1e-3;
        let held = (weight * 0.2e-3 + rest) / (1.0 - weight / 2.0);
        let off = (draining.held()[0] - held).abs();
        assert!(off < 1e-11, "{} m³ of {held}", draining.held()[0]);
        assert!(rounds < 10, "{rounds} rounds");
    }

    #[test]
    fn levels_that_come_to_no_rest_are_an_error_that_says_in_how_many_rounds() {
        let mut draining = litre();
        // Whatever is assumed, the boat lies elsewhere: there is no fixed point.
        let elsewhere = |taken: f64| if taken > 0.5e-3 { 0.1e-3 } else { 0.9e-3 };
        for round in 1..ROUNDS {
            let found = vec![elsewhere(draining.taken[0])];
            assert_eq!(draining.agrees(found), Ok(false), "round {round}");
        }
        let found = vec![elsewhere(draining.taken[0])];
        assert_eq!(draining.agrees(found), Err(BoatError::Unsettled(ROUNDS)));
    }
}
