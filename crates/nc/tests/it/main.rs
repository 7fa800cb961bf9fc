//! Integration tests: fixtures as real files, outside figures with their source named beside them.

#![allow(clippy::disallowed_methods, reason = "tests read their fixtures from files")]
#![allow(clippy::unwrap_used, clippy::expect_used, reason = "a test may panic")]

mod conditions;
mod demo;
mod explained;
mod expressions;
mod faulty;
mod frames;
mod habits;
mod knife;
mod machine;
mod odd_bytes;
mod report;
mod support;
mod worked;
