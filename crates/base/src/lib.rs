//! What everything shares: findings and the places they point at, source text, and mathematics
//! that gives the same numbers on every machine.
//!
//! Knows nothing of NC, machines or files.

pub mod band;
pub mod finding;
pub mod math;
pub mod source;

pub use band::Band;
pub use finding::{Finding, FindingLog, Note, Place, SettingRef, Severity};
pub use source::{LineColumn, SourceFile, Sources, Span};
