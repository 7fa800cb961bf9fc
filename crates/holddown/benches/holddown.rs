//! Speed of hold-down: to come.

fn main() {}
