//! Changed programs, read again: what was promised holds.
#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "tests read the demo shop from files and may fail loudly"
)]

mod demo;
mod edit;
mod restart;
mod transform;
mod write;
