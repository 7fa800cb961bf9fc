//! The porous spoilboard: how it leaks, and how much of the plenum's vacuum reaches a piece.

pub mod contact;
pub mod darcy;
pub mod kerf;
pub mod loss;
pub mod openings;
pub mod retention;

use crate::air::Air;
use kw_base::Band;

/// A porous layer: spoilboard or sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layer {
    /// Thickness, m, above 0.
    pub thickness_m: f64,
    /// Permeability through the thickness, m²; 0 for a sealed layer.
    pub permeability_m2: f64,
}

impl Layer {
    /// The first figure that cannot be used, if any.
    pub fn fault(&self) -> Option<BoardFault> {
        within("thickness in m", self.thickness_m, THICKNESS_RANGE_M)
            .or_else(|| within("permeability in m²", self.permeability_m2, PERMEABILITY_RANGE_M2))
    }

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
/// MDF", J. Wood & Forest Sci. Technol.); the likely value inside that range is a judgement, no
/// source.
pub const START_PERMEABILITY_M2: Band = Band { low: 0.5e-13, likely: 2e-13, high: 6e-13 };

// Bounds far outside any spoilboard, to catch wrong units.
const THICKNESS_RANGE_M: (f64, f64) = (0.000_5, 0.3);
const PERMEABILITY_RANGE_M2: (f64, f64) = (0.0, 1e-9);
const SLIP_RANGE_PA: (f64, f64) = (0.0, 1e7);
const IN_PLANE_RANGE: (f64, f64) = (1e-3, 1e3);

/// A figure of a board or sheet that cannot be meant.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("board or sheet: {what} is {value}; it must lie between {low} and {high}: check its unit")]
pub struct BoardFault {
    /// Which figure, with unit.
    pub what: &'static str,
    /// Value given.
    pub value: f64,
    /// Smallest value taken.
    pub low: f64,
    /// Largest value taken.
    pub high: f64,
}

fn within(what: &'static str, value: f64, (low, high): (f64, f64)) -> Option<BoardFault> {
    (!(low..=high).contains(&value)).then_some(BoardFault { what, value, low, high })
}

impl Board {
    /// The first figure that cannot be used, if any.
    pub fn fault(&self) -> Option<BoardFault> {
        self.layer
            .fault()
            .or_else(|| within("slip pressure in Pa", self.slip_pa, SLIP_RANGE_PA))
            .or_else(|| {
                within(
                    "in-plane over through-thickness permeability",
                    self.in_plane_ratio,
                    IN_PLANE_RANGE,
                )
            })
    }

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
