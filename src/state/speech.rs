//! How the app speaks: in which units, and with which decimal mark.
//!
//! One way of speaking holds for the whole view, which is made anew when another one is chosen; so words
//! about figures need not be handed it from each screen to each line. What is calculated or read in this
//! layer takes its units as an argument.

use std::cell::Cell;
use trimwright::diary::{DecimalMark, Settings};
use trimwright::unit::{Decimal, Units};

thread_local! {
    static SPEECH: Cell<Units> = const { Cell::new(Units::METRIC) };
}

/// How the view speaks.
pub(crate) fn speech() -> Units {
    SPEECH.get()
}

/// Lets what is made of the view from now on speak so.
pub(crate) fn speak(units: Units) {
    SPEECH.set(units);
}

/// Speaks so for the time of a test, and then as before.
#[cfg(test)]
pub(crate) fn while_speaking<T>(units: Units, what: impl FnOnce() -> T) -> T {
    let before = SPEECH.replace(units);
    let said = what();
    SPEECH.set(before);
    said
}

/// How the settings want it.
pub(crate) fn units_of(settings: &Settings) -> Units {
    let decimal = match settings.decimal {
        DecimalMark::Point => Decimal::Point,
        DecimalMark::Comma => Decimal::Comma,
        DecimalMark::OfLanguage => mark_of_language(&settings.language),
    };
    Units { decimal, ..Units::from(settings.units()) }
}

/// What divides decimals in a language (BCP 47).
fn mark_of_language(language: &str) -> Decimal {
    match language.split('-').next() {
        Some("de") => Decimal::Comma,
        _ => Decimal::Point,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::diary::LengthUnit;
    use trimwright::unit::Length;

    #[test]
    fn a_mark_that_is_chosen_wins_over_the_language_s() {
        let german = Settings { language: "de-AT".to_owned(), ..Settings::default() };
        assert_eq!(units_of(&german).decimal, Decimal::Comma, "as the language writes it");
        let chosen = Settings { decimal: DecimalMark::Point, length: LengthUnit::Inch, ..german };
        let units = units_of(&chosen);
        assert_eq!((units.decimal, units.length), (Decimal::Point, Length::Inch), "as chosen");
        assert_eq!(units_of(&Settings::default()), Units::METRIC, "nothing chosen");
    }
}
