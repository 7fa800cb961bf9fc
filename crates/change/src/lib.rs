//! Changes of programs at NC level. The text received is never changed: every change gives a new
//! text, which is read and checked the whole way again.
//!
//! Knows no vacuum, no store, no web.

pub mod restart;
pub mod same;
pub mod transform;
pub mod write;

pub use restart::{Refusal, Restart, RestartOptions, restart};
pub use same::{Difference, first_difference};
pub use transform::{Transform, TransformError, Transformed, transform};
pub use write::{WriteError, WriteOptions, write};
