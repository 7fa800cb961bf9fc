//! Tests of the whole crate.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "tests read the demo shop from files and may fail loudly"
)]

mod closed_forms;
mod demo_shop;
mod moves;
mod nonsense;
mod oracle;
mod pencil;
mod pieces;
mod polygons;
mod sheets;
mod symmetries;
