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
pub(crate) mod plan;
pub(crate) mod quick;
pub(crate) mod record;
pub(crate) mod solid;
pub(crate) mod speech;
pub(crate) mod stl;
pub(crate) mod table;
pub(crate) mod tank;
pub(crate) mod water;
pub(crate) mod way;
pub(crate) mod within;

use std::cell::Cell;
use std::fmt::{Display, Write as _};

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

/// Lets what is said from now on be said in this language, or in English while its words are not there; says which
/// of the two it is.
pub(crate) fn speak_language(wanted: Language) -> Language {
    let spoken = if table::has(wanted) { wanted } else { Language::English };
    LANGUAGE.set(spoken);
    spoken
}

/// A text of `locale/`, by its place among all; `word!("pool.more")`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Word(usize);

impl Word {
    /// The text of a key. For keys that are known while the app is compiled: one that there is not does not compile.
    ///
    /// # Panics
    /// Where there is no such key.
    pub(crate) const fn of(key: &str) -> Self {
        Self(table::place(key).expect("a key of `locale/`"))
    }

    /// The text in the language of the view.
    pub(crate) fn text(self) -> &'static str {
        self.text_in(language())
    }

    /// The text in a language.
    pub(crate) fn text_in(self, language: Language) -> &'static str {
        table::text(language, self.0)
    }
}

/// The text of a key, to be said later by `t!`.
macro_rules! word {
    ($key:literal) => {
        const { $crate::words::Word::of($key) }
    };
}
pub(crate) use word;

/// The words of a key, with what is put into them: `t!("pool.more", count = 3)` fills in `%{count}`. Instead of a key
/// it takes a [`Word`].
macro_rules! t {
    ($key:literal $(, $name:ident = $value:expr)* $(,)?) => {
        $crate::words::t!($crate::words::word!($key) $(, $name = $value)*)
    };
    ($word:expr $(,)?) => {
        $crate::words::said($word)
    };
    ($word:expr, $($name:ident = $value:expr),+ $(,)?) => {
        $crate::words::said_with(
            $word,
            &[$((stringify!($name), &$value as &dyn ::std::fmt::Display)),+],
        )
    };
}
pub(crate) use t;

/// A text in the language of the view.
pub(crate) fn said(word: Word) -> String {
    word.text().to_owned()
}

/// As [`said`], with values put in by name.
pub(crate) fn said_with(word: Word, values: &[(&str, &dyn Display)]) -> String {
    filled(word.text(), values)
}

/// A text with values put in by name, as it stands where there is none of that name.
fn filled(text: &str, values: &[(&str, &dyn Display)]) -> String {
    let mut all = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, (name, after))) = place_in(rest) {
        all.push_str(before);
        let value = values.iter().find(|(known, _)| *known == name);
        // Nothing is written that a text cannot hold.
        let _written = match value {
            Some((_, value)) => write!(all, "{value}"),
            None => write!(all, "%{{{name}}}"),
        };
        rest = after;
    }
    all + rest
}

/// The first place in a text, `%{mass}`: the text before it, its name, and the text after it.
fn place_in(text: &str) -> Option<(&str, (&str, &str))> {
    let (before, rest) = text.split_once("%{")?;
    Some((before, rest.split_once('}')?))
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
        assert_eq!(word!("place.diary").text_in(Language::English), "Diary", "");
        assert_eq!(word!("place.diary").text_in(Language::German), "Tagebuch", "");
        assert_eq!(t!("side.to_starboard", much = "3.2°"), "3.2° to starboard", "as spoken");
        let put_in: [(&str, &dyn Display); 2] = [("a", &"%{b}"), ("b", &2)];
        assert_eq!(filled("%{b} and %{a}, not %{c", &put_in), "2 and %{b}, not %{c", "once each");
        assert_eq!(filled("%{c}%", &put_in), "%{c}%", "no such value");
    }
}
