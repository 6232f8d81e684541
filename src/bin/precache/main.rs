//! A tool of the build: writes the finished app's service worker, `sw.js`, into the folder Trunk
//! has just filled. The worker names every file of the app, so that all of them are kept on the
//! phone, and carries a version made of their names and contents.
//!
//! It uses nothing but the standard library: `scripts/precache` compiles it alone, in a moment.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// The worker, but for its list of files and its version.
const WORKER: &str = include_str!("worker.js");
/// The worker's file name. It is not in its own list: the browser keeps it by itself.
const WORKER_NAME: &str = "sw.js";

fn main() -> ExitCode {
    let Some(folder) = std::env::args_os().nth(1).map(PathBuf::from) else {
        return complain("name the folder that holds the built app");
    };
    match write_worker(&folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => complain(&format!("{}: {error}", folder.display())),
    }
}

#[expect(clippy::print_stderr, reason = "a command's way to say what is wrong")]
fn complain(text: &str) -> ExitCode {
    eprintln!("precache: {text}");
    ExitCode::FAILURE
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

/// The worker with its blanks filled.
fn fill(worker: &str, files: &[(String, Vec<u8>)]) -> String {
    let mut version = Hash::new();
    version.add(worker.as_bytes());
    for (name, contents) in files {
        version.add(name.as_bytes());
        version.add(contents);
    }
    let list: Vec<String> = files.iter().map(|(name, _)| format!("  {}", address(name))).collect();
    // The comments are for us; the phone need not load them.
    let lines = worker.lines().filter(|line| !line.trim_start().starts_with("//"));
    let bare: String = lines.flat_map(|line| [line, "\n"]).collect();
    bare.replace("\"VERSION\"", &format!("\"{:016x}\"", version.0))
        .replace("[\"FILES\"]", &format!("[\n{},\n]", list.join(",\n")))
}

/// A file's address from the worker, as a JavaScript string. The page is asked for by its folder.
fn address(name: &str) -> String {
    let name = if name == "index.html" { "" } else { name };
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

/// FNV-1a, 64 bits: enough to tell one build from another, not to withstand an attacker.
struct Hash(u64);

impl Hash {
    const fn new() -> Self {
        Self(0xcbf2_9ce4_8422_2325)
    }

    /// The length goes in first, so that no two lists of pieces run together into the same bytes.
    fn add(&mut self, piece: &[u8]) {
        for byte in (piece.len() as u64).to_le_bytes().iter().chain(piece) {
            self.0 = (self.0 ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
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
    }

    #[test]
    fn the_page_is_named_by_its_folder_and_other_files_by_their_names() {
        let made = fill(BLANK, &files(&[("icon/a b.svg", ""), ("index.html", "")]));
        assert!(
            made.ends_with("const files = [\n  \"./icon/a%20b.svg\",\n  \"./\",\n];\n"),
            "{made}"
        );
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
