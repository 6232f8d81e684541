//! Water that leaves a space while the level outside falls, over one step of a way.

use super::outcome::Outcome;
use crate::boat::Space;

/// How often at the most a step is gone over; those of the boats that come with the app take two
/// or three.
const ROUNDS: u32 = 40;
/// Share of a space by which its water may change in a last round: of a litre a microgram. What is
/// left adds up over the rows, and is to stay below what a step is off by.
const CLOSE: f64 = 1e-9;
/// How many times a round's change may be taken at once.
const BOLDEST: f64 = 50.0;

/// What the spaces hold at the end of a step, while the level outside them at that end is sought:
/// it depends on how the boat lies, and that on what they hold. Levels are volumes of the cavity
/// below them, m³.
///
/// With the level outside o going evenly from one row to the next and dh/dt = -(h - o) / τ,
/// h after a time t is w o₁ + (1 - w) o₀ + (h₀ - o₀) e, e = exp(-t / τ), w = 1 - (1 - e) τ / t
/// (closed form of the linear equation); it is never below o₁.
#[derive(Debug)]
pub(super) struct Draining {
    /// Of each space: the cavity, w, and what does not depend on the level outside at the end.
    spaces: Vec<[f64; 3]>,
    /// The levels outside that were taken for true.
    taken: Vec<f64>,
    /// What came of the round before: the levels found, and what they were off.
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

    /// What the spaces hold with the levels that are taken for true.
    pub(super) fn held(&self) -> Vec<f64> {
        let held = |(space, &outside): (&[f64; 3], &f64)| held_in(space, outside);
        self.spaces.iter().zip(&self.taken).map(held).collect()
    }

    /// Hears the levels outside of the boat at rest with that; true when it comes to the same, or
    /// there were rounds enough. Otherwise others are taken: along the line through the last two
    /// rounds (Anderson 1965, J. ACM 12:547, with one round remembered: the secant method where
    /// there is one space).
    pub(super) fn agrees(&mut self, found: Vec<f64>) -> bool {
        self.rounds += 1;
        let same = |((space, &taken), &found): ((&[f64; 3], &f64), &f64)| {
            (held_in(space, found) - held_in(space, taken)).abs() <= CLOSE * space[0]
        };
        if self.rounds >= ROUNDS || self.spaces.iter().zip(&self.taken).zip(&found).all(same) {
            return true;
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
        false
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
