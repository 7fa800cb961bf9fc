//! Orders: the cheapest tour under "this before that", and which tools to have in the magazine.
//!
//! Pure search over numbers: nodes, jobs and tools are indices from 0. Nothing here knows NC,
//! geometry, forces, files or a clock; the caller says when to stop. The same input, seed, number of
//! lanes and number of iterations give the same result on any machine and any number of threads,
//! as long as `should_stop` does not end the search early.

pub mod magazine;
pub mod precedence;
pub mod search;
pub mod tour;

mod dice;

pub use precedence::{Precedence, RuleError};
pub use search::{Ended, SearchOptions};
