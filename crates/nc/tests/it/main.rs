//! Integration tests: fixtures as real files, outside figures with their source named beside them.

#![allow(clippy::disallowed_methods, reason = "tests read their fixtures from files")]

mod support;
mod worked;
