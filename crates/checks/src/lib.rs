//! The whole way from a program and a setup to findings: [`analyse`]. Every check is a file of its
//! own below `fit`, `tools` or `program`, with its explanation beside it; [`registry`] lists them.
//!
//! Knows no files, no web, no store.

mod analyse;
mod context;
mod excursion;
pub mod fit;
pub mod program;
pub mod registry;
pub mod screen;
pub mod tools;
mod totals;

pub use analyse::{Analysis, analyse};
pub use context::Context;
pub use registry::{CheckInfo, explain, infos};
pub use totals::{ToolUse, Totals};
