//! Benchmarks of the core.
fn main() {
    divan::main();
}
