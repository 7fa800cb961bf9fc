//! Definitions that tie spindle speed, surface speed and feed together.

use kw_base::math::PI;

/// Speed of the outermost edge, m/s, of a cutter of `diameter_mm` turning at `speed_rpm`.
///
/// vc = π·D·n/60000.
pub fn surface_speed_m_s(diameter_mm: f64, speed_rpm: f64) -> f64 {
    PI * diameter_mm * speed_rpm / 60_000.0
}

/// Spindle speed, 1/min, that gives the outermost edge `surface_speed_m_s`; `None` unless the
/// diameter is above 0.
pub fn spindle_speed_rpm(diameter_mm: f64, surface_speed_m_s: f64) -> Option<f64> {
    (diameter_mm > 0.0).then(|| 60_000.0 * surface_speed_m_s / (PI * diameter_mm))
}

/// Feed per tooth, mm, before chip thinning; `None` if the spindle stands still or there is no
/// flute.
///
/// fz = vf/(n·z), a definition.
pub fn feed_per_tooth_mm(feed_mm_min: f64, speed_rpm: f64, flutes: u32) -> Option<f64> {
    (speed_rpm > 0.0 && flutes > 0).then(|| feed_mm_min / (speed_rpm * f64::from(flutes)))
}

/// Feed, mm/min, that gives `feed_per_tooth_mm`.
pub fn feed_mm_min(feed_per_tooth_mm: f64, speed_rpm: f64, flutes: u32) -> f64 {
    feed_per_tooth_mm * speed_rpm * f64::from(flutes)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_is_divided_by_nought() {
        assert_eq!(spindle_speed_rpm(0.0, 10.0), None);
        assert_eq!(feed_per_tooth_mm(1000.0, 0.0, 2), None);
        assert_eq!(feed_per_tooth_mm(1000.0, 18_000.0, 0), None);
    }

    #[test]
    fn feeds_turn_back_into_themselves() {
        let fz = feed_per_tooth_mm(9_600.0, 24_000.0, 3).expect("turning");
        assert!((feed_mm_min(fz, 24_000.0, 3) - 9_600.0).abs() < 1e-9);
    }
}
