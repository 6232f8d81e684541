//! Why a reading gives no answer, in words.

use super::speech::figure;
use super::{model, t};
use trimwright::answer::Refusal;
use trimwright::fit::FitError;
use trimwright::reading::{Condition, ReadingError};

/// Why there is no answer.
pub(crate) fn refusal(problem: &Refusal) -> String {
    match problem {
        Refusal::Fit(problem) => fit(problem),
        Refusal::Boat(problem) => model::boat(problem),
        Refusal::NoMarks => t!("fit.no_marks"),
    }
}

/// Why a reading fits no boat.
fn fit(problem: &FitError) -> String {
    match problem {
        FitError::Reading(problem) => reading(problem),
        FitError::Boat(problem) => model::boat(problem),
        FitError::NoFit => t!("fit.no_fit"),
    }
}

/// Why a reading cannot be used.
fn reading(problem: &ReadingError) -> String {
    match problem {
        ReadingError::Nothing => t!("fit.nothing_read"),
        ReadingError::Spread(spread) => t!("fit.spread", spread = figure(*spread)),
        ReadingError::Value(value) => t!("fit.value", value = figure(*value)),
        ReadingError::WrongCondition(Condition::Afloat) => t!("fit.not_afloat"),
        ReadingError::WrongCondition(Condition::Under) => t!("fit.not_under"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(
            fit,
            [
                FitError::Reading(ReadingError::Nothing),
                FitError::Reading(ReadingError::Spread(0.0)),
                FitError::Reading(ReadingError::Value(1e9)),
                FitError::Reading(ReadingError::WrongCondition(Condition::Afloat)),
                FitError::Reading(ReadingError::WrongCondition(Condition::Under)),
                FitError::NoFit,
            ],
        );
    }
}
