//! Steady isothermal Darcy flow of air through layers: linear in p² (facts of compressible flow in
//! porous media; see e.g. Muskat 1937). The incompressible form over-predicts by 2 p1/(p1 + p2).

use super::{Board, Layer};
use crate::air::Air;

impl Board {
    /// Conductance to ambient of bare board, kg/(s Pa² m²).
    pub fn conductance_per_m2(&self, air: &Air) -> f64 {
        self.mobility(air) / self.layer.thickness_m
    }

    /// Conductance of sheet on board, kg/(s Pa² m²): resistances in series; 0 if either is sealed.
    pub fn conductance_under_sheet_per_m2(&self, sheet: &Layer, air: &Air) -> f64 {
        let resistance = self.layer.resistance_per_m() + sheet.resistance_per_m();
        1.0 / (2.0 * air.viscosity_pa_s * air.rt() * resistance)
    }

    /// Mass flux through bare board from `upstream_pa` to `downstream_pa`, kg/(s m²), slip included.
    pub fn flux_kg_s_m2(&self, upstream_pa: f64, downstream_pa: f64, air: &Air) -> f64 {
        let potential = |p: f64| p * (p + 2.0 * self.slip_pa);
        self.conductance_per_m2(air) * (potential(upstream_pa) - potential(downstream_pa))
    }

    /// Leak through the rim of the board, kg/(s Pa² m): per metre of rim with the plenum
    /// `distance_m` inside it.
    pub fn rim_conductance_per_m(&self, distance_m: f64, air: &Air) -> f64 {
        self.mobility(air) * self.in_plane_ratio * self.layer.thickness_m / distance_m
    }

    /// Share of (pa² − p_z²) that is lost in the board below a porous sheet, 0 to 1; 0 under a
    /// sealed sheet.
    pub fn share_lost_to_sheet(&self, sheet: &Layer) -> f64 {
        let spoil = self.layer.resistance_per_m();
        let total = spoil + sheet.resistance_per_m();
        if total.is_infinite() {
            if spoil.is_infinite() { 1.0 } else { 0.0 }
        } else {
            spoil / total
        }
    }

    /// Pressure between board and sheet, Pa, far from any edge. The sheet is pulled down by ambient
    /// minus this, not by ambient minus the plenum's pressure.
    pub fn pressure_under_sheet_pa(&self, plenum_pa: f64, sheet: &Layer, air: &Air) -> f64 {
        mix_squares(plenum_pa, air.ambient_pa, self.share_lost_to_sheet(sheet))
    }
}

/// √(p_z² + u (pa² − p_z²)).
pub(crate) fn mix_squares(plenum_pa: f64, ambient_pa: f64, share: f64) -> f64 {
    let (low, high) = (plenum_pa * plenum_pa, ambient_pa * ambient_pa);
    (low + share * (high - low)).max(0.0).sqrt()
}
