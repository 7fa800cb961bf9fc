//! How fast pressures settle: short beside a program's moves, so the network is solved as steady.

use crate::air::Air;
use kw_base::math;

/// Time to pump a tight volume from one pressure to a lower one, s: (V/S) ln[(p0 − p_u)/(p − p_u)] for a
/// positive displacement pump of speed S (m³/h) and ultimate pressure p_u.
///
/// 0 if the pressure is not lower, infinite at or below the ultimate pressure. Vacuum textbooks.
pub fn pump_down_s(volume_m3: f64, pump: (f64, f64), from_pa: f64, to_pa: f64) -> f64 {
    let (speed_m3_h, ultimate_pa) = pump;
    if to_pa >= from_pa {
        return 0.0;
    }
    if to_pa <= ultimate_pa || speed_m3_h <= 0.0 {
        return f64::INFINITY;
    }
    volume_m3 * 3600.0 / speed_m3_h * math::log((from_pa - ultimate_pa) / (to_pa - ultimate_pa))
}

/// A volume that fills through porous board after the pump has stopped behind its check valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Filling {
    /// Volume of zones and pipes, m³, above 0.
    pub volume_m3: f64,
    /// Leak conductance, kg/(s Pa²); see [`crate::board::openings::Openings::conductance`].
    pub leak_kg_s_pa2: f64,
    /// Pressure when the pump stops, Pa.
    pub start_pa: f64,
}

impl Filling {
    /// Pressure after a time, Pa: pa tanh[atanh(p0/pa) + G R T pa t/V].
    pub fn pressure_pa(&self, time_s: f64, air: &Air) -> f64 {
        let pa = air.ambient_pa;
        let ratio = self.start_pa / pa;
        if ratio >= 1.0 {
            return pa;
        }
        pa * math::tanh(math::atanh(ratio) + self.rate_per_s(air) * time_s.max(0.0))
    }

    /// Time until a pressure is reached, s; infinite for ambient and above, or without leak.
    pub fn time_to_s(&self, pressure_pa: f64, air: &Air) -> f64 {
        let pa = air.ambient_pa;
        if pressure_pa <= self.start_pa {
            return 0.0;
        }
        if pressure_pa >= pa || self.leak_kg_s_pa2 <= 0.0 {
            return f64::INFINITY;
        }
        (math::atanh(pressure_pa / pa) - math::atanh(self.start_pa / pa)) / self.rate_per_s(air)
    }

    fn rate_per_s(&self, air: &Air) -> f64 {
        self.leak_kg_s_pa2 * air.rt() * air.ambient_pa / self.volume_m3
    }
}
