//! House rules that a compiler does not check: how files open and how long they are, who may name
//! whom, what every reference table says.

use std::fs;
use std::path::{Path, PathBuf};

/// The modules of the core, each of which may name only those before it: the foundations (pauses,
/// numbers at the edge, frames, water, materials), then what is built on them, one on the other.
const CORE: [&str; 14] = [
    "pause", "unit", "frame", "water", "material", "geometry", "boat", "float", "reading", "fit",
    "ballast", "dive", "diary", "answer",
];

/// The layers of the app, each of which may name only those before it; all may name the core.
const APP: [&str; 5] = ["signal", "device", "words", "state", "ui"];

/// Crates and names that mean a browser.
const BROWSER: [&str; 6] =
    ["leptos", "web_sys", "js_sys", "wasm_bindgen", "gloo_storage", "console_error_panic_hook"];

/// Lines that a source file may have before its own tests begin.
const LONGEST: usize = 400;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// A file: its path from the package's folder, with `/`, and its text.
struct File {
    path: String,
    text: String,
}

impl File {
    /// What comes before the file's own tests.
    fn before_tests(&self) -> impl Iterator<Item = (usize, &str)> {
        let numbered = self.text.lines().enumerate().map(|(k, line)| (k + 1, line));
        numbered.take_while(|(_, line)| line.trim() != "#[cfg(test)]")
    }

    /// The same without comments.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        self.before_tests().map(|(number, line)| (number, without_comment(line)))
    }

    /// The module of the core or the layer of the app that the file belongs to.
    fn module(&self) -> &str {
        let inside = self.path.strip_prefix("src/").unwrap_or(&self.path);
        inside.split('/').next().unwrap_or(inside).trim_end_matches(".rs")
    }

    fn is_of_the_core(&self) -> bool {
        self.path.starts_with("src/") && (CORE.contains(&self.module()) || self.module() == "lib")
    }
}

/// A line up to its comment, unless the slashes are in a text.
fn without_comment(line: &str) -> &str {
    let is_outside_a_text = |&at: &usize| line[..at].matches('"').count().is_multiple_of(2);
    let at = line.find("//").filter(is_outside_a_text);
    at.map_or(line, |at| &line[..at])
}

/// All text files below some folders, or of the package's folder itself, in order.
fn files(folders: &[&str], wanted: impl Fn(&str) -> bool) -> Vec<File> {
    let mut found: Vec<PathBuf> = Vec::new();
    for folder in folders {
        walk(&root().join(folder), &mut found);
    }
    found.sort();
    found
        .iter()
        .filter_map(|path| {
            let short = path.strip_prefix(root()).expect("it is below the root");
            let path_text = short.to_string_lossy().replace('\\', "/");
            let text = wanted(&path_text).then(|| fs::read_to_string(path).ok()).flatten()?;
            Some(File { path: path_text, text })
        })
        .collect()
}

/// Folders that hold what is made, not what is written.
const MADE: [&str; 5] = ["target", "dist", "artefacts", ".git", ".trunk"];

fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let (path, name) = (entry.path(), entry.file_name());
        if !path.is_dir() {
            found.push(path);
        } else if !MADE.contains(&name.to_string_lossy().as_ref()) {
            walk(&path, found);
        }
    }
}

fn is_rust(path: &str) -> bool {
    Path::new(path).extension().is_some_and(|e| e == "rs")
}

fn sources() -> Vec<File> {
    let found = files(&["src"], is_rust);
    assert!(found.len() > 60, "only {} source files were found", found.len());
    found
}

/// The files of the core: their paths and texts.
pub(crate) fn core_sources() -> Vec<(String, String)> {
    let core = sources().into_iter().filter(File::is_of_the_core);
    core.map(|file| (file.path, file.text)).collect()
}

#[track_caller]
pub(crate) fn assert_none(problems: &[String], rule: &str) {
    assert!(problems.is_empty(), "{rule}:\n{}", problems.join("\n"));
}

#[test]
fn every_rust_file_opens_by_saying_what_it_holds() {
    let all = files(&["src", "tests", "benches", "examples"], is_rust);
    assert!(all.iter().any(|f| f.path.starts_with("benches/")), "the benchmarks were found");
    let silent = all.iter().filter(|f| {
        let first = f.text.lines().next().unwrap_or_default();
        !first.starts_with("//! ") || first.len() < 12
    });
    let problems: Vec<String> = silent.map(|f| f.path.clone()).collect();
    assert_none(&problems, "these files do not open with `//!` and a sentence");
}

#[test]
fn no_source_file_is_longer_than_one_concept() {
    let problems: Vec<String> = sources()
        .iter()
        .map(|f| (f.path.clone(), f.before_tests().count()))
        .filter(|&(_, lines)| lines > LONGEST)
        .map(|(path, lines)| format!("{path}: {lines} lines"))
        .collect();
    assert_none(&problems, &format!("more than {LONGEST} lines before the file's own tests"));
}

#[test]
fn the_core_consists_of_the_modules_in_the_layer_order() {
    let lib = fs::read_to_string(root().join("src/lib.rs")).expect("the core's root");
    let mut declared: Vec<&str> = lib
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ").and_then(|m| m.strip_suffix(';')))
        .collect();
    let mut placed = CORE.to_vec();
    declared.sort_unstable();
    placed.sort_unstable();
    assert_eq!(declared, placed, "a new module needs its place in the order of this file");
}

/// The modules named by `crate::…` on a line.
fn named(line: &str) -> impl Iterator<Item = &str> {
    line.split("crate::").skip(1).map(|rest| {
        let end = rest.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(rest.len());
        &rest[..end]
    })
}

/// Names of later layers that are used in earlier ones, and names that cannot be placed.
fn against_the_order(order: &[&str], file: &File) -> Vec<String> {
    let own = order.iter().position(|m| *m == file.module());
    let Some(own) = own else { return vec![format!("{} has no place in the order", file.path)] };
    let wrong = file.code().flat_map(|(number, line)| {
        named(line)
            .filter(|name| order.iter().position(|m| m == name).is_none_or(|at| at > own))
            .map(move |name| format!("{}:{number} names {name:?}", file.path))
    });
    wrong.collect()
}

#[test]
fn in_the_core_a_module_names_only_those_before_it() {
    let core: Vec<File> = sources().into_iter().filter(|f| CORE.contains(&f.module())).collect();
    assert!(core.len() > 40, "only {} files of the core were found", core.len());
    let problems: Vec<String> = core.iter().flat_map(|f| against_the_order(&CORE, f)).collect();
    assert_none(&problems, &format!("the order is {CORE:?}"));
}

#[test]
fn in_the_app_a_layer_names_only_those_before_it() {
    let app: Vec<File> = sources().into_iter().filter(|f| APP.contains(&f.module())).collect();
    assert!(app.len() > 20, "only {} files of the app were found", app.len());
    let problems: Vec<String> = app.iter().flat_map(|f| against_the_order(&APP, f)).collect();
    assert_none(&problems, &format!("the order is {APP:?}"));
}

#[test]
fn the_core_knows_no_browser() {
    let mut problems = Vec::new();
    for file in sources().iter().filter(|f| f.is_of_the_core()) {
        for (number, line) in file.code() {
            let words = line.split(|c: char| !(c.is_alphanumeric() || c == '_'));
            for word in words.filter(|w| BROWSER.contains(w)) {
                problems.push(format!("{}:{number} names {word}", file.path));
            }
        }
    }
    assert_none(&problems, "the core must build without the browser's crates");
}

#[test]
fn browser_calls_are_made_by_the_device_layer_or_the_views() {
    let mut problems = Vec::new();
    for file in sources().iter().filter(|f| f.module() == "state") {
        for (number, line) in file.code() {
            if ["web_sys", "js_sys", "wasm_bindgen"].iter().any(|name| line.contains(name)) {
                problems.push(format!("{}:{number}", file.path));
            }
        }
    }
    assert_none(&problems, "state asks the device layer, never the browser");
}

#[test]
fn widgets_take_values_and_callbacks_only() {
    let mut problems = Vec::new();
    for file in sources().iter().filter(|f| f.path.starts_with("src/ui/widget/")) {
        for (number, line) in file.code() {
            if line.contains("expect_context") || line.contains("use_context") {
                problems.push(format!("{}:{number}: {}", file.path, line.trim()));
            }
        }
    }
    // The notices hang at the app's frame, not in a screen, and are about the session itself.
    problems.retain(|p| !p.starts_with("src/ui/widget/notices.rs"));
    assert_none(&problems, "a widget that asks the context cannot be used twice");
}

#[test]
fn text_becomes_markup_in_one_place_and_no_style_is_an_attribute() {
    // Put together here, or the list would name itself.
    let ways = ["inner", "outer"].map(|which| format!("{which}_html"));
    let ways = [&ways[..], &["adjacent_html", "contextual_fragment"].map(str::to_owned)].concat();
    let (mut problems, mut n_used) = (Vec::new(), 0);
    for file in sources() {
        for (number, line) in file.code() {
            // In a view it takes nothing but `Markup`.
            let line = line.replace("inner_html=", "");
            let is_markup = ways.iter().any(|way| line.contains(way.as_str()));
            let is_style = line.split(' ').any(|word| word.starts_with("style="));
            if is_markup && file.path == "src/ui/node/element.rs" {
                n_used += 1;
            } else if is_markup || is_style {
                problems.push(format!("{}:{number}: {}", file.path, line.trim()));
            }
        }
    }
    assert_eq!(n_used, 3, "templates, in a drawing or not, and what is inside an element");
    assert_none(
        &problems,
        "markup goes through `Markup`; the page's policy refuses a style attribute, not `prop:style`",
    );
}

#[test]
fn nothing_in_the_program_may_panic_on_purpose() {
    const FORBIDDEN: [&str; 7] = [
        ".unwrap()",
        "panic!(",
        "todo!(",
        "unimplemented!(",
        "unreachable!(",
        "dbg!(",
        ".unwrap_err()",
    ];
    let mut problems = Vec::new();
    for file in sources() {
        for (number, line) in file.code() {
            for found in FORBIDDEN.iter().filter(|f| line.contains(**f)) {
                problems.push(format!("{}:{number}: {found}", file.path));
            }
        }
    }
    assert_none(&problems, "outside tests: give an error, or `expect` with the invariant");
}

/// True for a constant that is a table: a list of rows, or of more numbers than a size has.
fn is_table(declaration: &str) -> bool {
    let Some((_, kind)) = declaration.split_once(": [") else { return false };
    let rows = kind.starts_with(['(', '[']);
    let n_numbers = kind
        .strip_prefix("f64; ")
        .and_then(|rest| rest.split(']').next().and_then(|count| count.parse::<usize>().ok()));
    rows || n_numbers.is_some_and(|n| n > 6)
}

#[test]
fn every_reference_table_says_where_it_is_from() {
    let published = files(&["tests/published"], |p| is_rust(p) && !p.ends_with("/main.rs"));
    assert!(published.len() >= 8, "only {} files of published values", published.len());
    let (mut problems, mut n_tables) = (Vec::new(), 0);
    for file in &published {
        let mut above = String::new();
        for (k, line) in file.text.lines().enumerate() {
            let line = line.trim();
            if line.starts_with("//") {
                above.push_str(line);
                continue;
            }
            if line.starts_with("const ") && is_table(line) {
                n_tables += 1;
                if !above.contains("Source: ") {
                    problems.push(format!("{}:{}: {line}", file.path, k + 1));
                }
            }
            if !line.starts_with("#[") {
                above.clear();
            }
        }
        if !file.text.contains("Source: ") {
            problems.push(format!("{} names no source at all", file.path));
        }
    }
    assert!(n_tables > 15, "only {n_tables} tables were found");
    assert_none(&problems, "tables without a `Source:` line");
}

#[test]
fn the_tests_readme_lists_every_test_file() {
    let readme = fs::read_to_string(root().join("tests/README.md")).expect("the tests' README");
    let shared = ["tests/support/", "tests/browser/"];
    let listed = files(&["tests"], |p| is_rust(p) && !shared.iter().any(|s| p.starts_with(s)));
    assert!(listed.len() > 30, "only {} test files were found", listed.len());
    let missing = listed.iter().filter_map(|f| {
        let name = f.path.trim_start_matches("tests/");
        let is_list = name.ends_with("main.rs") && !f.text.contains("#[test]");
        (!is_list && !readme.contains(&format!("`{name}`"))).then(|| name.to_owned())
    });
    assert_none(&missing.collect::<Vec<_>>(), "not in tests/README.md");
}

/// A file that no `main.rs` names is not compiled, and its tests never fail.
#[test]
fn every_test_file_is_part_of_a_program() {
    let all = files(&["tests"], |p| is_rust(p) && !p.starts_with("tests/support/"));
    let (roots, parts): (Vec<_>, Vec<_>) = all.iter().partition(|f| f.path.ends_with("/main.rs"));
    assert!(roots.len() >= 5 && parts.len() > 50, "{} programs, {}", roots.len(), parts.len());
    let is_named = |path: &str| {
        roots.iter().any(|root| {
            let folder = root.path.trim_end_matches("main.rs");
            let module = path.strip_prefix(folder).and_then(|name| name.strip_suffix(".rs"));
            module.is_some_and(|name| root.text.lines().any(|line| line == format!("mod {name};")))
        })
    };
    let problems: Vec<String> =
        parts.iter().filter(|f| !is_named(&f.path)).map(|f| f.path.clone()).collect();
    assert_none(&problems, "not named by a `main.rs`");
}

/// A run of two lengths, or one that measures, that `scripts/soak` does not name is never a long one.
#[test]
fn every_long_run_in_the_browser_is_done_by_the_soak() {
    let soak = fs::read_to_string(root().join("scripts/soak")).expect("the long runs");
    let named = soak.lines().find_map(|line| line.strip_prefix("IN_THE_BROWSER=\""));
    let named: Vec<&str> = named.expect("their names").trim_end_matches('"').split(' ').collect();
    let is_test = |f: &&File| f.text.contains("#[tokio::test");
    let files = files(&["tests/browser"], is_rust);
    let long = files.iter().filter(is_test).filter_map(|f| {
        let is_long = f.text.contains("short_or_long(") || f.text.contains("\"FIGURE ");
        let name = f.path.trim_start_matches("tests/browser/").trim_end_matches(".rs");
        is_long.then_some(name)
    });
    let mut long: Vec<&str> = long.collect();
    assert!(long.len() > 5, "only {long:?} were found");
    let mut sorted = named.clone();
    sorted.sort_unstable();
    long.sort_unstable();
    assert_eq!(sorted, long, "the names in scripts/soak and the files that are long or measure");
}

/// A target whose feature is not asked for is passed over without a word.
#[test]
fn what_wants_a_feature_is_tested_with_it() {
    let cargo = fs::read_to_string(root().join("Cargo.toml")).expect("the package");
    let test = fs::read_to_string(root().join("scripts/test")).expect("the tests");
    let test = test.replace("\\\n", " ");
    let wanted: Vec<&str> = cargo
        .lines()
        .filter_map(|line| line.strip_prefix("required-features = [\"")?.strip_suffix("\"]"))
        .collect();
    assert!(wanted.contains(&"app") && wanted.len() >= 3, "{wanted:?}");
    let is_given = |feature: &str, command: &str| {
        test.lines().filter(|line| line.contains(command)).any(|line| {
            let given = line.split_once("--features ").map_or("", |(_, rest)| rest);
            given.split(' ').next().unwrap_or_default().split(',').any(|f| f == feature)
        })
    };
    let problems: Vec<String> = wanted
        .iter()
        .flat_map(|f| ["cargo test ", "cargo clippy "].map(|command| (*f, command)))
        .filter(|(feature, command)| !is_given(feature, command))
        .map(|(feature, command)| format!("{command}with {feature}"))
        .collect();
    assert_none(&problems, "not in scripts/test");
}

#[test]
fn the_code_map_names_every_folder_and_file_of_the_core() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let mut missing = Vec::new();
    for file in sources() {
        let parts: Vec<&str> = file.path.split('/').collect();
        let place = match parts.as_slice() {
            ["src", file] => format!("`src/{file}`"),
            ["src", folder, .., _] => format!("`src/{folder}/`"),
            _ => continue,
        };
        if !map.contains(&place) && !missing.contains(&place) {
            missing.push(place);
        }
    }
    assert_none(&missing, "not in the code map of DEVELOPERS.md");
}

#[test]
fn no_file_tells_where_its_writers_files_lie() {
    // Put together here, so that this file does not hold them itself.
    let places = ["home", "work", "root", "Users"].map(|folder| format!("/{folder}/"));
    let starts_a_path = |text: &str, at: usize| {
        let before = text[..at].chars().next_back();
        before.is_none_or(|c| !(c.is_alphanumeric() || "._-*})".contains(c)))
    };
    let mut problems = Vec::new();
    let all = files(&["."], |p| p != "Cargo.lock");
    for known in ["README.md", "scripts/test", "src/lib.rs", "index.html"] {
        assert!(all.iter().any(|f| f.path == known), "{known} was not looked at");
    }
    for file in all {
        for place in &places {
            for (at, _) in file.text.match_indices(place.as_str()) {
                if starts_a_path(&file.text, at) {
                    let line = file.text[..at].lines().count().max(1);
                    problems.push(format!("{}:{line}: {place}", file.path));
                }
            }
        }
    }
    assert_none(&problems, "absolute paths of one machine");
}
