//! Why a boat cannot be made as it was, in words.

use super::t;
use trimwright::diary::TakeOverError;

/// Why a boat as it was cannot be taken over.
pub(crate) fn take_over(problem: &TakeOverError) -> String {
    match problem {
        TakeOverError::ShapesMissing(1) => t!("past.shapes_missing_one"),
        TakeOverError::ShapesMissing(n) => t!("past.shapes_missing_other", count = n),
        TakeOverError::NotKept => t!("past.not_kept"),
    }
}
