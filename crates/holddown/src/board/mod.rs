//! The porous spoilboard: how it leaks, and how much of the plenum's vacuum reaches a piece.

pub mod contact;
pub mod darcy;
pub mod kerf;
pub mod loss;
pub mod openings;
pub mod retention;

use crate::air::Air;

/// A porous layer: spoilboard or sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Thickness, m, above 0.
    pub thickness_m: f64,
    /// Permeability through the thickness, m²; 0 for a sealed layer.
    pub permeability_m2: f64,
}

impl Layer {
    /// Flow resistance t/k, 1/m; infinite for a sealed layer.
    pub fn resistance_per_m(&self) -> f64 {
        if self.permeability_m2 > 0.0 {
            self.thickness_m / self.permeability_m2
        } else {
            f64::INFINITY
        }
    }
}

/// A spoilboard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Board {
    /// Thickness and through-thickness permeability.
    pub layer: Layer,
    /// Slip pressure b, Pa; see [`crate::air::slip_pressure_pa`].
    pub slip_pa: f64,
    /// Permeability in the plane over that through the thickness; 1 for an even board.
    pub in_plane_ratio: f64,
}

/// Permeability to start from until the shop has calibrated its board, m²: within 0.38e-13 to
/// 6.26e-13 of laboratory MDF ("Effects of Adhesive and Paraffin Content on Gas Permeability of
/// MDF", J. Wood & Forest Sci. Technol.); the choice inside that range is a judgement, no source.
pub const START_PERMEABILITY_M2: f64 = 2e-13;
/// Range for [`START_PERMEABILITY_M2`] while nothing was measured, m²; source as there.
pub const START_PERMEABILITY_RANGE_M2: (f64, f64) = (0.5e-13, 6e-13);

impl Board {
    /// A board without slip and with the same permeability in all directions.
    pub fn new(thickness_m: f64, permeability_m2: f64) -> Self {
        Self { layer: Layer { thickness_m, permeability_m2 }, slip_pa: 0.0, in_plane_ratio: 1.0 }
    }

    /// k/(2 μ R T), kg/(s Pa² m): every board flow is this times a length or a shape factor.
    pub fn mobility(&self, air: &Air) -> f64 {
        self.layer.permeability_m2 / (2.0 * air.viscosity_pa_s * air.rt())
    }

    /// Length in which edge losses fade, m: thickness · √(in-plane over through-thickness
    /// permeability).
    pub fn edge_length_m(&self) -> f64 {
        self.layer.thickness_m * self.in_plane_ratio.max(0.0).sqrt()
    }
}
