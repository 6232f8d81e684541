//! The words of the languages that are not in the program: lists that `build.rs` made together with it. Each
//! begins with its name, and the program has the names of those that go with it.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Error, Result};
use std::path::{Path, PathBuf};

/// With this begins the name of every list.
pub(crate) const PREFIX: &str = "words.";

/// Copies the list of each language that goes with the program in `folder` into it, out of `lists` of this and of
/// other builds.
pub(crate) fn bring(folder: &Path, lists: &[PathBuf]) -> Result<()> {
    let program = program(folder)?;
    let mut found = BTreeMap::new();
    for list in lists {
        let text = fs::read_to_string(list)?;
        let name = text.lines().next().unwrap_or_default().to_owned();
        let Some((language, _)) = name.split_once('-').filter(|_| name.starts_with(PREFIX)) else {
            return Err(Error::other(format!("{} is no list of words", list.display())));
        };
        let fits = program.windows(name.len()).any(|place| place == name.as_bytes());
        let of_language = found.entry(language.to_owned()).or_insert(None);
        if fits {
            *of_language = Some((name, text));
        }
    }
    if found.is_empty() {
        return Err(Error::other("no list of words was named"));
    }
    for (language, list) in found {
        let Some((name, text)) = list else {
            return Err(Error::other(format!("no list {language} goes with the program")));
        };
        fs::write(folder.join(name), text)?;
    }
    Ok(())
}

/// The bytes of the program.
fn program(folder: &Path) -> Result<Vec<u8>> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.extension().is_some_and(|ending| ending == "wasm") {
            return fs::read(path);
        }
    }
    Err(Error::other("there is no program"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder with a program in it, and lists beside it; what became of them.
    fn brought(test: &str, program: &str, lists: &[&str]) -> (Result<()>, Vec<String>) {
        let beside = std::env::temp_dir().join(format!("words-{test}-{}", std::process::id()));
        let folder = beside.join("app");
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("app.wasm"), program).unwrap();
        let list = |(k, text): (usize, &&str)| {
            let path = beside.join(format!("{k}.txt"));
            fs::write(&path, text).unwrap();
            path
        };
        let lists: Vec<PathBuf> = lists.iter().enumerate().map(list).collect();
        let outcome = bring(&folder, &lists);
        let texts = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path());
        let texts = texts.filter(|path| path.extension().is_some_and(|ending| ending == "txt"));
        let texts = texts.map(|path| fs::read_to_string(path).unwrap()).collect();
        fs::remove_dir_all(&beside).unwrap();
        (outcome, texts)
    }

    const NEW: &str = "words.de-0b.txt\nneu";
    const OLD: &str = "words.de-0a.txt\nalt";

    #[test]
    fn the_list_that_goes_with_the_program_is_taken() {
        for (test, lists) in [("before", [NEW, OLD]), ("behind", [OLD, NEW])] {
            let (outcome, texts) = brought(test, "\0asm..words.de-0b.txt..", &lists);
            assert!(outcome.is_ok(), "{outcome:?}");
            assert_eq!(texts, [NEW], "{test}");
        }
    }

    #[test]
    fn a_program_without_its_words_is_not_published() {
        for (test, program, lists) in [
            ("other", "\0asm..words.de-0c.txt..", &[NEW, OLD][..]),
            ("none", "\0asm..words.de-0b.txt..", &[]),
            ("foreign", "\0asm..words.de-0b.txt..", &["<!doctype html>"]),
        ] {
            let (outcome, texts) = brought(test, program, lists);
            assert!(outcome.is_err() && texts.is_empty(), "{test}: {texts:?}");
        }
    }
}
