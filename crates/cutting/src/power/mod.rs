//! Power and torque of a cut, and what a spindle can give at a speed.

mod curve;

pub use curve::{CurveError, SpindleCurve, SpindleUse};

use kw_base::{Band, math::PI};

/// Share of electric power that reaches the tool where the machine does not say: 0.75 to 0.9,
/// usually 0.8. Common practice, no source.
pub const DRIVE_EFFICIENCY: Band = Band { low: 0.75, likely: 0.8, high: 0.9 };

/// Material removed per time, mm³/min: ap·ae·vf.
pub fn removal_rate_mm3_min(axial_mm: f64, radial_mm: f64, feed_mm_min: f64) -> f64 {
    axial_mm * radial_mm * feed_mm_min
}

/// Cutting power, W: kc(hm)·Q/60000.
pub fn cutting_power_w(specific_n_mm2: Band, removal_mm3_min: f64) -> Band {
    specific_n_mm2 * (removal_mm3_min / 60_000.0)
}

/// Mean tangential force, N, from power and surface speed: Pc/vc; `None` unless the speed is above
/// 0.
pub fn mean_tangential_n(power_w: Band, surface_speed_m_s: f64) -> Option<Band> {
    (surface_speed_m_s > 0.0).then(|| power_w * surface_speed_m_s.recip())
}

/// Torque, N·m, that carries a power at a speed: P·60/(2π·n); `None` unless the speed is above 0.
pub fn torque_nm(power_w: Band, speed_rpm: f64) -> Option<Band> {
    (speed_rpm > 0.0).then(|| power_w * (60.0 / (2.0 * PI * speed_rpm)))
}

/// Electric power drawn, W: Pc/η + idle power; `None` unless the efficiency is above 0.
pub fn drive_power_w(cutting_w: Band, efficiency: Band, idle_w: f64) -> Option<Band> {
    (efficiency.low > 0.0)
        .then(|| cutting_w.divided_by(efficiency))
        .flatten()
        .map(|drawn| drawn + Band::exact(idle_w))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn standing_still_has_no_quotient() {
        assert_eq!(mean_tangential_n(Band::exact(100.0), 0.0), None);
        assert_eq!(torque_nm(Band::exact(100.0), 0.0), None);
        assert_eq!(drive_power_w(Band::exact(100.0), Band::ZERO, 0.0), None);
    }

    #[test]
    fn a_poor_drive_draws_more() {
        let drawn = drive_power_w(Band::exact(900.0), DRIVE_EFFICIENCY, 50.0).expect("above 0");
        assert!((drawn.high - 1250.0).abs() < 1e-9);
        assert!((drawn.low - 1050.0).abs() < 1e-9);
    }
}
