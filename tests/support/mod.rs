//! What the tests share: assertions that say what was off, bodies, and the reader of JSON cases.

#![allow(dead_code, unreachable_pub, reason = "each test file uses its own part of this")]
#![allow(missing_docs, reason = "test code")]

use proptest::prelude::ProptestConfig;
use proptest::test_runner::RngSeed;

pub mod bodies;
pub mod case;
pub mod chance;
pub mod diary;
pub mod differs;
pub mod fit;
pub mod locale;
pub mod random;
pub mod real;
pub mod session;

/// Relative error against a value from outside.
#[track_caller]
pub fn assert_close(got: f64, expected: f64, relative: f64, what: &str) {
    let off = (got - expected).abs() / expected.abs().max(f64::MIN_POSITIVE);
    assert!(off <= relative, "{what}: got {got}, expected {expected}, off by {off:.3e} of it");
}

/// Absolute error against a value from outside.
#[track_caller]
pub fn assert_within(got: f64, expected: f64, tolerance: f64, what: &str) {
    let off = (got - expected).abs();
    assert!(off <= tolerance, "{what}: got {got}, expected {expected}, off by {off:.3e}");
}

/// How many random cases a test runs, from its fixed seed or the one in `PROPTEST_RNG_SEED`.
pub fn random_cases(n: u32, seed: u64) -> ProptestConfig {
    let usual = ProptestConfig::default();
    let rng_seed = match usual.rng_seed {
        RngSeed::Random => RngSeed::Fixed(seed),
        given @ RngSeed::Fixed(_) => given,
    };
    ProptestConfig { cases: n, failure_persistence: None, rng_seed, ..usual }
}
