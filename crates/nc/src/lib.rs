//! NC text to blocks to toolpath.
//!
//! Knows no travel limits, forces or checks: it only says what a program means.

pub mod toolpath;

pub use toolpath::{Event, EventKind, Move, MoveKind, MoveState, SpindleTurn, Toolpath};
