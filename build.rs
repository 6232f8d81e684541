//! Tells Cargo that the words in `locale/` are part of the app: the macro that reads them does not.

fn main() {
    println!("cargo:rerun-if-changed=locale");
}
