//! NC text to blocks to toolpath.
//!
//! Knows no travel limits, forces or checks: it only says what a program means.

pub mod context;
pub mod explain;
pub mod faults;
mod interpret;
pub mod knife;
mod lex;
mod log;
mod parameters;
pub mod reading;
pub mod spans;
pub mod toolpath;
pub mod trace;

pub use context::{ReadContext, ReadHead, ReadRotary, ReadTool};
pub use explain::{BlockExplanation, explain};
pub use faults::{FaultInfo, faults};
pub use parameters::Parameters;
pub use reading::{EndState, Reading, Stated, read};
pub use spans::{block_span, code_span, word_span};
pub use toolpath::{Event, EventKind, Move, MoveKind, MoveState, SpindleTurn, Toolpath};
pub use trace::{BlockRun, FeedMode, WrittenWord, read_traced, written_words};
