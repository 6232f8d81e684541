//! Why a typed number was not taken, in words.

use super::speech::figure;
use super::t;
use trimwright::unit::NumberError;

/// Why it was not taken.
pub(crate) fn number(problem: &NumberError) -> String {
    match problem {
        NumberError::Missing => t!("number.missing"),
        NumberError::NotANumber(text) => t!("number.not_a_number", text = text),
        NumberError::Ambiguous(text) => t!("number.ambiguous", text = text),
        NumberError::OutOfRange { value, low, high } => {
            let [value, low, high] = [*value, *low, *high].map(figure);
            t!("number.out_of_range", value = value, low = low, high = high)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::says_as_the_core;

    #[test]
    fn english_is_as_the_core_says_it() {
        says_as_the_core(
            number,
            [
                NumberError::Missing,
                NumberError::NotANumber("1x".to_owned()),
                NumberError::Ambiguous("1.5,2".to_owned()),
                NumberError::OutOfRange { value: 7.5, low: 0.0, high: 3.0 },
            ],
        );
    }
}
