//! The words of the app, which are all in `locale/`: every language has every text, every text is used,
//! and none stands in the code.

use crate::locale::{Words, languages};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The language that the others are translations of.
const FIRST: &str = "en";

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The files under a folder with an ending, by their paths from the package's folder.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder of the package") {
        let path = entry.expect("an entry of it").path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}

fn text(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

fn first() -> Words {
    languages().remove(FIRST).expect("English is there")
}

/// The names of the places in a text: `%{mass}`.
fn places(text: &str) -> BTreeSet<&str> {
    text.split("%{").skip(1).filter_map(|rest| Some(rest.split_once('}')?.0)).collect()
}

/// A source of the app: its path from the package's folder, and its code up to its own tests, without
/// comments.
fn sources() -> Vec<(String, String)> {
    let source = |path: PathBuf| {
        let name = path.strip_prefix(root()).expect("inside").display().to_string();
        let all = text(&path);
        let code: Vec<&str> = all
            .lines()
            .take_while(|line| line.trim() != "#[cfg(test)]")
            .filter(|line| !line.trim_start().starts_with("//"))
            .collect();
        (name, code.join("\n"))
    };
    files(&root().join("src"), ".rs").into_iter().map(source).collect()
}

/// The texts between quotes in some code, as they are written there, and what follows each.
fn literals(code: &str) -> Vec<(&str, &str)> {
    let mut found = Vec::new();
    let mut rest = code;
    while let Some(start) = rest.find('"') {
        // A quote that is a letter of its own: '"'.
        let is_letter = rest[..start].ends_with('\'') && rest[start + 1..].starts_with('\'');
        let body = &rest[start + 1..];
        if is_letter {
            rest = body;
            continue;
        }
        let mut escaped = false;
        let end = body.char_indices().find(|(_, c)| {
            let ends = *c == '"' && !escaped;
            escaped = *c == '\\' && !escaped;
            ends
        });
        let Some((end, _)) = end else { break };
        let after = &body[end + 1..];
        found.push((&body[..end], after));
        rest = after;
    }
    found
}

#[test]
fn every_language_has_every_text_with_the_same_places() {
    let mut others = languages();
    let first = others.remove(FIRST).expect("English is there");
    assert!(others.contains_key("de"), "German is there");
    let mut wrong = Vec::new();
    for (language, words) in &others {
        let missing = first.keys().filter(|key| !words.contains_key(*key));
        wrong.extend(missing.map(|key| format!("{language} lacks {key}")));
        for (key, said) in words {
            match first.get(key) {
                None => wrong.push(format!("{language} has {key}, English has not")),
                Some(english) if places(english) != places(said) => {
                    wrong.push(format!("{key}: other places in {language}"));
                }
                Some(_) => {}
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn no_text_is_empty_or_has_space_around_it_that_english_has_not() {
    let all = languages();
    let around = |text: &str| [text.starts_with(' '), text.ends_with(' ')];
    for (language, words) in &all {
        for (key, said) in words {
            assert!(!said.trim().is_empty(), "{language}: {key} says nothing");
            let english = all[FIRST].get(key).map_or("", String::as_str);
            assert_eq!(around(said), around(english), "{language}: {key} and the space around it");
        }
    }
}

/// Texts that one language says otherwise: a translation that was forgotten is the same.
#[test]
fn a_sentence_is_not_the_same_in_another_language() {
    let mut others = languages();
    let first = others.remove(FIRST).expect("English is there");
    for (language, words) in &others {
        let same = words.iter().filter(|(key, said)| first.get(*key) == Some(said));
        let is_sentence = |said: &str| said.split(' ').filter(|w| w.len() > 3).count() > 3;
        let forgotten: Vec<_> =
            same.filter(|(_, said)| is_sentence(said)).map(|(key, _)| key).collect();
        // Sources are titles and numbers of other people's tables.
        let forgotten: Vec<_> =
            forgotten.into_iter().filter(|key| !key.starts_with("material_source.")).collect();
        assert!(forgotten.is_empty(), "{language} says these in English: {forgotten:?}");
    }
}

/// What a call of `t!` is given: its first argument, and the names of the others.
fn arguments(call: &str) -> Option<(&str, BTreeSet<&str>)> {
    let mut depth = 0_i32;
    let mut quoted = false;
    let mut escaped = false;
    let mut starts = vec![0];
    let mut end = None;
    for (at, c) in call.char_indices() {
        if quoted {
            quoted = c != '"' || escaped;
            escaped = c == '\\' && !escaped;
            continue;
        }
        match c {
            '"' => quoted = true,
            '(' | '[' | '{' => depth += 1,
            ')' if depth == 0 => {
                end = Some(at);
                break;
            }
            ')' | ']' | '}' => depth -= 1,
            ',' if depth == 0 => starts.push(at + 1),
            _ => {}
        }
    }
    let mut ends: Vec<usize> = starts.iter().skip(1).map(|start| start - 1).collect();
    ends.push(end?);
    let mut pieces = starts.into_iter().zip(ends).map(|(from, to)| call[from..to].trim());
    let first = pieces.next()?;
    let names = pieces.filter(|piece| !piece.is_empty());
    Some((first, names.filter_map(|piece| Some(piece.split_once('=')?.0.trim())).collect()))
}

#[test]
fn what_is_called_for_is_there_and_all_its_places_are_filled() {
    let words = first();
    let mut wrong = Vec::new();
    let mut n_calls = 0;
    for (file, code) in sources() {
        // Not the end of `format!(`.
        let is_its_own =
            |at: &usize| !code[..*at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
        for at in code.match_indices("t!(").map(|(at, _)| at).filter(is_its_own) {
            let Some((key, names)) = arguments(&code[at + 3..]) else { continue };
            let Some(key) = key.strip_prefix('"').and_then(|k| k.strip_suffix('"')) else {
                continue;
            };
            n_calls += 1;
            match words.get(key) {
                None => wrong.push(format!("{file}: {key} is in no file of words")),
                Some(said) if places(said) != names => {
                    wrong.push(format!("{file}: {key} has {:?}, given {names:?}", places(said)));
                }
                Some(_) => {}
            }
        }
    }
    assert!(n_calls > 400, "{n_calls} calls were looked at");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_page_says_before_the_program_runs_how_the_welcome_will_begin() {
    let (page, words) = (text(&root().join("index.html")), first());
    let lead = words.get("welcome.lead").expect("the welcome's first words");
    assert!(page.contains(&format!("<p class=\"lead\">{lead}</p>")), "in index.html: {lead}");
}

#[test]
fn every_text_is_called_for() {
    let sources = sources();
    let all: BTreeSet<&str> =
        sources.iter().flat_map(|(_, code)| literals(code)).map(|(literal, _)| literal).collect();
    let words = first();
    let idle: Vec<&String> = words.keys().filter(|key| !all.contains(key.as_str())).collect();
    assert!(idle.is_empty(), "nobody says {idle:?}");
    // Keys that are not written where they are called for: a part of the program has a table of them.
    let tables: BTreeSet<&str> =
        words.keys().filter_map(|key| Some(key.split_once('.')?.0)).collect();
    let looks_like_a_key = |literal: &&str| {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_';
        literal.split_once('.').is_some_and(|(table, key)| {
            tables.contains(table) && !key.is_empty() && key.chars().all(plain)
        })
    };
    let unknown: Vec<&str> =
        all.into_iter().filter(looks_like_a_key).filter(|key| !words.contains_key(*key)).collect();
    assert!(unknown.is_empty(), "in no file of words: {unknown:?}");
}

/// What stands on a line with texts that look like words and are none for people, and what it is.
const NO_WORDS: [(&str, &str); 15] = [
    ("class", "names for the style sheets"),
    ("reason = ", "of a lint"),
    ("expect(", "what must hold"),
    ("match_media(", "a question to the browser"),
    ("path(", "classes of a drawing"),
    ("letters(", "classes of a drawing"),
    ("small word", "a class of a drawing"),
    ("fill-mark", "a class of the slider"),
    ("TAKE_OVER", "what the page says to its worker"),
    ("\"after ", "classes of a line"),
    ("--", "styles"),
    ("DiaryError::Wrong", "of a file that no app wrote: by the names of the format"),
    ("no drawing here", "an error that is not shown"),
    ("no reason given", "in place of the browser's own name for an error"),
    ("paint, dry film", "the table's names of materials"),
];

/// A text without what is filled in.
fn unfilled(literal: &str) -> String {
    let mut plain = String::new();
    let mut inside = false;
    for c in literal.chars() {
        match c {
            '{' => inside = true,
            '}' => inside = false,
            _ if !inside => plain.push(c),
            _ => {}
        }
    }
    plain
}

/// True for what somebody could read: two words in a row, or one with a capital at its front.
fn is_spoken(literal: &str) -> bool {
    let plain = unfilled(literal);
    let trimmed = plain.trim_matches(|c: char| !c.is_alphanumeric());
    let is_word = |word: &&str| {
        let word = word.trim_end_matches([',', '.', ':', ';', '!', '?', '…']);
        word.chars().count() > 1 && word.chars().all(char::is_alphabetic)
    };
    let in_a_row = trimmed.split(' ').collect::<Vec<_>>();
    let two = in_a_row.windows(2).any(|pair| pair.iter().all(is_word));
    let mut letters = trimmed.chars();
    let capital = letters.next().is_some_and(char::is_uppercase)
        && letters.clone().count() > 2
        && letters.all(char::is_lowercase);
    two || capital
}

/// Names of the browser and of the app's own that begin with a capital.
const NAMES: [&str; 9] =
    ["Trimwright", "Enter", "Home", "End", "Escape", "Heron", "Eider", "Smew", "Coot"];

#[test]
fn no_sentence_stands_in_the_code() {
    let of_the_app = |file: &str| {
        ["src/ui/", "src/state/", "src/device/"].iter().any(|folder| file.starts_with(folder))
    };
    let mut found = Vec::new();
    for (file, code) in sources().into_iter().filter(|(file, _)| of_the_app(file)) {
        for line in
            code.lines().filter(|line| !NO_WORDS.iter().any(|(sign, _)| line.contains(sign)))
        {
            let spoken = literals(line).into_iter().map(|(literal, _)| literal);
            let spoken = spoken.filter(|l| is_spoken(l) && !NAMES.contains(l));
            found.extend(spoken.map(|literal| format!("{file}: {literal}")));
        }
    }
    assert!(found.is_empty(), "words outside locale/:\n{}", found.join("\n"));
}
