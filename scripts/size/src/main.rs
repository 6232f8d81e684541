//! Says which code of the app weighs how much: kilobytes of each crate and, where they weigh enough, of the modules in
//! it, by the names of the functions in the program that Cargo leaves. `wasm-opt` then makes that smaller and drops the
//! names.
//!
//! A function counts where its path begins. A generic one of another crate made for a type of ours, such as
//! `<alloc::vec::Vec<trimwright::boat::Part>>::push`, so is that crate's; a method of a trait for a type of ours is ours.

use rustc_demangle::demangle;
use std::collections::{BTreeMap, HashMap};
use std::error::Error;
use wasmparser::{KnownCustom, Name, Parser, Payload, TypeRef};

/// A module is told from this share of all code on.
const LEAST_SHARE: f64 = 0.005;
/// The crate, a module in it, and a module in that.
const DEPTH: usize = 3;

fn main() -> Result<(), Box<dyn Error>> {
    let path = std::env::args_os().nth(1).ok_or("name the program, a .wasm with names")?;
    let weights = weigh(&std::fs::read(path)?)?;
    let all: usize = weights.areas.values().sum();
    let mut rows = Vec::new();
    list(&weights.areas, "", LEAST_SHARE * all as f64, &mut rows);
    rows.extend([("all code".to_owned(), all), ("data".to_owned(), weights.data)]);
    for (area, bytes) in rows {
        println!("{:>8.1} {area}", bytes as f64 / 1000.0);
    }
    Ok(())
}

/// Bytes of a program.
#[derive(Default)]
struct Weights {
    /// Of the functions, by the path of their crate and modules.
    areas: BTreeMap<String, usize>,
    data: usize,
}

fn weigh(program: &[u8]) -> Result<Weights, Box<dyn Error>> {
    let (mut imported, mut bodies, mut names) = (0, Vec::new(), HashMap::new());
    let mut weights = Weights::default();
    for payload in Parser::new(0).parse_all(program) {
        match payload? {
            Payload::ImportSection(imports) => {
                for import in imports.into_imports() {
                    imported += u32::from(matches!(import?.ty, TypeRef::Func(_)));
                }
            }
            Payload::CodeSectionEntry(body) => bodies.push(body.range().len()),
            Payload::DataSection(data) => weights.data = data.range().len(),
            Payload::CustomSection(section) => {
                let KnownCustom::Name(kinds) = section.as_known() else { continue };
                for kind in kinds {
                    let Name::Function(functions) = kind? else { continue };
                    for function in functions {
                        let function = function?;
                        names.insert(function.index, function.name);
                    }
                }
            }
            _ => {}
        }
    }
    if names.is_empty() {
        return Err("its functions have no names".into());
    }
    for (index, bytes) in (imported..).zip(bodies) {
        let name = names.get(&index).copied().unwrap_or_default();
        *weights.areas.entry(area(&format!("{:#}", demangle(name)))).or_default() += bytes;
    }
    Ok(weights)
}

/// The crate at which a function's path begins, with the modules in it, as far as [`DEPTH`].
fn area(name: &str) -> String {
    // What stands before the type whose method it is: `<&mut [T] as Trait>::f`, `<dyn Trait>::f`.
    const BEFORE: [&str; 8] = ["<", "&", "*", "[", "(", "mut ", "const ", "dyn "];
    let mut path = name;
    while let Some(rest) = BEFORE.iter().find_map(|sign| path.strip_prefix(sign)) {
        path = rest;
    }
    let end = path.find(|c: char| !c.is_alphanumeric() && !"_:".contains(c));
    let words: Vec<&str> = path[..end.unwrap_or(path.len())].split("::").collect();
    // The last is the type or the function; other types before it have a capital.
    if let [modules @ .., _] = words.as_slice()
        && !modules.is_empty()
    {
        let modules = modules.iter().take_while(|m| m.starts_with(|c: char| !c.is_uppercase()));
        return modules.take(DEPTH).copied().collect::<Vec<_>>().join("::");
    }
    // A type that is the language's own, or any: the trait says whose it is.
    match path.split_once(" as ") {
        Some((_, of_trait)) => area(of_trait),
        None if name.starts_with('<') => "core".to_owned(),
        None if name.starts_with("__wbindgen_describe") => "(wasm-bindgen drops it)".to_owned(),
        None => "(no crate)".to_owned(),
    }
}

/// Adds what lies in an area, the heaviest first, each with what lies in it; below a crate only from `least` on.
fn list(
    areas: &BTreeMap<String, usize>,
    within: &str,
    least: f64,
    rows: &mut Vec<(String, usize)>,
) {
    let mut inner: BTreeMap<&str, usize> = BTreeMap::new();
    for (area, bytes) in areas {
        let Some(rest) = area.strip_prefix(within).filter(|rest| !rest.is_empty()) else {
            continue;
        };
        let end = rest.find("::").map_or(area.len(), |at| area.len() - rest.len() + at);
        *inner.entry(&area[..end]).or_default() += bytes;
    }
    let mut inner: Vec<(&str, usize)> = inner.into_iter().collect();
    inner.sort_by_key(|(_, bytes)| std::cmp::Reverse(*bytes));
    inner.retain(|(_, bytes)| within.is_empty() || *bytes as f64 >= least);
    for (area, bytes) in inner {
        rows.push((format!("{}{area}", "  ".repeat(area.matches("::").count())), bytes));
        list(areas, &format!("{area}::"), least, rows);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_function_counts_where_its_path_begins() {
        for (name, wanted) in [
            ("trimwright::boat::part::mass", "trimwright::boat::part"),
            ("<trimwright::boat::Part as core::clone::Clone>::clone", "trimwright::boat"),
            ("<&mut [trimwright::boat::Part] as core::fmt::Debug>::fmt", "trimwright::boat"),
            ("<alloc::vec::Vec<trimwright::boat::Part>>::push", "alloc::vec"),
            ("core::ptr::drop_glue::<trimwright::boat::Part>", "core::ptr::drop_glue"),
            (
                "trimwright_app::ui::screen::pool::at_the_pool::{closure#0}",
                "trimwright_app::ui::screen",
            ),
            ("<_ as tachys::view::Render>::build", "tachys::view"),
            ("<f64 as core::fmt::Display>::fmt", "core::fmt"),
            ("<str>::replace::<&str>", "core"),
            ("__wbindgen_describe___wbg_now", "(wasm-bindgen drops it)"),
            ("memcpy", "(no crate)"),
        ] {
            assert_eq!(area(name), wanted, "{name}");
        }
    }

    #[test]
    fn the_heaviest_comes_first_with_what_is_in_it_if_that_weighs_enough() {
        let areas = [("a", 300), ("a::x", 5), ("a::y::z", 95), ("ab::x", 600)];
        let areas = areas.map(|(area, bytes)| (area.to_owned(), bytes)).into();
        let mut rows = Vec::new();
        list(&areas, "", 10.0, &mut rows);
        let rows: Vec<(&str, usize)> =
            rows.iter().map(|(row, bytes)| (row.as_str(), *bytes)).collect();
        let wanted =
            [("ab", 600), ("  ab::x", 600), ("a", 400), ("  a::y", 95), ("    a::y::z", 95)];
        assert_eq!(rows, wanted, "");
    }
}
