//! Laminar flow through a narrow gap under an edge.

use crate::air::Air;

/// Reynolds number up to which the laminar law is taken to hold (from memory: plane channels turn
/// turbulent at about 2000 by hydraulic diameter).
pub const LAMINAR_REYNOLDS: f64 = 2000.0;

/// A gap of even height under a flat edge without seal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Height, m.
    pub height_m: f64,
    /// Path of the air, m, above 0.
    pub path_m: f64,
}

impl Gap {
    /// Conductance, kg/(s Pa² m) per metre of edge: the flow is this times (p1² − p2²).
    ///
    /// h³/(24 μ R T L): isothermal plane Poiseuille flow; grows with the cube of the height.
    pub fn conductance_per_m(&self, air: &Air) -> f64 {
        let cube = self.height_m * self.height_m * self.height_m;
        cube / (24.0 * air.viscosity_pa_s * air.rt() * self.path_m)
    }

    /// Mass flow per metre of edge, kg/(s m).
    pub fn flow_kg_s_m(&self, upstream_pa: f64, downstream_pa: f64, air: &Air) -> f64 {
        self.conductance_per_m(air) * (upstream_pa * upstream_pa - downstream_pa * downstream_pa)
    }
}

/// Reynolds number 2 m'/μ of a gap flow m' in kg/(s m); compare with [`LAMINAR_REYNOLDS`]. Above it the
/// laminar law over-predicts the leak, which is on the safe side.
pub fn reynolds(flow_kg_s_m: f64, air: &Air) -> f64 {
    2.0 * flow_kg_s_m.abs() / air.viscosity_pa_s
}
