//! Why a typed number was not taken, in words.

use super::speech::speech;
use super::t;
use trimwright::unit::NumberError;

/// Why it was not taken.
pub(crate) fn number(problem: &NumberError) -> String {
    let figure = |value: &f64| speech().decimal.mark(&value.to_string());
    match problem {
        NumberError::Missing => t!("number.missing"),
        NumberError::NotANumber(text) => t!("number.not_a_number", text = text),
        NumberError::Ambiguous(text) => t!("number.ambiguous", text = text),
        NumberError::OutOfRange { value, low, high } => {
            let [value, low, high] = [value, low, high].map(figure);
            t!("number.out_of_range", value = value, low = low, high = high)
        }
        // The core may learn of others before this does.
        _ => t!("made.other"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn english_is_as_the_core_says_it() {
        for problem in [
            NumberError::Missing,
            NumberError::NotANumber("1x".to_owned()),
            NumberError::Ambiguous("1.5,2".to_owned()),
            NumberError::OutOfRange { value: 7.5, low: 0.0, high: 3.0 },
        ] {
            assert_eq!(number(&problem), problem.to_string(), "");
        }
    }
}
