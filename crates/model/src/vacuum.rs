//! The vacuum system as described in the machine's file: spoilboard, zones, branches, pumps.

use crate::Figure;
use kw_geometry::{Polygon, Vec2};
use serde::Deserialize;

/// The porous board between table and sheet.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spoilboard {
    /// Thickness, mm.
    pub thickness_mm: f64,
    /// Darcy permeability, m²; none for a sealed board with holes.
    pub permeability_m2: Option<Figure>,
    /// Gap between sheet and board left by dust, scratches and bow, mm.
    pub contact_gap_mm: Option<Figure>,
}

/// A part of the table whose vacuum is switched on its own.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// Short name, used in the dialect and on the page.
    pub id: String,
    /// Corners in order, machine coordinates, mm.
    pub corners_mm: Vec<[f64; 2]>,
    /// Pipe from the manifold.
    pub branch: Branch,
    /// Whether its valve is open at program start.
    #[serde(default)]
    pub open_at_start: bool,
}

/// The pipe and valve between manifold and zone.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Branch {
    /// Manifold it hangs on.
    #[serde(default = "default_manifold")]
    pub manifold: String,
    /// Inner diameter, mm.
    pub bore_mm: f64,
    /// Length, m.
    pub length_m: f64,
    /// Sum of the loss coefficients of entry, bends, valve and exit.
    pub loss_coefficients: f64,
    /// Friction factor of the pipe (Darcy).
    #[serde(default = "default_friction_factor")]
    pub friction_factor: f64,
}

fn default_manifold() -> String {
    "main".to_owned()
}

fn default_friction_factor() -> f64 {
    0.02
}

/// A vacuum pump.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pump {
    /// Short name, used in the dialect.
    pub id: String,
    /// Manifold it draws from.
    #[serde(default = "default_manifold")]
    pub manifold: String,
    /// Its curve.
    pub curve: PumpCurve,
    /// Whether a check valve keeps air from running back through it.
    #[serde(default)]
    pub check_valve: bool,
    /// Vacuum at which a relief valve opens, Pa below ambient.
    pub relief_vacuum_pa: Option<f64>,
    /// Whether it runs at program start.
    #[serde(default)]
    pub running_at_start: bool,
}

/// How a pump's inlet flow depends on its inlet pressure.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "kind", deny_unknown_fields)]
pub enum PumpCurve {
    /// Vane, claw or screw: flow × (1 − ultimate pressure / inlet pressure).
    Displacement {
        /// Inlet flow, m³/h.
        flow_m3_h: f64,
        /// Inlet pressure at which it moves no more air, Pa absolute.
        ultimate_pa: f64,
    },
    /// Side-channel blower: flow × (1 − vacuum / largest vacuum).
    Blower {
        /// Inlet flow against no vacuum, m³/h.
        flow_m3_h: f64,
        /// Vacuum at which it moves no more air, Pa below ambient.
        max_vacuum_pa: f64,
    },
    /// Measured points `[inlet pressure in Pa absolute, inlet flow in m³/h]`, pressure rising.
    Table {
        /// The points.
        points: Vec<[f64; 2]>,
    },
}

impl Zone {
    /// Its outline, machine coordinates.
    pub fn outline(&self) -> Polygon {
        Polygon { points: self.corners_mm.iter().map(|&c| Vec2::from(c)).collect() }
    }
}
