//! What is wrong with a cure, in words.

use super::t;
use trimwright::dive::ChangeError;

/// Why a cure cannot be made.
pub(crate) fn change(problem: &ChangeError) -> String {
    match problem {
        ChangeError::NoPart(number) => t!("way.no_part", number = number),
        ChangeError::NoTank(number) => t!("way.no_such_tank", number = number),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(change, [ChangeError::NoPart(2), ChangeError::NoTank(3)]);
    }
}
