//! Flow through holes, gaps, pipes and the branches of the plumbing.

pub mod branch;
pub mod gap;
pub mod orifice;
pub mod pipe;

pub use branch::BranchLaw;
pub use orifice::{Discharge, Orifice};

/// A mass flow and how it changes with the quantity it depends on.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub struct Flow {
    /// Mass flow, kg/s.
    pub kg_s: f64,
    /// Its derivative; per Pa or per Pa², as the function that returns it says.
    pub slope: f64,
}
