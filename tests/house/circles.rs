//! The files of the core depend one way: no two of them need one another, by whatever way round. What a file needs
//! is what it names, in `use` or by a path; a call of a method names no file and is not seen.

use crate::tidy::{assert_none, core_sources};
use std::collections::{BTreeMap, BTreeSet};

/// Files that may need one another, with the reason. A circle that is untied must be struck out here.
const TIED: [(&[&str], &str); 0] = [];

/// The tokens of some code: identifiers, `::`, and other signs one by one. Comments and texts are left out.
fn tokens(code: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = code;
    while let Some(first) = rest.chars().next() {
        let is_part = |c: char| c.is_alphanumeric() || c == '_';
        let n = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if first == '"' {
            length_of_text(rest)
        } else if first == '\'' {
            length_of_letter(rest)
        } else {
            let n = match first {
                c if is_part(c) => rest.find(|c| !is_part(c)).unwrap_or(rest.len()),
                _ if rest.starts_with("::") => 2,
                c => c.len_utf8(),
            };
            if !first.is_whitespace() {
                found.push(&rest[..n]);
            }
            n
        };
        rest = &rest[n..];
    }
    found
}

/// The length of a text with its quotes.
fn length_of_text(code: &str) -> usize {
    let mut is_escaped = false;
    let end = code.char_indices().skip(1).find(|(_, c)| {
        let ends = *c == '"' && !is_escaped;
        is_escaped = *c == '\\' && !is_escaped;
        ends
    });
    end.map_or(code.len(), |(at, _)| at + 1)
}

/// The length of a letter with its quotes; of the quote alone where it begins a lifetime.
fn length_of_letter(code: &str) -> usize {
    let letters: Vec<char> = code.chars().skip(1).take(2).collect();
    match letters[..] {
        ['\\', _] => code[3..].find('\'').map_or(1, |end| 3 + end + 1),
        [letter, '\''] => 2 + letter.len_utf8(),
        _ => 1,
    }
}

/// The tokens without the items that are compiled for tests only.
fn without_tests(all: &[&str]) -> Vec<String> {
    const MARK: [&str; 7] = ["#", "[", "cfg", "(", "test", ")", "]"];
    let mut kept = Vec::new();
    let mut at = 0;
    while at < all.len() {
        if !all[at..].starts_with(&MARK) {
            kept.push(all[at].to_owned());
            at += 1;
            continue;
        }
        at += MARK.len();
        let mut depth = 0;
        while at < all.len() {
            match all[at] {
                "{" => depth += 1,
                "}" => depth -= 1,
                _ => {}
            }
            at += 1;
            if depth == 0 && (all[at - 1] == "}" || all[at - 1] == ";") {
                break;
            }
        }
    }
    kept
}

/// A path as it is written, with what it is called here.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Named {
    path: Vec<String>,
    alias: String,
}

/// A file of the core: its place among the modules, and the paths in it.
struct Source {
    path: String,
    module: Vec<String>,
    /// What it takes in by `use`.
    imports: Vec<Named>,
    /// What it names otherwise.
    others: Vec<Named>,
    /// Its words outside `use`.
    words: BTreeSet<String>,
}

impl Source {
    fn of(path: &str, text: &str) -> Self {
        let inside = path.trim_start_matches("src/").trim_end_matches(".rs");
        let inside = inside.trim_end_matches("/mod");
        let module = if inside == "lib" { "" } else { inside };
        let module = module.split('/').filter(|m| !m.is_empty()).map(str::to_owned).collect();
        let (mut imports, mut others) = (Vec::new(), Vec::new());
        let mut words = BTreeSet::new();
        let all = without_tests(&tokens(text));
        let mut at = 0;
        while at < all.len() {
            let is_path = all.get(at + 1).is_some_and(|next| next == "::");
            let is_begun = at > 0 && (all[at - 1] == "::" || all[at - 1] == ".");
            if all[at] == "use" && all.get(at + 1).is_some_and(|next| next != "<") {
                at = tree(&all, at + 1, &[], &mut imports);
            } else if is_path && !is_begun {
                let mut path = vec![all[at].clone()];
                while all.get(at + 1).is_some_and(|next| next == "::") && at + 2 < all.len() {
                    at += 2;
                    path.push(all[at].clone());
                }
                words.insert(path[0].clone());
                let alias = path.last().cloned().unwrap_or_default();
                others.push(Named { path, alias });
            } else if !is_begun {
                words.insert(all[at].clone());
            }
            at += 1;
        }
        Self { path: path.to_owned(), module, imports, others, words }
    }

    fn is_mod(&self) -> bool {
        self.path.ends_with("/mod.rs")
    }
}

/// Reads what a `use` takes in, from a token on; gives the token after it.
fn tree(all: &[String], from: usize, before: &[String], found: &mut Vec<Named>) -> usize {
    let mut path = before.to_vec();
    let mut at = from;
    while let Some(token) = all.get(at) {
        match token.as_str() {
            "::" => at += 1,
            "{" => {
                at += 1;
                while all.get(at).is_some_and(|token| token != "}") {
                    at = tree(all, at, &path, found);
                    at += usize::from(all.get(at).is_some_and(|token| token == ","));
                }
                return at + 1;
            }
            ";" | "," | "}" => break,
            "as" => {
                let alias = all.get(at + 1).cloned().unwrap_or_default();
                found.push(Named { path, alias });
                return at + 2;
            }
            "self" if !path.is_empty() => at += 1,
            _ => {
                path.push(token.clone());
                at += 1;
            }
        }
    }
    let alias = path.last().cloned().unwrap_or_default();
    found.push(Named { path, alias });
    at
}

/// All files of the core by their modules: `geometry::mesh`, `frame`.
struct Core {
    files: BTreeMap<Vec<String>, Source>,
}

/// Which names one file takes from another: by the files that take, then by those that give.
type Needs = BTreeMap<String, BTreeMap<String, BTreeSet<String>>>;

impl Core {
    fn of<'a>(sources: impl Iterator<Item = (&'a str, &'a str)>) -> Self {
        let files = sources.map(|(path, text)| Source::of(path, text));
        Self { files: files.map(|file| (file.module.clone(), file)).collect() }
    }

    fn child(&self, module: &[String], name: &str) -> Option<&Source> {
        let mut inner = module.to_vec();
        inner.push(name.to_owned());
        self.files.get(&inner)
    }

    /// The path from the core's root to what a file names; nothing for one that leads out of the core.
    fn place_of(&self, within: &Source, path: &[String]) -> Option<Vec<String>> {
        let mut place = within.module.clone();
        let mut is_ours = false;
        let mut rest = path;
        while let Some((first, after)) = rest.split_first() {
            match first.as_str() {
                "crate" => place.clear(),
                "super" => {
                    place.pop();
                }
                "self" => {}
                _ => break,
            }
            is_ours = true;
            rest = after;
        }
        // A folder's own list names its files without more ado.
        let is_below = rest.first().is_some_and(|name| self.child(&within.module, name).is_some());
        place.extend_from_slice(rest);
        (is_ours || is_below).then_some(place)
    }

    /// The file that defines what a path from the root leads to, and the name it has there. What a folder's
    /// list hands on is followed to where it is from.
    fn defined(&self, path: &[String]) -> Option<(&str, String)> {
        let mut at = 0;
        while at < path.len() && self.files.contains_key(&path[..=at]) {
            at += 1;
        }
        let file = self.files.get(&path[..at])?;
        let Some(name) = path.get(at) else { return Some((&file.path, "itself".to_owned())) };
        let handed_on = file.imports.iter().find(|import| file.is_mod() && import.alias == *name);
        let origin = handed_on.and_then(|import| self.place_of(file, &import.path));
        match origin {
            Some(origin) if origin != path => self.defined(&origin),
            _ => Some((&file.path, name.clone())),
        }
    }

    /// Imports of a whole folder: what is used of it then is not seen.
    fn too_wide(&self) -> Vec<String> {
        let is_folder = |path: &[String]| self.files.get(path).is_some_and(Source::is_mod);
        let wide = self.files.values().flat_map(|file| {
            let places = file.imports.iter().filter_map(|named| self.place_of(file, &named.path));
            let wide =
                places.filter(|place| is_folder(place) || place.last().is_some_and(|n| n == "*"));
            wide.map(|place| format!("{} takes {}", file.path, place.join("::")))
        });
        wide.collect()
    }

    fn needs(&self) -> Needs {
        let mut needs = Needs::new();
        for file in self.files.values() {
            let used = |import: &&Named| !file.is_mod() || file.words.contains(&import.alias);
            let of_file = needs.entry(file.path.clone()).or_default();
            for named in file.imports.iter().filter(used).chain(&file.others) {
                let place = self.place_of(file, &named.path);
                let Some((from, name)) = place.and_then(|place| self.defined(&place)) else {
                    continue;
                };
                if from != file.path {
                    of_file.entry(from.to_owned()).or_default().insert(name);
                }
            }
        }
        needs
    }
}

/// All files that a file needs, and those that these need.
fn reached<'a>(needs: &'a Needs, from: &str) -> BTreeSet<&'a str> {
    let mut found = BTreeSet::new();
    let mut open = vec![from];
    while let Some(file) = open.pop() {
        for next in needs.get(file).into_iter().flat_map(BTreeMap::keys) {
            if found.insert(next.as_str()) {
                open.push(next);
            }
        }
    }
    found
}

/// The groups of files each of which needs all others of its group.
fn circles(needs: &Needs) -> Vec<BTreeSet<&str>> {
    let reach: BTreeMap<&str, BTreeSet<&str>> =
        needs.keys().map(|file| (file.as_str(), reached(needs, file))).collect();
    let mut found: Vec<BTreeSet<&str>> = Vec::new();
    for (file, others) in &reach {
        let circle: BTreeSet<&str> =
            others.iter().copied().filter(|other| reach[other].contains(file)).collect();
        if !circle.is_empty() && !found.contains(&circle) {
            found.push(circle);
        }
    }
    found
}

/// A circle in words: each file with what it takes from the others.
fn said(needs: &Needs, circle: &BTreeSet<&str>) -> String {
    let mut lines = Vec::new();
    for file in circle {
        for (from, names) in needs[*file].iter().filter(|(from, _)| circle.contains(from.as_str()))
        {
            let names: Vec<&str> = names.iter().map(String::as_str).collect();
            lines.push(format!("  {file} takes from {from}: {}", names.join(", ")));
        }
    }
    format!("{} files need one another:\n{}", circle.len(), lines.join("\n"))
}

#[test]
fn in_the_core_no_files_need_one_another() {
    let sources = core_sources();
    let core = Core::of(sources.iter().map(|(path, text)| (path.as_str(), text.as_str())));
    assert_none(&core.too_wide(), "name what is used");
    let needs = core.needs();
    let n_needs: usize = needs.values().map(BTreeMap::len).sum();
    assert!(needs.len() > 100 && n_needs > 400, "{} files, {n_needs} needs", needs.len());
    let circles = circles(&needs);
    let is_known = |circle: &BTreeSet<&str>| {
        TIED.iter().any(|(files, _)| files.iter().copied().collect::<BTreeSet<_>>() == *circle)
    };
    let new: Vec<String> =
        circles.iter().filter(|c| !is_known(c)).map(|c| said(&needs, c)).collect();
    assert_none(&new, "what two files share goes into a file that needs neither");
    let n_known = circles.iter().filter(|c| is_known(c)).count();
    assert_eq!(n_known, TIED.len(), "one of the circles in `TIED` is untied: strike it out");
}

/// The needs of a small core: paths, and the texts of the files.
fn needs_of(files: &[(&str, &str)]) -> Needs {
    Core::of(files.iter().copied()).needs()
}

#[test]
fn a_circle_is_found_through_lists_macros_and_bare_paths() {
    let list = ("src/a/mod.rs", "mod one;\nmod two;\npub use one::{One, first as begin};\n");
    let taken = [
        "use super::two::Two;",
        "fn f() { crate::a::two::begin_with('\"') }",
        "macro_rules! m { () => { $crate::a::two::Two } }",
        "use super::{two::{self, Two}};",
    ];
    let back = [
        "use super::One;",
        "use crate::a::begin;",
        "fn f<'a>(it: &'a str) -> super::one::One { \"}\"; super::One }",
    ];
    for one in taken {
        for two in back {
            let needs = needs_of(&[list, ("src/a/one.rs", one), ("src/a/two.rs", two)]);
            let circle = BTreeSet::from(["src/a/one.rs", "src/a/two.rs"]);
            assert_eq!(circles(&needs), [circle], "{one} and {two}: {needs:?}");
        }
    }
}

#[test]
fn what_is_for_tests_or_only_said_is_no_need() {
    let list = ("src/a/mod.rs", "mod one;\nmod two;\npub use one::One;\n");
    let one = ("src/a/one.rs", "use super::two::Two;\npub struct One;");
    let silent = [
        "//! See [`super::One`] and use super::one::One;",
        "#[cfg(test)]\nmod tests { use super::super::one::One; fn f() { '{'; \"}\"; } }",
        "#[cfg(test)]\nuse super::one::One;\npub struct Two;",
        "const TEXT: &str = \"use super::one::One;\";",
        "use std::one::One;\nuse nalgebra::{Matrix3, Unit};",
    ];
    for two in silent {
        let needs = needs_of(&[list, one, ("src/a/two.rs", two)]);
        assert_eq!(circles(&needs).len(), 0, "{two}: {needs:?}");
        assert!(needs["src/a/one.rs"].contains_key("src/a/two.rs"), "one way there is a need");
    }
}

#[test]
fn an_import_that_hides_what_it_uses_is_refused() {
    let list = ("src/a/mod.rs", "mod one;\npub use one::One;");
    for one in ["use super::*;", "use crate::a;", "use crate::{a as b};"] {
        let core = Core::of([list, ("src/a/one.rs", one)].into_iter());
        assert_eq!(core.too_wide().len(), 1, "{one}: {:?}", core.too_wide());
    }
}

#[test]
fn what_a_list_defines_itself_ties_it_to_what_it_is_made_of() {
    let one = ("src/a/one.rs", "use super::Whole;\npub struct One;");
    let made = "mod one;\npub use one::One;\npub struct Whole { pub one: One }";
    let circle = BTreeSet::from(["src/a/mod.rs", "src/a/one.rs"]);
    assert_eq!(circles(&needs_of(&[("src/a/mod.rs", made), one])), [circle], "it has a One");
    let alone = "mod one;\npub use one::One;\npub struct Whole;";
    assert_eq!(circles(&needs_of(&[("src/a/mod.rs", alone), one])).len(), 0, "it only lists it");
}
