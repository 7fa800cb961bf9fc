//! The executable as a person runs it.
#![allow(clippy::unwrap_used, reason = "tests may fail loudly")]

mod bad_input;
mod changes;
mod contract;
mod demo_shop;
mod run;
mod speeds;
