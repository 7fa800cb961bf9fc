//! Project tooling.
fn main() {}
