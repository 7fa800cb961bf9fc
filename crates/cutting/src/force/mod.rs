//! Specific cutting force of materials and stacks of them, and the forces on edges and tool.

mod axial;
mod correction;
mod edge_forces;
mod law;
mod layer;

pub use axial::{Helix, axial_ratio, axial_ratio_bound, axial_ratio_oblique};
pub use correction::{
    HIGH_SPEED_STEEL_FACTOR, MILLING_FACTOR, WORN_EDGE_FACTOR, rake_factor, wear_factor,
};
pub use edge_forces::{AverageForces, EdgeCoefficients, EdgeForces, Rotation};
pub use law::{CuttingLaw, LinearLaw, PowerLaw, PowerLawFit};
pub use layer::{Layer, force_on_edge_n, layers_between, mean_specific_n_mm2, stack_thickness_mm};

use kw_base::Band;

/// Radial force as a share of the tangential one where a material has no radial coefficients of
/// its own: sharp edges push away with a third, dull ones with as much as they cut. Common
/// practice, no source.
pub const RADIAL_SHARE: Band = Band { low: 0.3, likely: 0.5, high: 1.0 };
