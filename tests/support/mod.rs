//! What the tests share: assertions that say what was off, bodies, and the reader of JSON cases.

#![allow(dead_code, unreachable_pub, reason = "each test file uses its own part of this")]
#![allow(missing_docs, reason = "test code")]

pub mod bodies;
pub mod case;

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
