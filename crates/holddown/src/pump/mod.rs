//! Vacuum pumps: mass flow against inlet pressure, with relief and check valves.
//!
//! A pump is stated as inlet volume flow S(p) (pumping speed, ISO 21360-1); its mass flow is S p/(R T)
//! and must not fall as the inlet pressure rises, or the network's solution is no longer unique.

pub mod bank;
pub mod table;

pub use bank::{deadhead_pa, total_flow};
pub use table::{PumpTable, PumpTableError};

use crate::air::Air;
use crate::flow::{Flow, Orifice};
use kw_base::math;

/// How a pump's inlet flow depends on its inlet pressure.
#[derive(Clone, Debug, PartialEq)]
pub enum PumpCurve {
    /// Vane, claw or screw: S = S0 (1 − p_u/p), the leak-back model of the vacuum textbooks.
    PositiveDisplacement {
        /// Nominal speed S0, m³/h at the inlet.
        speed_m3_h: f64,
        /// Ultimate pressure p_u, Pa absolute, above 1.
        ultimate_pa: f64,
    },
    /// Regenerative (side channel) blower: S = S0 (1 − Δp/Δp_max).
    Regenerative {
        /// Flow at ambient inlet pressure S0, m³/h.
        speed_m3_h: f64,
        /// Vacuum at which the flow ends, Pa; single stage 15–30 kPa (from memory).
        limit_vacuum_pa: f64,
    },
    /// Liquid ring pump with water: as positive displacement with the water's vapour pressure as floor.
    LiquidRing {
        /// Nominal speed S0, m³/h at the inlet.
        speed_m3_h: f64,
        /// Temperature of the seal water, K, above freezing.
        water_temperature_k: f64,
    },
    /// Measured or printed points.
    Table(PumpTable),
}

/// What sits between pump and manifold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CheckValve {
    /// Nothing flows back through the pump.
    Fitted,
    /// Air can flow back; standing still the pump is a hole of this effective area, m².
    Missing {
        /// Discharge coefficient times area of the standing pump, m².
        idle_opening_m2: f64,
    },
}

/// One pump at a manifold.
#[derive(Clone, Debug, PartialEq)]
pub struct Pump {
    /// Its curve.
    pub curve: PumpCurve,
    /// Vacuum at which the relief valve lets in air, Pa; `None` without relief valve.
    pub relief_vacuum_pa: Option<f64>,
    /// Check valve.
    pub check_valve: CheckValve,
    /// Whether it is switched on.
    pub running: bool,
}

/// The relief valve is fully open at its set vacuum and shut this share of it below: our choice, so
/// that the curve stays continuous; it errs towards less vacuum.
const RELIEF_RANGE: f64 = 0.01;
/// A shut check valve passes this share of the pump's speed: our choice, unmeasurably small, so that
/// a network without any leak still has one solution.
const CHECK_VALVE_SEEPAGE: f64 = 1e-7;

impl Pump {
    /// A running pump with check valve and without relief valve.
    pub fn new(curve: PumpCurve) -> Self {
        Self { curve, relief_vacuum_pa: None, check_valve: CheckValve::Fitted, running: true }
    }

    /// Mass flow drawn from the manifold at an inlet pressure, kg/s, and its slope, kg/(s Pa), at
    /// least 0. Negative where air flows back.
    pub fn flow(&self, inlet_pa: f64, air: &Air) -> Flow {
        if !self.running {
            return self.idle_flow(inlet_pa, air);
        }
        if let Some(flow) = self.relieved(inlet_pa, air) {
            return flow;
        }
        let flow = self.curve.flow(inlet_pa, air);
        match self.check_valve {
            CheckValve::Fitted if flow.kg_s < 0.0 => Flow {
                kg_s: flow.kg_s * CHECK_VALVE_SEEPAGE,
                slope: flow.slope * CHECK_VALVE_SEEPAGE,
            },
            _ => flow,
        }
    }

    fn idle_flow(&self, inlet_pa: f64, air: &Air) -> Flow {
        match self.check_valve {
            CheckValve::Fitted => Flow::default(),
            CheckValve::Missing { idle_opening_m2 } => {
                let inward = Orifice::effective(idle_opening_m2).flow(inlet_pa, air);
                Flow { kg_s: -inward.kg_s, slope: -inward.slope }
            }
        }
    }

    /// Flow while the relief valve feeds the pump in part or in full; `None` while it is shut.
    fn relieved(&self, inlet_pa: f64, air: &Air) -> Option<Flow> {
        let vacuum_pa = self.relief_vacuum_pa?;
        let open_at = air.ambient_pa - vacuum_pa;
        let range = vacuum_pa * RELIEF_RANGE;
        let share = (inlet_pa - open_at) / range;
        let there = self.curve.flow(open_at, air).kg_s;
        if share >= 1.0 || there <= 0.0 {
            // Not yet open, or the pump ends before its relief valve opens.
            return None;
        }
        if share <= 0.0 {
            // The valve feeds the whole pump; a trickle keeps the slope.
            let slope = there / range * CHECK_VALVE_SEEPAGE;
            return Some(Flow { kg_s: (inlet_pa - open_at) * slope, slope });
        }
        let flow = self.curve.flow(inlet_pa, air);
        Some(Flow { kg_s: flow.kg_s * share, slope: flow.slope * share + flow.kg_s / range })
    }

    /// What is wrong with the pump's figures, if anything.
    pub fn fault(&self, air: &Air) -> Option<PumpFault> {
        let bad = |what, value| Some(PumpFault { what, value });
        let outside = |value: f64, low: f64, high: f64| !(value > low && value < high);
        if let Some(vacuum_pa) = self.relief_vacuum_pa
            && outside(vacuum_pa, 0.0, MOST_RELIEF_PA)
        {
            return bad("relief vacuum in Pa must lie between 0 and 200 000", vacuum_pa);
        }
        if let CheckValve::Missing { idle_opening_m2 } = self.check_valve
            && outside(idle_opening_m2, -f64::MIN_POSITIVE, 1.0)
        {
            return bad(
                "opening of the standing pump in m² must lie between 0 and 1",
                idle_opening_m2,
            );
        }
        self.curve.fault(air)
    }
}

/// A figure of a pump that cannot be used.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("pump: {what}, not {value}")]
pub struct PumpFault {
    /// What the figure is and what it must be.
    pub what: &'static str,
    /// The figure given.
    pub value: f64,
}

impl PumpCurve {
    /// Mass flow without valves, kg/s, and its slope, kg/(s Pa). Never falls with pressure.
    pub fn flow(&self, inlet_pa: f64, air: &Air) -> Flow {
        match self {
            Self::PositiveDisplacement { speed_m3_h, ultimate_pa } => {
                displacement(*speed_m3_h, *ultimate_pa, inlet_pa, air)
            }
            Self::LiquidRing { speed_m3_h, water_temperature_k } => {
                let floor_pa = water_vapour_pressure_pa(*water_temperature_k);
                displacement(*speed_m3_h, floor_pa, inlet_pa, air)
            }
            Self::Regenerative { speed_m3_h, limit_vacuum_pa } => {
                blower(*speed_m3_h, *limit_vacuum_pa, inlet_pa, air)
            }
            Self::Table(table) => table.flow(inlet_pa, air),
        }
    }

    fn fault(&self, air: &Air) -> Option<PumpFault> {
        let bad = |what, value| Some(PumpFault { what, value });
        let outside = |value: f64, low: f64, high: f64| !(value > low && value < high);
        let (speed_m3_h, limit) = match self {
            Self::PositiveDisplacement { speed_m3_h, ultimate_pa } => (*speed_m3_h, *ultimate_pa),
            Self::Regenerative { speed_m3_h, limit_vacuum_pa } => (*speed_m3_h, *limit_vacuum_pa),
            Self::LiquidRing { speed_m3_h, water_temperature_k } => {
                if outside(*water_temperature_k, 273.0, 373.0) {
                    return bad(
                        "seal water temperature in K must lie between 273 and 373",
                        *water_temperature_k,
                    );
                }
                (*speed_m3_h, water_vapour_pressure_pa(*water_temperature_k))
            }
            Self::Table(_) => return None,
        };
        if outside(speed_m3_h, 0.0, MOST_SPEED_M3_H) {
            return bad("speed in m³/h must lie between 0 and 1 000 000", speed_m3_h);
        }
        if outside(limit, LEAST_END_PA, air.ambient_pa) {
            return bad("end pressure or limit vacuum in Pa must lie between 1 and ambient", limit);
        }
        None
    }
}

/// Largest speed taken for a pump, m³/h: a hundred times any workshop pump; catches wrong units.
const MOST_SPEED_M3_H: f64 = 1e6;

/// Least end pressure taken, Pa: far below any table's pump; the solver goes no lower.
const LEAST_END_PA: f64 = 1.0;
/// Largest relief setting taken, Pa; one above the day's ambient never opens.
const MOST_RELIEF_PA: f64 = 200_000.0;

/// m = S0 (p − p_u)/(R T).
fn displacement(speed_m3_h: f64, ultimate_pa: f64, inlet_pa: f64, air: &Air) -> Flow {
    let slope = speed_m3_h / 3600.0 / air.rt();
    Flow { kg_s: slope * (inlet_pa - ultimate_pa), slope }
}

/// m = S0 (1 − (pa − p)/Δ) p/(R T) above its limit; below it, straight on with the slope there, because
/// the formula itself would turn round.
fn blower(speed_m3_h: f64, limit_vacuum_pa: f64, inlet_pa: f64, air: &Air) -> Flow {
    let scale = speed_m3_h / 3600.0 / air.rt();
    let limit_pa = air.ambient_pa - limit_vacuum_pa;
    let above = (inlet_pa - limit_pa) / limit_vacuum_pa;
    if above <= 0.0 {
        let slope = scale * limit_pa / limit_vacuum_pa;
        return Flow { kg_s: slope * (inlet_pa - limit_pa), slope };
    }
    Flow { kg_s: scale * above * inlet_pa, slope: scale * (above + inlet_pa / limit_vacuum_pa) }
}

/// Vapour pressure of water, Pa: Magnus form 611.2 exp(17.62 t/(243.12 + t)), t in °C (WMO-No. 8,
/// annex 4.B, constants from memory); 0 to 60 °C within 1 %.
pub fn water_vapour_pressure_pa(temperature_k: f64) -> f64 {
    let celsius = temperature_k - 273.15;
    611.2 * math::exp(17.62 * celsius / (243.12 + celsius))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pumps() -> Vec<Pump> {
        let displacement =
            PumpCurve::PositiveDisplacement { speed_m3_h: 250.0, ultimate_pa: 5000.0 };
        let blower = PumpCurve::Regenerative { speed_m3_h: 500.0, limit_vacuum_pa: 28_000.0 };
        let ring = PumpCurve::LiquidRing { speed_m3_h: 100.0, water_temperature_k: 293.15 };
        let mut pumps: Vec<Pump> = [displacement, blower, ring].map(Pump::new).into();
        let mut relief = pumps[0].clone();
        relief.relief_vacuum_pa = Some(60_000.0);
        pumps.push(relief);
        let open = CheckValve::Missing { idle_opening_m2: 1e-3 };
        let mut more: Vec<Pump> =
            pumps.iter().map(|p| Pump { check_valve: open, ..p.clone() }).collect();
        more.push(Pump { check_valve: open, running: false, ..pumps[0].clone() });
        pumps.extend(more);
        pumps
    }

    #[test]
    fn mass_flow_never_falls_with_inlet_pressure() {
        let air = Air::default();
        for pump in pumps() {
            let mut last = f64::NEG_INFINITY;
            for step in 1..=2100 {
                let flow = pump.flow(f64::from(step) * 50.0, &air);
                assert!(flow.kg_s >= last && flow.slope >= 0.0, "{pump:?} at {step}");
                last = flow.kg_s;
            }
        }
    }

    #[test]
    fn a_relief_valve_caps_the_vacuum() {
        let pump = &pumps()[3];
        let air = Air::default();
        assert!(pump.flow(41_000.0, &air).kg_s < 1e-9);
        assert!(pump.flow(air.ambient_pa - 59_000.0, &air).kg_s > 0.025);
    }

    #[test]
    fn water_boils_at_2340_pa_at_20_degrees() {
        // Facts 1.8: 2.34 kPa at 20 °C.
        assert!((water_vapour_pressure_pa(293.15) / 2340.0 - 1.0).abs() < 5e-3);
    }

    #[test]
    fn bad_figures_are_named() {
        let air = Air::default();
        let good = &pumps()[0];
        assert_eq!(good.fault(&air), None);
        let curve = PumpCurve::PositiveDisplacement { speed_m3_h: 0.0, ultimate_pa: 5000.0 };
        let fault = Pump::new(curve).fault(&air).unwrap();
        assert!(fault.to_string().contains("speed in m³/h"), "{fault}");
        let relief = Pump { relief_vacuum_pa: Some(-2e4), ..good.clone() };
        assert!(relief.fault(&air).unwrap().to_string().contains("relief"));
        let nan = PumpCurve::Regenerative { speed_m3_h: 100.0, limit_vacuum_pa: f64::NAN };
        assert!(Pump::new(nan).fault(&air).is_some());
    }
}
