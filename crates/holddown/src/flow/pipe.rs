//! Isothermal pipe flow.

use super::branch::BranchLaw;
use crate::air::Air;
use kw_base::math::{self, PI};

/// A pipe with its fittings. Loss coefficients from memory (as in Crane TP-410): entry 0.5, exit 1, 90°
/// elbow 0.5–0.9, full-bore ball valve 0.05, butterfly valve about 0.8, tee branch 1–1.8.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pipe {
    /// Bore, m, above 0.
    pub bore_m: f64,
    /// Length, m, above 0.
    pub length_m: f64,
    /// Darcy friction factor; 0.02 suits smooth pipe of this size.
    pub friction_factor: f64,
    /// Sum of the loss coefficients of the fittings, referred to the bore.
    pub fittings: f64,
}

impl Pipe {
    fn area_m2(&self) -> f64 {
        0.25 * PI * self.bore_m * self.bore_m
    }

    fn loss_coefficient(&self) -> f64 {
        self.friction_factor * self.length_m / self.bore_m + self.fittings
    }

    /// Branch law ψ1 − ψ2 = a m + B m |m| of this pipe; the laminar part a keeps its slope finite at
    /// rest, the acceleration term (13 Pa in T20) is left out.
    pub fn branch_law(&self, air: &Air) -> BranchLaw {
        let area = self.area_m2();
        let bore_4 = self.bore_m * self.bore_m * self.bore_m * self.bore_m;
        BranchLaw {
            laminar: 256.0 * air.viscosity_pa_s * self.length_m * air.rt() / (PI * bore_4),
            quadratic: air.rt() * self.loss_coefficient() / (area * area),
        }
    }

    /// Outlet pressure, Pa, for an inlet pressure and a mass flow, acceleration included:
    /// p1² − p2² = (m/A)² R T [f L/D + ΣK + 2 ln(p1/p2)].
    ///
    /// `None` if the pipe cannot pass the flow (it chokes before its end).
    pub fn outlet_pa(&self, inlet_pa: f64, mass_flow_kg_s: f64, air: &Air) -> Option<f64> {
        let flux = mass_flow_kg_s / self.area_m2();
        let dynamic = flux * flux * air.rt();
        // With y = (p2/p1)²: y = 1 − c (K − ln y), c = dynamic/p1². The right side is concave in y;
        // the flow is possible while y stays above c, where the isothermal Mach number reaches 1.
        let c = dynamic / (inlet_pa * inlet_pa);
        let mut y = 1.0;
        for _ in 0..200 {
            let residual = y - 1.0 + c * (self.loss_coefficient() - math::log(y));
            let step = residual / (1.0 - c / y);
            let next = y - step;
            if next <= c || next.is_nan() {
                return None;
            }
            if (next - y).abs() <= 1e-15 {
                return Some(inlet_pa * next.sqrt());
            }
            y = next;
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn branch_coefficients_of_the_facts() {
        // Facts 1.7: D 50 mm, L 3 m, f 0.02, ΣK 5: B = 1.353e11, a = 6.0e7.
        let pipe = Pipe { bore_m: 0.05, length_m: 3.0, friction_factor: 0.02, fittings: 5.0 };
        let law = pipe.branch_law(&Air::default());
        assert!((law.quadratic / 1.353e11 - 1.0).abs() < 1e-3, "{}", law.quadratic);
        assert!((law.laminar / 6.0e7 - 1.0).abs() < 1e-2, "{}", law.laminar);
    }

    #[test]
    fn too_much_flow_chokes() {
        let pipe = Pipe { bore_m: 0.05, length_m: 10.0, friction_factor: 0.02, fittings: 0.0 };
        assert!(pipe.outlet_pa(40_000.0, 0.03, &Air::default()).is_some());
        assert!(pipe.outlet_pa(40_000.0, 0.5, &Air::default()).is_none());
    }
}
