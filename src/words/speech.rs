//! How the app speaks: in which language and units, and with which decimal mark.
//!
//! One way of speaking holds for the whole view, which is made anew when another one is chosen; so words
//! about figures need not be handed it from each screen to each line. What is calculated or read in this
//! layer takes its units as an argument.

use super::Language;
use std::cell::Cell;
use trimwright::diary::{DecimalMark, Settings};
use trimwright::unit::{Decimal, Units, write_plain};

thread_local! {
    static SPEECH: Cell<Units> = const { Cell::new(Units::METRIC) };
    static PHONE: Cell<Language> = const { Cell::new(Language::English) };
}

/// How the view speaks.
pub(crate) fn speech() -> Units {
    SPEECH.get()
}

/// Lets what is made of the view from now on speak so.
pub(crate) fn speak(units: Units) {
    SPEECH.set(units);
}

/// A figure as it is, with the decimal mark in force.
pub(crate) fn figure(value: f64) -> String {
    speech().decimal.with_mark(&write_plain(value))
}

/// Speaks so for the time of a test, and then as before.
#[cfg(test)]
pub(crate) fn while_speaking<T>(units: Units, what: impl FnOnce() -> T) -> T {
    let before = SPEECH.replace(units);
    let said = what();
    SPEECH.set(before);
    said
}

/// Takes the first language of the phone's that the app speaks for the one to speak where nothing else
/// is chosen.
pub(crate) fn follow_phone(codes: &[String]) {
    PHONE.set(codes.iter().find_map(|code| Language::of_code(code)).unwrap_or_default());
}

/// In which language the settings want it: the one that is chosen, else the phone's.
pub(crate) fn language_of(settings: &Settings) -> Language {
    Language::of_code(&settings.language).unwrap_or_else(|| PHONE.get())
}

/// In which units the settings want it.
pub(crate) fn units_of(settings: &Settings) -> Units {
    let decimal = match settings.decimal {
        DecimalMark::Point => Decimal::Point,
        DecimalMark::Comma => Decimal::Comma,
        DecimalMark::OfLanguage => mark_of_language(language_of(settings)),
    };
    Units { decimal, ..Units::from(settings.units()) }
}

/// What divides decimals in a language.
fn mark_of_language(language: Language) -> Decimal {
    match language {
        Language::English => Decimal::Point,
        Language::German => Decimal::Comma,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use trimwright::diary::LengthUnit;
    use trimwright::unit::Length;

    #[test]
    fn the_phone_s_language_is_spoken_where_none_is_chosen() {
        let nothing = Settings::default();
        let english = Settings { language: "en".to_owned(), ..Settings::default() };
        assert_eq!(language_of(&nothing), Language::English, "not known");
        follow_phone(&["fr-CH".to_owned(), "de-CH".to_owned(), "en".to_owned()]);
        let spoken = [&nothing, &english].map(language_of);
        assert_eq!(spoken, [Language::German, Language::English], "the first that it speaks");
        follow_phone(&[]);
    }

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
