//! Outside data, brute force and exhaustive loading.
#![allow(clippy::unwrap_used, reason = "tests")]

mod copies;
mod data;
mod entries;
mod magazines;
mod tiny_queues;
mod tiny_tours;
mod tours;

/// The same random cases in every run.
fn cases(count: u32) -> proptest::prelude::ProptestConfig {
    proptest::prelude::ProptestConfig {
        cases: count,
        failure_persistence: None,
        rng_seed: proptest::test_runner::RngSeed::Fixed(20),
        ..Default::default()
    }
}
