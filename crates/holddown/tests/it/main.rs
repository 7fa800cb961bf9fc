//! Integration tests of kw-holddown: check cases, invariants and outside references.

mod flow_cases;
mod network_cases;
mod network_properties;
mod outside_reference;
mod piece_cases;
mod piece_properties;
mod random;
