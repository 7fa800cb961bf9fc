//! One test binary of the crate.

mod closed_forms;
mod pauses;
mod properties;
mod support;
