//! What the shop remembers, and the trait of any store that keeps it.
//!
//! Knows no SQL, no HTTP and no physics; times come in as arguments.

pub mod program;
pub mod store;

pub use program::{NewProgram, ProgramId, ProgramRecord, TextHash, sha256_hex};
pub use store::{ProgramStore, StoreError};
