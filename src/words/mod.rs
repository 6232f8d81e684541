//! Finds words in the language of the view. The words themselves are in `locale/`, all of them.

pub(crate) mod caution;
pub(crate) mod checks;
pub(crate) mod diary;
pub(crate) mod entry;
pub(crate) mod file;
pub(crate) mod fit;
pub(crate) mod given;
pub(crate) mod material;
pub(crate) mod mesh;
pub(crate) mod model;
pub(crate) mod number;
pub(crate) mod past;
pub(crate) mod quick;
pub(crate) mod record;
pub(crate) mod solid;
pub(crate) mod speech;
pub(crate) mod stl;
pub(crate) mod tank;
pub(crate) mod water;
pub(crate) mod way;
pub(crate) mod within;

use std::borrow::Cow;
use std::cell::Cell;
use std::fmt::Display;

// Puts the files of `locale/` into the program, and makes the function that finds texts in them.
rust_i18n::i18n!("locale", fallback = "en");

/// A language the app speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) enum Language {
    /// English, of which every other language is a translation.
    #[default]
    English,
    /// German.
    German,
}

impl Language {
    /// All of them.
    pub(crate) const ALL: [Self; 2] = [Self::English, Self::German];

    /// Its code (BCP 47), and the name of its files in `locale/`.
    pub(crate) const fn code(self) -> &'static str {
        match self {
            Self::English => "en",
            Self::German => "de",
        }
    }

    /// The language of a code, whatever the region; none if the app does not speak it.
    pub(crate) fn of_code(code: &str) -> Option<Self> {
        let primary = code.split(['-', '_']).next().unwrap_or_default();
        Self::ALL.into_iter().find(|language| language.code().eq_ignore_ascii_case(primary))
    }
}

thread_local! {
    static LANGUAGE: Cell<Language> = const { Cell::new(Language::English) };
}

/// The language of the view.
pub(crate) fn language() -> Language {
    LANGUAGE.get()
}

/// Lets what is said from now on be said in this language.
pub(crate) fn speak_language(language: Language) {
    LANGUAGE.set(language);
}

/// The words under a key, with what is put into them: `t!("pool.more", count = 3)` fills in `%{count}`.
macro_rules! t {
    ($key:expr $(,)?) => {
        $crate::words::find($key)
    };
    ($key:expr, $($name:ident = $value:expr),+ $(,)?) => {
        $crate::words::find_with(
            $key,
            &[$((stringify!($name), &$value as &dyn ::std::fmt::Display)),+],
        )
    };
}
pub(crate) use t;

/// The words under a key; in English where the language has none, the key itself where there are none
/// at all. (`tests/house/words.rs` sees to it that neither happens.)
pub(crate) fn find(key: &str) -> String {
    find_in(language(), key)
}

fn find_in(language: Language, key: &str) -> String {
    _rust_i18n_try_translate(language.code(), key).map_or_else(|| key.to_owned(), Cow::into_owned)
}

/// As [`find`], with values put in by name.
pub(crate) fn find_with(key: &str, values: &[(&str, &dyn Display)]) -> String {
    let names: Vec<&str> = values.iter().map(|(name, _)| *name).collect();
    let values: Vec<String> = values.iter().map(|(_, value)| value.to_string()).collect();
    rust_i18n::replace_patterns(&find(key), &names, &values)
}

/// What is said of an error that the core has and this does not know yet: its enums may grow.
pub(crate) fn other() -> String {
    t!("made.other")
}

/// In English errors are said as the core says them.
#[cfg(test)]
#[track_caller]
fn says_as_the_core<E: Display>(say: impl Fn(&E) -> String, all: impl IntoIterator<Item = E>) {
    for problem in all {
        assert_eq!(say(&problem), problem.to_string(), "");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_region_does_not_matter() {
        assert_eq!(Language::of_code("de-AT"), Some(Language::German), "");
        assert_eq!(Language::of_code("en_GB"), Some(Language::English), "");
        assert_eq!(Language::of_code("fr"), None, "not spoken");
        assert_eq!(Language::of_code(""), None, "nothing chosen");
    }

    #[test]
    fn words_are_found_in_the_language_and_filled_in() {
        assert_eq!(find_in(Language::English, "place.diary"), "Diary", "");
        assert_eq!(find_in(Language::German, "place.diary"), "Tagebuch", "");
        assert_eq!(t!("side.to_starboard", much = "3.2°"), "3.2° to starboard", "as spoken");
        assert_eq!(find_in(Language::German, "no.such.key"), "no.such.key", "nothing there");
    }
}
