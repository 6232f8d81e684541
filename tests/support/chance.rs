//! Draws by chance, the same ones each time, and how many hits of such draws are to be expected.

use std::f64::consts::PI;

/// Draws from a stream of its own; the number is any seed.
pub struct Noise(pub u64);

impl Noise {
    /// Evenly between 0 and 1, neither of them: `SplitMix64`.
    pub fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^= z >> 31;
        ((z >> 11) as f64 + 0.5) / (1u64 << 53) as f64
    }

    /// Mean 0, standard deviation 1: Box and Muller.
    pub fn normal(&mut self) -> f64 {
        (-2.0 * self.even().ln()).sqrt() * (2.0 * PI * self.even()).cos()
    }
}

/// Share of normal values within one standard deviation: erf(1/√2).
pub const WITHIN_ONE: f64 = 0.682_689_492;
/// Share of normal values within two standard deviations: erf(√2).
pub const WITHIN_TWO: f64 = 0.954_499_736;

/// The least and the most hits of so many draws, of which each hits with a chance of `share`, that
/// only `rare` of such tests stays below or goes above.
pub fn binomial_bounds(draws: u32, share: f64, rare: f64) -> [u32; 2] {
    let n = f64::from(draws);
    // In logarithms: the chance of no hit at all in a thousand draws is below every number.
    let mut log_chance = n * (1.0 - share).ln();
    let mut below = 0.0;
    let mut bounds = [0, draws];
    for k in 0..=draws {
        let chance = log_chance.exp();
        if below + chance < rare {
            bounds[0] = k + 1;
        }
        if below < 1.0 - rare {
            bounds[1] = k;
        }
        below += chance;
        log_chance += ((n - f64::from(k)) / f64::from(k + 1) * share / (1.0 - share)).ln();
    }
    bounds
}
