//! Holes open to ambient: isentropic flow of air, choked below 0.5283 of ambient.

use super::Flow;
use crate::air::{Air, HEAT_RATIO};
use kw_base::math;

/// Pressure ratio at which the flow chokes: (2/(γ+1))^(γ/(γ−1)), γ = 1.4.
pub const CRITICAL_RATIO: f64 = 0.528_281_787_717_174;

/// Above this ratio the root law goes over into a chord, so that the slope stays finite at rest; it
/// lies below the root law by at most 10 Pa of drive.
const CHORD_FROM: f64 = 0.9999;

/// Coefficients of [`Discharge::Perry`], lowest power first.
const PERRY: [f64; 6] = [0.8414, -0.1002, 0.8415, -3.9, 4.6001, -1.6827];

/// How an orifice contracts its jet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Discharge {
    /// A fixed coefficient, 0 to 1: sharp-edged 0.563–0.788, short cylindrical 0.81–0.84, rounded
    /// entry 0.92–0.93 (Weisbach, in Encyclopaedia Britannica 11th ed., "Hydraulics" §63).
    Fixed(f64),
    /// Perry's compressible fit for sharp edges (J. A. Perry, Trans. ASME 71, 757–764, 1949, as printed
    /// in a simulation library's documentation): 0.6001 at rest, 0.7374 critical, 0.8414 into vacuum.
    Perry,
}

/// A hole from ambient into a zone or manifold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Orifice {
    /// Open area, m², at least 0.
    pub area_m2: f64,
    /// Discharge coefficient.
    pub discharge: Discharge,
}

impl Orifice {
    /// A round hole with a fixed coefficient.
    pub fn round(diameter_m: f64, coefficient: f64) -> Self {
        Self {
            area_m2: 0.25 * math::PI * diameter_m * diameter_m,
            discharge: Discharge::Fixed(coefficient),
        }
    }

    /// A hole given as coefficient times area, m².
    pub fn effective(effective_area_m2: f64) -> Self {
        Self { area_m2: effective_area_m2, discharge: Discharge::Fixed(1.0) }
    }

    /// Mass flow from ambient to a pressure, kg/s, and its slope, kg/(s Pa), which is ≤ 0.
    ///
    /// Above ambient the flow turns back with the slope it has at rest.
    pub fn flow(&self, downstream_pa: f64, air: &Air) -> Flow {
        let scale = self.area_m2 * air.ambient_pa / air.rt().sqrt();
        let ratio = downstream_pa / air.ambient_pa;
        let (value, slope) = if ratio > CHORD_FROM {
            let slope = -self.law(CHORD_FROM).0 / (1.0 - CHORD_FROM);
            ((ratio - 1.0) * slope, slope)
        } else {
            self.law(ratio.max(0.0))
        };
        Flow { kg_s: scale * value, slope: scale / air.ambient_pa * slope }
    }

    /// Cd Ψ(r) and its derivative by r, for r from 0 up to the chord.
    fn law(&self, ratio: f64) -> (f64, f64) {
        let (psi, psi_slope) = isentropic(ratio);
        let (cd, cd_slope) = match self.discharge {
            Discharge::Fixed(cd) => (cd, 0.0),
            Discharge::Perry => perry(ratio),
        };
        (cd * psi, cd * psi_slope + cd_slope * psi)
    }
}

/// Ψ(r) = √[2γ/(γ−1) (r^(2/γ) − r^((γ+1)/γ))], constant when choked, and its derivative.
fn isentropic(ratio: f64) -> (f64, f64) {
    let g = HEAT_RATIO;
    let front = 2.0 * g / (g - 1.0);
    let r = ratio.max(CRITICAL_RATIO);
    let power = math::pow(r, 1.0 / g);
    let psi = (front * (power * power - power * r)).sqrt();
    if ratio <= CRITICAL_RATIO {
        return (psi, 0.0);
    }
    let inner_slope = front * (2.0 / g * power * power / r - (g + 1.0) / g * power);
    (psi, 0.5 * inner_slope / psi)
}

/// Perry's coefficient and its derivative.
fn perry(ratio: f64) -> (f64, f64) {
    let mut value = 0.0;
    let mut slope = 0.0;
    for coefficient in PERRY.iter().rev() {
        slope = slope * ratio + value;
        value = value * ratio + coefficient;
    }
    (value, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_critical_ratio_belongs_to_air() {
        let g = HEAT_RATIO;
        let exact = math::pow(2.0 / (g + 1.0), g / (g - 1.0));
        assert!((CRITICAL_RATIO - exact).abs() < 1e-14);
        assert!((isentropic(0.0).0 - 0.6847).abs() < 5e-5);
    }

    #[test]
    fn perry_has_its_three_known_values() {
        for (ratio, cd) in [(1.0, 0.6001), (0.5283, 0.7374), (0.0, 0.8414)] {
            assert!((perry(ratio).0 - cd).abs() < 1e-4, "{ratio}");
        }
    }

    #[test]
    fn flow_never_rises_with_downstream_pressure_and_its_slope_is_the_derivative() {
        let air = Air::default();
        for discharge in [Discharge::Fixed(0.61), Discharge::Perry] {
            let hole = Orifice { area_m2: 1e-4, discharge };
            let mut last = f64::INFINITY;
            for step in 0..1020 {
                let p = 100.0 * f64::from(step);
                let flow = hole.flow(p, &air);
                assert!(flow.kg_s <= last && flow.slope <= 0.0, "{discharge:?} {p}");
                last = flow.kg_s;
                let step = 0.01;
                let numeric = (hole.flow(p + step, &air).kg_s - hole.flow(p, &air).kg_s) / step;
                let size = flow.slope.abs().max(1e-12);
                let near_kink = (p / air.ambient_pa - CRITICAL_RATIO).abs() < 1e-3
                    || (p / air.ambient_pa - CHORD_FROM).abs() < 1e-4;
                assert!(
                    near_kink || (numeric - flow.slope).abs() < 2e-3 * size,
                    "{discharge:?} {p}"
                );
            }
        }
    }

    #[test]
    fn ambient_on_both_sides_gives_no_flow() {
        let air = Air::default();
        let hole = Orifice::round(0.006, 0.61);
        assert_eq!(hole.flow(air.ambient_pa, &air).kg_s, 0.0);
        assert!(hole.flow(2.0 * air.ambient_pa, &air).kg_s < 0.0);
    }
}
