//! Tells Cargo that the words in `locale/` are part of the app: the macro that reads them does not.

#![expect(clippy::print_stdout, reason = "it is how a build script talks to Cargo")]

fn main() {
    println!("cargo:rerun-if-changed=locale");
}
