//! Integration tests of kw-cutting: check cases with their source, invariants, outside references.
//!
//! Marks beside the checks: [P] read in the published source, [D] rows of an open data set, [T]
//! textbook figure seen in a worked-example companion, [C] computed from the stated formula, [M] from memory.
#![allow(clippy::expect_used, clippy::print_stdout, reason = "helpers of tests")]
#![allow(clippy::disallowed_methods, reason = "fixtures are files")]
#![allow(clippy::approx_constant, reason = "figures stand as printed in their source")]

mod chip_cases;
mod close;
mod deflection_cases;
mod force_cases;
mod knife_cases;
mod life_cases;
mod power_cases;
mod program_cases;
mod properties;
mod reliability_data;
mod speeds_cases;
mod trends;
mod wear_cases;
