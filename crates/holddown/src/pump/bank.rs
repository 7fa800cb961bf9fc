//! Several pumps at one manifold.

use super::Pump;
use crate::air::Air;
use crate::flow::Flow;

/// Sum of what the pumps draw at one inlet pressure, kg/s, slope in kg/(s Pa).
pub fn total_flow(pumps: &[Pump], inlet_pa: f64, air: &Air) -> Flow {
    pumps.iter().map(|pump| pump.flow(inlet_pa, air)).fold(Flow::default(), |sum, flow| Flow {
        kg_s: sum.kg_s + flow.kg_s,
        slope: sum.slope + flow.slope,
    })
}

/// Pressure at which the pumps together draw nothing, Pa: what they reach with everything shut.
///
/// Ambient if none runs. Bisection to 1e-9 of ambient.
pub fn deadhead_pa(pumps: &[Pump], air: &Air) -> f64 {
    let (mut low, mut high) = (0.0, air.ambient_pa);
    if total_flow(pumps, high, air).kg_s <= 0.0 {
        return high;
    }
    while high - low > 1e-9 * air.ambient_pa {
        let middle = 0.5 * (low + high);
        if total_flow(pumps, middle, air).kg_s > 0.0 {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}

#[cfg(test)]
mod tests {
    use super::super::{CheckValve, PumpCurve};
    use super::*;

    fn displacement(speed_m3_h: f64, ultimate_pa: f64) -> Pump {
        Pump::new(PumpCurve::PositiveDisplacement { speed_m3_h, ultimate_pa })
    }

    #[test]
    fn without_check_valves_parallel_pumps_act_as_one() {
        // Facts 1.8: S = ΣS_i, p_u = ΣS_i p_ui/ΣS_i.
        let open = CheckValve::Missing { idle_opening_m2: 0.0 };
        let pumps = [displacement(150.0, 2000.0), displacement(250.0, 15_000.0)]
            .map(|pump| Pump { check_valve: open, ..pump });
        assert!((deadhead_pa(&pumps, &Air::default()) - 10_125.0).abs() < 1e-3);
    }

    #[test]
    fn with_check_valves_the_better_pump_reaches_its_own_end() {
        let pumps = [displacement(150.0, 2000.0), displacement(250.0, 15_000.0)];
        assert!((deadhead_pa(&pumps, &Air::default()) - 2000.0).abs() < 0.1);
    }

    #[test]
    fn standing_pumps_leave_ambient() {
        let pump = Pump { running: false, ..displacement(100.0, 1000.0) };
        let air = Air::default();
        assert_eq!(deadhead_pa(&[pump], &air), air.ambient_pa);
        assert_eq!(deadhead_pa(&[], &air), air.ambient_pa);
    }
}
