//! The store on SQLite (embedded) or PostgreSQL (several stations), behind one trait.
//!
//! The same SQL runs on both; only migrations differ. SQLite runs with a write-ahead log and
//! `synchronous = FULL`: an acknowledged write survives power loss, at a few milliseconds each.

mod open;
mod programs;
mod statements;

pub use open::{Store, StoreOptions};
pub use statements::STATEMENTS;

use kw_shop::StoreError;

/// Turns a database error into words of ours.
fn failed(doing: &'static str) -> impl FnOnce(sqlx::Error) -> StoreError {
    move |error| StoreError::Database { doing, why: error.to_string() }
}
