//! What of a case does not agree.

/// What differs, a line each.
#[derive(Default)]
pub(crate) struct Differs(pub(crate) Vec<String>);

impl Differs {
    pub(crate) fn within(&mut self, what: &str, got: f64, expected: f64, tolerance: f64) {
        // Written so that a result that is not a number differs too.
        let agrees = (got - expected).abs() <= tolerance;
        if !agrees {
            self.0.push(format!("{what}: got {got}, expected {expected} ± {tolerance}"));
        }
    }
}
