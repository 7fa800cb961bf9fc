//! Changes of programs at NC level. The text received is never changed: every change gives a new
//! text, which is read and checked the whole way again.
//!
//! Knows no vacuum, no store, no web.

pub mod compare;
pub mod diff;
pub mod edit;
pub mod restart;
pub mod revision;
pub mod same;
pub mod transform;
pub mod write;

pub use compare::{Comparison, Figures, FindingLine, compare};
pub use edit::{Amount, Edit, EditError, EditRequest, Edited, FeedPart, Scope, edit};
pub use restart::{Refusal, Restart, RestartOptions, restart};
pub use revision::{History, Revision, Signature};
pub use same::{Difference, first_difference};
pub use transform::{Transform, TransformError, Transformed, transform};
pub use write::{WriteError, WriteOptions, write};
