//! Tests of the whole crate.

#![allow(missing_docs)]

mod closed_forms;
mod pencil;
mod pieces;
