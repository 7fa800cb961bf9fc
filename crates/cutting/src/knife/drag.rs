//! A blade that trails behind its pivot: what path the pivot takes, and the error if it does not.

use kw_base::math::{self, PI};

/// A knife whose tip trails freely behind its pivot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TrailingKnife {
    /// Distance e of the tip behind the pivot, mm, at least 0.
    pub offset_mm: f64,
}

impl TrailingKnife {
    /// Length, mm, of the arc about the corner on which the pivot swings the blade through
    /// `turn_rad`: e·θ. Before it the pivot runs past the corner by e on the old heading.
    pub fn swing_length_mm(&self, turn_rad: f64) -> f64 {
        self.offset_mm * turn_rad.abs()
    }

    /// Radius, mm, on which the pivot must run for the tip to follow an arc of `tip_radius_mm`:
    /// √(r² + e²).
    pub fn pivot_radius_mm(&self, tip_radius_mm: f64) -> f64 {
        math::hypot(tip_radius_mm, self.offset_mm)
    }

    /// Radius, mm, on which the tip settles if the pivot runs on `pivot_radius_mm` without
    /// compensation: √(r² − e²); `None` if the blade is longer than the radius and turns on the
    /// spot. Too small by about e²/(2·r).
    pub fn uncompensated_radius_mm(&self, pivot_radius_mm: f64) -> Option<f64> {
        let square = (pivot_radius_mm - self.offset_mm) * (pivot_radius_mm + self.offset_mm);
        (square >= 0.0).then(|| square.sqrt())
    }

    /// Angle, rad, by which the blade still lags after `distance_mm` on the new heading past an
    /// uncompensated corner of `turn_rad` (within ±π): tan(ψ/2) = tan(θ/2)·exp(−s/e).
    pub fn lag_rad(&self, turn_rad: f64, distance_mm: f64) -> f64 {
        if self.offset_mm <= 0.0 {
            return 0.0;
        }
        let turn_rad = turn_rad.clamp(-PI, PI);
        let faded = math::exp(-distance_mm.max(0.0) / self.offset_mm);
        2.0 * math::atan(math::tan(turn_rad / 2.0) * faded)
    }

    /// Distance of the tip from the wanted line, mm, `distance_mm` past an uncompensated corner:
    /// e·sin ψ.
    pub fn lateral_error_mm(&self, turn_rad: f64, distance_mm: f64) -> f64 {
        (self.offset_mm * math::sin(self.lag_rad(turn_rad, distance_mm))).abs()
    }

    /// Distance past an uncompensated corner of `turn_rad` (within ±π) from which on the tip stays
    /// within `error_mm` of the line, mm; `None` if it never does, as after turning straight back
    /// or for an error of 0.
    pub fn settling_distance_mm(&self, turn_rad: f64, error_mm: f64) -> Option<f64> {
        if self.offset_mm <= 0.0 || turn_rad == 0.0 {
            return Some(0.0);
        }
        if error_mm.is_nan() || error_mm <= 0.0 || turn_rad.abs() >= PI {
            return None;
        }
        if error_mm >= self.offset_mm {
            return Some(0.0);
        }
        let allowed_rad = math::asin(error_mm / self.offset_mm);
        let ratio = math::tan(turn_rad.abs() / 2.0) / math::tan(allowed_rad / 2.0);
        Some(self.offset_mm * math::log(ratio).max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const KNIFE: TrailingKnife = TrailingKnife { offset_mm: 0.25 };

    #[test]
    fn the_lag_agrees_with_pulling_the_blade_in_small_steps() {
        for turn_deg in [20.0, 90.0, 150.0_f64] {
            let turn = turn_deg.to_radians();
            // pivot starts on the corner, tip behind it on the old heading
            let mut tip = (-0.25 * math::cos(turn), 0.25 * math::sin(turn));
            let steps = 20_000;
            for i in 1..=steps {
                let pivot_x = 0.6 * f64::from(i) / f64::from(steps);
                let (dx, dy) = (tip.0 - pivot_x, tip.1);
                let length = math::hypot(dx, dy);
                tip = (pivot_x + dx / length * 0.25, dy / length * 0.25);
            }
            let got = KNIFE.lateral_error_mm(turn, 0.6);
            assert!((got - tip.1.abs()).abs() < 1e-4, "{turn_deg}: {got} {}", tip.1);
        }
    }

    #[test]
    fn beyond_the_settling_distance_the_error_is_small() {
        for turn in [0.3, 1.0, 2.0, 3.0, -2.0] {
            let far = KNIFE.settling_distance_mm(turn, 0.02).expect("settles");
            assert!((KNIFE.lateral_error_mm(turn, far) - 0.02).abs() < 1e-12, "{turn}");
            assert!(KNIFE.lateral_error_mm(turn, far + 0.1) < 0.02);
        }
        assert_eq!(KNIFE.settling_distance_mm(0.01, 0.02), Some(0.0));
        assert_eq!(KNIFE.settling_distance_mm(PI, 0.02), None);
        assert_eq!(KNIFE.settling_distance_mm(1.0, 0.0), None);
        assert_eq!(KNIFE.settling_distance_mm(1.0, 0.3), Some(0.0));
    }

    #[test]
    fn a_blade_without_offset_follows_at_once() {
        let sharp = TrailingKnife { offset_mm: 0.0 };
        assert_eq!(sharp.lag_rad(1.0, 0.0), 0.0);
        assert_eq!(sharp.settling_distance_mm(PI, 0.0), Some(0.0));
        assert_eq!(KNIFE.uncompensated_radius_mm(0.2), None);
        assert_eq!(KNIFE.uncompensated_radius_mm(0.25), Some(0.0));
    }
}
