//! The texts of `locale/` as `build.rs` lays them out: the keys in their order, and for each language the texts in that
//! order, one to a line. The keys are looked at while the app is compiled only.
//!
//! English is in the program. Every other language is a file of its own, which is brought when somebody wants it; where
//! there is no browser it is in the program too.

use super::Language;
use std::cell::OnceCell;
use std::cmp::Ordering;

const KEYS: &str = include_str!(concat!(env!("OUT_DIR"), "/words/keys"));
const ENGLISH: &str = include_str!(concat!(env!("OUT_DIR"), "/words/en"));
/// The German file's name, with which it begins.
const GERMAN_NAME: &str = include_str!(concat!(env!("OUT_DIR"), "/words/de.name"));
#[cfg(not(target_family = "wasm"))]
const GERMAN: &str = include_str!(concat!(env!("OUT_DIR"), "/words/de.txt"));

/// How many texts there are.
const COUNT: usize = {
    let mut count = 1;
    let mut at = 0;
    while at < KEYS.len() {
        count += (KEYS.as_bytes()[at] == b'\n') as usize;
        at += 1;
    }
    count
};

/// Where each key begins, and behind the last where one more would.
const STARTS: [usize; COUNT + 1] = {
    let mut starts = [0; COUNT + 1];
    let (mut key, mut at) = (1, 0);
    while at < KEYS.len() {
        if KEYS.as_bytes()[at] == b'\n' {
            starts[key] = at + 1;
            key += 1;
        }
        at += 1;
    }
    starts[COUNT] = KEYS.len() + 1;
    starts
};

/// The place of a key among all; none if it is in no file of words. For keys that are known while the app is compiled.
pub(super) const fn place(key: &str) -> Option<usize> {
    let (mut low, mut high) = (0, COUNT);
    while low < high {
        let middle = usize::midpoint(low, high);
        match compared(key.as_bytes(), STARTS[middle], STARTS[middle + 1] - 1) {
            Ordering::Less => high = middle,
            Ordering::Greater => low = middle + 1,
            Ordering::Equal => return Some(middle),
        }
    }
    None
}

/// Compares a key with the one from `start` to `end`.
const fn compared(key: &[u8], start: usize, end: usize) -> Ordering {
    let mut at = 0;
    while at < key.len() && start + at < end {
        let other = KEYS.as_bytes()[start + at];
        if key[at] != other {
            return if key[at] < other { Ordering::Less } else { Ordering::Greater };
        }
        at += 1;
    }
    match (at < key.len(), start + at < end) {
        (false, false) => Ordering::Equal,
        (true, _) => Ordering::Greater,
        (false, true) => Ordering::Less,
    }
}

thread_local! {
    static ENGLISH_LINES: Vec<&'static str> = ENGLISH.split('\n').collect();
    static GERMAN_LINES: OnceCell<Vec<&'static str>> = at_first();
}

/// Where there is no browser nothing is brought.
#[cfg(not(target_family = "wasm"))]
fn at_first() -> OnceCell<Vec<&'static str>> {
    lines_of(GERMAN_NAME, GERMAN).map_or_else(OnceCell::new, OnceCell::from)
}

#[cfg(target_family = "wasm")]
fn at_first() -> OnceCell<Vec<&'static str>> {
    OnceCell::new()
}

/// The texts of a file of that name; none if it is another one, or not whole.
fn lines_of<'a>(name: &str, file: &'a str) -> Option<Vec<&'a str>> {
    let mut lines = file.split('\n');
    let is_it = lines.next() == Some(name);
    let lines: Vec<_> = lines.collect();
    (is_it && lines.len() == COUNT).then_some(lines)
}

/// The name of a language's file; none for the language that is in the program.
pub(crate) fn file_of(language: Language) -> Option<&'static str> {
    match language {
        Language::English => None,
        Language::German => Some(GERMAN_NAME),
    }
}

/// True if the texts of a language are there.
pub(crate) fn has(language: Language) -> bool {
    match language {
        Language::English => true,
        Language::German => GERMAN_LINES.with(|lines| lines.get().is_some()),
    }
}

/// Takes a language's file in, for as long as the app runs; false for a file that is not that of this program's keys.
pub(crate) fn take_file(language: Language, file: String) -> bool {
    if has(language) {
        return true;
    }
    let Some(name) = file_of(language).filter(|name| lines_of(name, &file).is_some()) else {
        return false;
    };
    let lines = lines_of(name, file.leak()).unwrap_or_default();
    GERMAN_LINES.with(|all| all.set(lines)).is_ok()
}

/// The text at a place; in English where the language is not there.
pub(super) fn text(language: Language, place: usize) -> &'static str {
    let german = || GERMAN_LINES.with(|lines| lines.get()?.get(place).copied());
    let english = || ENGLISH_LINES.with(|lines| lines.get(place).copied());
    let found = match language {
        Language::English => None,
        Language::German => german(),
    };
    found.or_else(english).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_not_this_program_s_is_refused() {
        assert!(lines_of(GERMAN_NAME, GERMAN).is_some(), "its own");
        let (_, texts) = GERMAN.split_once('\n').expect("its name and its texts");
        let (short, _) = GERMAN.rsplit_once('\n').expect("many texts");
        let other = format!("words.de-0123456789abcdef.txt\n{texts}");
        for (what, file) in [
            ("of other keys", other),
            ("cut short", short.to_owned()),
            ("without its name", texts.to_owned()),
            ("a page of the server's", "<!doctype html>\n<p>Not here.</p>".to_owned()),
            ("empty", String::new()),
        ] {
            assert!(lines_of(GERMAN_NAME, &file).is_none(), "{what}");
        }
    }
}
