//! One test binary of the crate.

#![allow(clippy::expect_used, reason = "helpers of tests may panic")]

mod closed_forms;
mod fitting;
mod kinds;
mod long;
mod machines;
mod pauses;
mod properties;
mod references;
mod support;
mod time_line;
