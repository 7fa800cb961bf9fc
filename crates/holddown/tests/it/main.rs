//! Integration tests of kw-holddown: check cases, invariants and outside references.

#![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

mod flow_cases;
mod network_cases;
mod network_properties;
mod outside_reference;
mod piece_cases;
mod piece_properties;
mod plan_and_run;
mod random;
mod time_and_calibration;
