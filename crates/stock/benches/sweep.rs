//! Speed of the sweep beside a plain memory fill.

fn main() {
    divan::main();
}
