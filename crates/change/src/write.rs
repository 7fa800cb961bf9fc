//! From a toolpath to program text in a machine's dialect, so that reading the text again gives the
//! same toolpath.
//!
//! Written out are plain moves: canned cycles, subprograms, compensation, rotation and scaling come
//! as the motions they stand for. Comments of the source are kept, each before its block.

mod comments;
mod number;
mod program;

pub use number::NumberStyle;
pub(crate) use program::Writer;
pub use program::{WriteError, WriteOptions, write};
