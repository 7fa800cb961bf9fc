//! Tests of the whole crate.

#![allow(clippy::unwrap_used, reason = "tests may fail loudly")]

mod closed_forms;
mod moves;
mod oracle;
mod pencil;
mod pieces;
mod polygons;
mod sheets;
mod symmetries;
