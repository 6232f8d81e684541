//! A tool of the build: completes the app in the folder Trunk has just filled. It brings the words of
//! the languages that are not in the program, says in the page's policy which of the scripts in it may
//! run, and writes the service worker, `sw.js`, which names every file of the app with the digest of its
//! contents, so that all of them are kept on the phone, and carries a version made of these.
//!
//! It uses nothing but the standard library: `scripts/precache` compiles it alone, in a moment.

mod policy;
mod sha256;
mod words;

use sha256::{named, sha256};
use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The worker, but for its list of files and its version.
const WORKER: &str = include_str!("worker.js");
const PAGE_NAME: &str = "index.html";
/// The worker's file name. It is not in its own list: the browser keeps it by itself.
const WORKER_NAME: &str = "sw.js";

fn main() -> ExitCode {
    let mut named = std::env::args_os().skip(1).map(PathBuf::from);
    let Some(folder) = named.next() else {
        return complain("name the folder that holds the built app, and the lists of words");
    };
    let lists: Vec<PathBuf> = named.collect();
    let completed = words::bring(&folder, &lists)
        .and_then(|()| complete_page(&folder))
        .and_then(|()| write_worker(&folder));
    match completed {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => complain(&format!("{}: {error}", folder.display())),
    }
}

#[expect(clippy::print_stderr, reason = "a command's way to say what is wrong")]
fn complain(text: &str) -> ExitCode {
    eprintln!("precache: {text}");
    ExitCode::FAILURE
}

/// Before the worker: its list has the page as it then is.
fn complete_page(folder: &Path) -> std::io::Result<()> {
    let path = folder.join(PAGE_NAME);
    let page = policy::fill_policy(&fs::read_to_string(&path)?).map_err(std::io::Error::other)?;
    fs::write(path, page)
}

fn write_worker(folder: &Path) -> std::io::Result<()> {
    let mut files = Vec::new();
    collect(folder, "", &mut files)?;
    // The folder's own order is not the same everywhere.
    files.sort();
    fs::write(folder.join(WORKER_NAME), fill(WORKER, &files))
}

/// Adds each file under `folder` with its path from there, parts joined by `/`.
fn collect(folder: &Path, prefix: &str, files: &mut Vec<(String, Vec<u8>)>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let name = format!("{prefix}{}", entry.file_name().to_string_lossy());
        if entry.file_type()?.is_dir() {
            collect(&entry.path(), &format!("{name}/"), files)?;
        } else if name != WORKER_NAME && !is_for_others(&name) {
            files.push((name, fs::read(entry.path())?));
        }
    }
    Ok(())
}

/// The pictures that the phone takes once, when the app is put on its home screen, and what is
/// published for other programs. The app shows none of them, so a visit need not load them nor the
/// cache hold them.
fn is_for_others(name: &str) -> bool {
    (name.starts_with("icon/") && name != "icon/icon.svg") || name.ends_with(".schema.json")
}

/// Files that not every visit needs.
fn is_optional(name: &str) -> bool {
    name.starts_with(words::PREFIX)
}

/// The worker with its blanks filled.
fn fill(worker: &str, files: &[(String, Vec<u8>)]) -> String {
    let list = |optional: bool| {
        let rows = files.iter().filter(|(name, _)| is_optional(name) == optional);
        let rows: Vec<String> = rows
            .map(|(name, contents)| format!("  [{}, \"{}\"],\n", address(name), named(contents)))
            .collect();
        format!("[\n{}]", rows.concat())
    };
    let [list, optional] = [list(false), list(true)];
    // The worker itself is part of the version: another way to keep files is another version.
    let digest = sha256(format!("{worker}{list}{optional}").as_bytes());
    let version =
        digest.iter().take(8).fold(0_u64, |version, byte| (version << 8) | u64::from(*byte));
    // The comments are for us; the phone need not load them.
    let lines = worker.lines().filter(|line| !line.trim_start().starts_with("//"));
    let bare: String = lines.flat_map(|line| [line, "\n"]).collect();
    bare.replace("\"VERSION\"", &format!("\"{version:016x}\""))
        .replace("[\"FILES\"]", &list)
        .replace("[\"OPTIONAL\"]", &optional)
}

/// A file's address from the worker, as a JavaScript string. The page is asked for by its folder.
fn address(name: &str) -> String {
    let name = if name == PAGE_NAME { "" } else { name };
    let mut text = String::from("\"./");
    for byte in name.bytes() {
        if byte.is_ascii_alphanumeric() || b"-_.~/".contains(&byte) {
            text.push(char::from(byte));
        } else {
            // Writing to a string never fails.
            let _written = write!(text, "%{byte:02X}");
        }
    }
    text.push('"');
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    const BLANK: &str = "const version = \"VERSION\";\nconst files = [\"FILES\"];\n";

    fn files(list: &[(&str, &str)]) -> Vec<(String, Vec<u8>)> {
        list.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect()
    }

    #[test]
    fn the_worker_has_the_blanks_that_are_filled() {
        assert!(WORKER.contains("\"VERSION\""), "no blank for the version");
        assert!(WORKER.contains("[\"FILES\"]"), "no blank for the files");
        assert!(WORKER.contains("[\"OPTIONAL\"]"), "no blank for those that not every visit needs");
    }

    #[test]
    fn the_page_is_named_by_its_folder_and_each_file_has_its_digest() {
        let made = fill(BLANK, &files(&[("icon/a b.svg", "abc"), ("index.html", "")]));
        // Source: the published digests in `sha256.rs`, in base64.
        let list = "const files = [\n\
            \u{20} [\"./icon/a%20b.svg\", \"sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=\"],\n\
            \u{20} [\"./\", \"sha256-47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=\"],\n];\n";
        assert!(made.ends_with(list), "{made}");
    }

    #[test]
    fn words_are_in_a_list_of_their_own() {
        let made = fill(
            "[\"FILES\"];[\"OPTIONAL\"];",
            &files(&[("a.css", "abc"), ("words.de-0a.txt", "abc")]),
        );
        let (always, wanted) = made.split_once(';').expect("two lists");
        assert!(always.contains("a.css") && !always.contains("words"), "{always}");
        assert!(wanted.contains("\"./words.de-0a.txt\"") && !wanted.contains("css"), "{wanted}");
    }

    #[test]
    fn the_version_changes_with_contents_alone_and_with_names_alone() {
        let first = fill(BLANK, &files(&[("a", "one"), ("b", "two")]));
        let contents = fill(BLANK, &files(&[("a", "one"), ("b", "twO")]));
        let shifted = fill(BLANK, &files(&[("a", "onet"), ("b", "wo")]));
        let again = fill(BLANK, &files(&[("a", "one"), ("b", "two")]));
        assert_ne!(first, contents);
        assert_ne!(first, shifted);
        assert_eq!(first, again);
        let renamed = fill(BLANK, &files(&[("a", "one"), ("c", "two")]));
        assert_ne!(first.lines().next(), renamed.lines().next());
    }

    #[test]
    fn every_file_of_every_folder_is_listed_but_the_worker_is_not() {
        let folder = std::env::temp_dir().join(format!("precache-test-{}", std::process::id()));
        fs::create_dir_all(folder.join("icon")).unwrap();
        for name in [
            "index.html",
            "app.wasm",
            "icon/icon.svg",
            "icon/icon-192.png",
            "diary.schema.json",
            WORKER_NAME,
        ] {
            fs::write(folder.join(name), name).unwrap();
        }
        write_worker(&folder).unwrap();
        let made = fs::read_to_string(folder.join(WORKER_NAME)).unwrap();
        fs::remove_dir_all(&folder).unwrap();
        for address in ["\"./\"", "\"./app.wasm\"", "\"./icon/icon.svg\""] {
            assert!(made.contains(address), "{address} is missing");
        }
        assert!(!made.contains("icon-192"), "what only installing needs is not kept: {made}");
        assert!(!made.contains("schema"), "nor what other programs need: {made}");
        assert!(!made.contains("\"./sw.js\"") && !made.contains("index.html\",\n"), "{made}");
    }
}
