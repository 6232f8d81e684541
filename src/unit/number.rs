//! How a typed number is read, and a calculated one written.

/// Why a typed number was not taken.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NumberError {
    /// Nothing was typed.
    #[error("type a number")]
    Missing,
    /// It is not a number.
    #[error("\"{0}\" is not a number: type digits, with one point or comma for decimals")]
    NotANumber(String),
    /// Both marks, or one of them more than once: which one divides is a guess.
    #[error("\"{0}\" can be read in two ways: leave out the thousands mark")]
    Ambiguous(String),
    /// Outside what the field takes.
    #[error("{value} is outside {low} to {high}")]
    OutOfRange {
        /// What was typed.
        value: f64,
        /// Least allowed.
        low: f64,
        /// Greatest allowed.
        high: f64,
    },
}

/// Reads a number as people type it: spaces around it are ignored, a comma or a point divides
/// the decimals, and a real minus sign counts as a minus. `"1,5"` is 1.5, never 15.
///
/// # Errors
/// [`NumberError`] when it is empty, not a number, or holds more than one decimal mark.
pub fn read_number(text: &str) -> Result<f64, NumberError> {
    let text = text.trim();
    if text.is_empty() {
        return Err(NumberError::Missing);
    }
    if text.chars().filter(|c| matches!(c, ',' | '.')).count() > 1 {
        return Err(NumberError::Ambiguous(text.to_owned()));
    }
    let plain = text.replace(',', ".").replace('\u{2212}', "-");
    let digits = plain.trim_start_matches(['-', '+']);
    let looks_right = plain.len() - digits.len() <= 1
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.')
        && digits.chars().any(|c| c.is_ascii_digit());
    match plain.parse::<f64>() {
        Ok(value) if looks_right && value.is_finite() => Ok(value),
        _ => Err(NumberError::NotANumber(text.to_owned())),
    }
}

/// As [`read_number`], and within `low..=high`.
///
/// # Errors
/// As [`read_number`], and [`NumberError::OutOfRange`].
pub fn read_number_within(text: &str, low: f64, high: f64) -> Result<f64, NumberError> {
    let value = read_number(text)?;
    if (low..=high).contains(&value) {
        Ok(value)
    } else {
        Err(NumberError::OutOfRange { value, low, high })
    }
}

/// What divides decimals where numbers are written; both are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Decimal {
    /// A point.
    #[default]
    Point,
    /// A comma.
    Comma,
}

impl Decimal {
    /// As [`write_number`], with this mark.
    pub fn write(self, value: f64, decimals: usize) -> String {
        self.with_mark(&write_number(value, decimals))
    }

    /// As [`Self::write`], without the noughts behind that say nothing: 2 and not 2.00.
    pub fn write_short(self, value: f64, decimals: usize) -> String {
        let text = write_number(value, decimals);
        let short = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            text.as_str()
        };
        self.with_mark(short)
    }

    /// A number that is written already, with this mark in it.
    pub fn with_mark(self, number: &str) -> String {
        match self {
            Self::Point => number.replace(',', "."),
            Self::Comma => number.replace('.', ","),
        }
    }
}

/// Writes a number with `decimals` places, a decimal point, a real minus sign, and no "-0".
pub fn write_number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(digits) if digits.chars().all(|c| matches!(c, '0' | '.')) => digits.to_owned(),
        Some(digits) => format!("\u{2212}{digits}"),
        None => text,
    }
}

/// Digits of a figure that is told as it is: more say nothing about a model boat.
const DIGITS: i32 = 6;
/// Below this a figure is what arithmetic left of nothing, in whatever unit it is.
const NOTHING: f64 = 1e-9;

/// Writes a number as it is, to six digits that tell something, without noughts behind and without "-0": what
/// arithmetic left of nothing is 0, and never 0.00000000000002143132. Its minus is that of the keyboard, as in
/// the errors of the core.
pub fn write_plain(value: f64) -> String {
    if value.abs() < NOTHING {
        return "0".to_owned();
    }
    if !value.is_finite() {
        return value.to_string();
    }
    #[expect(clippy::cast_possible_truncation, reason = "a logarithm of a number is small")]
    let before = value.abs().log10().floor() as i32;
    let decimals = usize::try_from(DIGITS - 1 - before).unwrap_or(0);
    Decimal::Point.write_short(value, decimals).replace('\u{2212}', "-")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_as_people_type_them() {
        for (typed, value) in [
            ("1,5", 1.5),
            (" 12 ", 12.0),
            ("-3.2", -3.2),
            ("\u{2212}7", -7.0),
            (".5", 0.5),
            ("5.", 5.0),
        ] {
            assert_eq!(read_number(typed), Ok(value), "typed {typed:?}");
        }
    }

    #[test]
    fn what_is_not_a_number_is_refused_not_guessed() {
        assert_eq!(read_number(""), Err(NumberError::Missing), "nothing typed");
        for typed in ["1,500.0", "1.2.3", "1,2,3"] {
            let got = read_number(typed);
            assert!(matches!(got, Err(NumberError::Ambiguous(_))), "{typed:?} gave {got:?}");
        }
        for typed in ["12 g", "NaN", "inf", "--3", "e5", "1e5", "."] {
            let got = read_number(typed);
            assert!(matches!(got, Err(NumberError::NotANumber(_))), "{typed:?} gave {got:?}");
        }
    }

    #[test]
    fn zero_is_written_without_a_sign() {
        assert_eq!(write_number(-0.04, 1), "0.0", "a rounded nothing");
        assert_eq!(write_number(-1.25, 1), "\u{2212}1.2", "a real minus");
    }

    #[test]
    fn a_number_is_read_back_whatever_divides_its_decimals() {
        for (mark, written) in [(Decimal::Point, "\u{2212}7.50"), (Decimal::Comma, "\u{2212}7,50")]
        {
            assert_eq!(mark.write(-7.5, 2), written, "{mark:?}");
            assert_eq!(read_number(written), Ok(-7.5), "{mark:?}");
        }
        assert_eq!(Decimal::Comma.with_mark("1.5"), "1,5", "typed with a point");
        assert_eq!(Decimal::Point.with_mark("1,5"), "1.5", "typed with a comma");
    }

    #[test]
    fn what_arithmetic_left_of_nothing_is_nothing() {
        for (value, written) in [
            (2.143_132e-14, "0"),
            (-2.143_132e-14, "0"),
            (-0.0, "0"),
            (0.1 + 0.2, "0.3"),
            (48.799_999_999_999_996, "48.8"),
            (-0.000_012, "-0.000012"),
            (1.0 / 3.0, "0.333333"),
            (2.0 / 3.0 * 1e-3, "0.000666667"),
            (999_999.96, "1000000"),
            (12_345_678.9, "12345679"),
            (700.0, "700"),
            (7.25, "7.25"),
            (f64::NAN, "NaN"),
        ] {
            assert_eq!(write_plain(value), written, "{value:e}");
        }
    }

    #[test]
    fn noughts_behind_the_mark_are_left_out_and_others_stay() {
        for (value, decimals, written) in
            [(2.0, 2, "2"), (2.5, 2, "2,5"), (120.0, 0, "120"), (100.0, 1, "100"), (-0.001, 2, "0")]
        {
            assert_eq!(Decimal::Comma.write_short(value, decimals), written, "{value}");
        }
    }
}
