//! The texts of `locale/` as `build.rs` lays them out: the keys in their order, and for each language the texts in that
//! order, one to a line. So each key is in the app once, and not where it is called for.

use super::Language;
use std::cmp::Ordering;

const KEYS: &str = include_str!(concat!(env!("OUT_DIR"), "/words/keys"));
const ENGLISH: &str = include_str!(concat!(env!("OUT_DIR"), "/words/en"));
const GERMAN: &str = include_str!(concat!(env!("OUT_DIR"), "/words/de"));

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

/// A key beside the one that stands from `start` to `end`.
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
    /// In the order of [`Language::ALL`].
    static TEXTS: [Vec<&'static str>; 2] = [lines(ENGLISH), lines(GERMAN)];
}

fn lines(text: &'static str) -> Vec<&'static str> {
    text.split('\n').collect()
}

/// The text at a place.
pub(super) fn text(language: Language, place: usize) -> &'static str {
    TEXTS.with(|texts| texts[language as usize].get(place).copied().unwrap_or_default())
}
