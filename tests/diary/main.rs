//! The file that keeps everything: nothing in it is lost, and what it tells when one looks back.

mod checks;
mod doing;
mod file;
mod half_typed;
mod import_fuzz;
mod join;
mod keeping;
mod kept;
mod looking_back;
mod merge;
mod readings_csv;
#[path = "../support/mod.rs"]
mod support;
mod version;
