//! A blade turned to its heading by a rotary axis.

use kw_base::{Band, math};

/// How stock takes a blade that turns while it is down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LiftRule {
    /// Thin film: gives way.
    ThinFilm,
    /// Most sheets.
    Usual,
    /// Thick or brittle sheets.
    ThickOrBrittle,
}

/// Rate, rad/s, at which the heading turns on a curve: v/R; `None` unless the radius is above 0.
pub fn heading_rate_rad_s(speed_mm_s: f64, radius_mm: f64) -> Option<f64> {
    (radius_mm > 0.0).then(|| speed_mm_s / radius_mm)
}

/// Highest speed, mm/s, on a curve that an axis turning at up to `max_rate_rad_s` can follow: ω·R.
pub fn speed_limit_mm_s(max_rate_rad_s: f64, radius_mm: f64) -> f64 {
    max_rate_rad_s * radius_mm
}

/// Change of heading from chord to chord, rad, of a curve cut into chords within `tolerance_mm`:
/// 2·arccos(1 − δ/R). `None` unless the radius is above 0; the tolerance is held to 0…R.
///
/// A coarse arc can exceed the angle at which the blade must lift by itself.
pub fn chord_step_rad(radius_mm: f64, tolerance_mm: f64) -> Option<f64> {
    // 4·arcsin √(δ/2R) is the same and keeps its digits
    (radius_mm > 0.0).then(|| {
        let share = (tolerance_mm / radius_mm).clamp(0.0, 1.0);
        4.0 * math::asin((share / 2.0).sqrt())
    })
}

/// Step of heading, rad, above which the blade should lift, turn and plunge anew: below the band
/// turn in place, above it lift. Common practice, no source: 10° to 20°, thick or brittle stock
/// 5°, thin film up to 30°.
pub fn lift_above_rad(rule: LiftRule) -> Band {
    let degrees = match rule {
        LiftRule::ThinFilm => Band { low: 10.0, likely: 20.0, high: 30.0 },
        LiftRule::Usual => Band { low: 10.0, likely: 15.0, high: 20.0 },
        LiftRule::ThickOrBrittle => Band::exact(5.0),
    };
    degrees.map_rising(f64::to_radians)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chords_of_the_table() {
        for (radius_mm, tolerance_mm, degrees) in
            [(10.0, 0.01, 5.13), (5.0, 0.02, 10.25), (50.0, 0.01, 2.29)]
        {
            let got = chord_step_rad(radius_mm, tolerance_mm).expect("a radius").to_degrees();
            assert!((got - degrees).abs() < 5e-3, "{radius_mm} {tolerance_mm}: {got}");
        }
        assert_eq!(chord_step_rad(0.0, 0.01), None);
        assert_eq!(chord_step_rad(5.0, -1.0), Some(0.0));
        assert!((chord_step_rad(5.0, 50.0).expect("a radius") - math::PI).abs() < 1e-12);
    }

    #[test]
    fn rate_and_limit_are_inverse() {
        let limit = speed_limit_mm_s(12.0, 3.5);
        assert_eq!(heading_rate_rad_s(limit, 3.5), Some(12.0));
        assert_eq!(heading_rate_rad_s(limit, 0.0), None);
    }

    #[test]
    fn brittle_stock_lifts_first() {
        let brittle = lift_above_rad(LiftRule::ThickOrBrittle).high;
        assert!(brittle < lift_above_rad(LiftRule::Usual).low);
        assert!(lift_above_rad(LiftRule::Usual).high < lift_above_rad(LiftRule::ThinFilm).high);
    }
}
