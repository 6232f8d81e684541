//! The answer of the app without its screens: `cargo run --release --example advise -- [--plan] FILE`.
//!
//! Takes an export and prints one JSON object on stdout: what the app would answer now for the boat in
//! hand, from its newest reading; with `--plan` which ballast goes where so that it meets its whole aim. A file that cannot be read: the reason on stderr, and exit code 2.
//! DEVELOPERS.md describes the fields.

#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "it is a program of the command line"
)]

use std::process::ExitCode;
use trimwright::answer::{PlansPrinted, Printed};
use trimwright::diary::read;

fn main() -> ExitCode {
    let (options, files): (Vec<String>, Vec<String>) =
        std::env::args().skip(1).partition(|argument| argument.starts_with("--"));
    let plans = options.iter().any(|option| option == "--plan");
    let ([file], true) = (files.as_slice(), options.len() == usize::from(plans)) else {
        eprintln!("give one file: the export of the app; and before it --plan, for plans");
        return ExitCode::from(2);
    };
    match if plans { plan(file) } else { advise(file) } {
        Ok(answer) => {
            println!("{answer}");
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{file}: {why}");
            ExitCode::from(2)
        }
    }
}

fn advise(file: &str) -> Result<String, Box<dyn std::error::Error>> {
    let diary = read(&std::fs::read_to_string(file)?)?;
    Ok(serde_json::to_string(&Printed::of(&diary)?)?)
}

fn plan(file: &str) -> Result<String, Box<dyn std::error::Error>> {
    let diary = read(&std::fs::read_to_string(file)?)?;
    Ok(serde_json::to_string(&PlansPrinted::of(&diary)?)?)
}
