//! The whole way from a program and a setup to findings: [`analyse`]. Every check is a file of its
//! own below `fit`, `tools`, `program`, `material` or `loads`, with its explanation beside it;
//! [`registry`] lists them.
//!
//! Knows no files, no web, no store.

mod analyse;
mod context;
mod excursion;
pub mod fit;
pub mod loads;
pub mod material;
pub mod program;
pub mod registry;
pub mod screen;
pub mod tools;
mod totals;

pub use analyse::{AnalyseOptions, Analysis, analyse, analyse_with};
pub use context::Context;
pub use loads::ToolWork;
pub use material::Material;
pub use registry::{CheckInfo, explain, infos};
pub use totals::{ToolUse, Totals};
