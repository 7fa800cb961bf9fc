//! What a spindle can give at each speed.

use super::torque_nm;
use kw_base::{
    Band,
    math::{self, PI},
};

/// Shaft power and torque a spindle can give without limit of time, against its speed.
#[derive(Clone, Debug, PartialEq)]
pub struct SpindleCurve {
    /// (speed 1/min, power W), speed strictly rising; may be empty if there is torque.
    power: Vec<(f64, f64)>,
    /// (speed 1/min, torque N·m), speed strictly rising; may be empty if there is power.
    torque: Vec<(f64, f64)>,
}

/// Why points make no curve.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum CurveError {
    /// Neither power nor torque has a point.
    #[error("the spindle curve has no points")]
    Empty,
    /// A value is negative or no number, or a speed is 0.
    #[error(
        "point {index} of the spindle curve is {speed_rpm} 1/min with {value}: both must be finite, the speed above 0, the value at least 0"
    )]
    OutOfRange {
        /// Which point, from 0.
        index: usize,
        /// Its speed, 1/min.
        speed_rpm: f64,
        /// Its power or torque.
        value: f64,
    },
    /// Speeds do not rise.
    #[error(
        "point {index} of the spindle curve is at {speed_rpm} 1/min, not above the point before it"
    )]
    NotRising {
        /// Which point, from 0.
        index: usize,
        /// Its speed, 1/min.
        speed_rpm: f64,
    },
}

/// How much of what a spindle can give a cut takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpindleUse {
    /// Power taken over power available.
    pub power_share: Option<Band>,
    /// Torque taken over torque available.
    pub torque_share: Option<Band>,
}

impl SpindleCurve {
    /// A curve of power points `[speed 1/min, power W]` and torque points `[speed 1/min, torque
    /// N·m]`; either may be empty, then only the other limits.
    pub fn new(power: &[[f64; 2]], torque: &[[f64; 2]]) -> Result<Self, CurveError> {
        if power.is_empty() && torque.is_empty() {
            return Err(CurveError::Empty);
        }
        Ok(Self { power: checked(power)?, torque: checked(torque)? })
    }

    /// The same spindle with everything it gives multiplied, e.g. by an efficiency.
    pub fn scaled(&self, factor: f64) -> Self {
        let scale = |points: &[(f64, f64)]| points.iter().map(|&(n, v)| (n, v * factor)).collect();
        Self { power: scale(&self.power), torque: scale(&self.torque) }
    }

    /// Power available at a speed, W, straight between points; `None` without power points.
    ///
    /// Below the first point torque stays what it is there, so power falls to 0 at standstill;
    /// above the last point it is held.
    pub fn power_w(&self, speed_rpm: f64) -> Option<f64> {
        let &(first_rpm, first_w) = self.power.first()?;
        if speed_rpm < first_rpm {
            return Some(first_w * speed_rpm.max(0.0) / first_rpm);
        }
        math::interpolate(&self.power, speed_rpm)
    }

    /// Torque available at a speed, N·m, straight between points, held beyond both ends; `None`
    /// without torque points.
    pub fn torque_nm(&self, speed_rpm: f64) -> Option<f64> {
        math::interpolate(&self.torque, speed_rpm)
    }

    /// The least power of both limits at a speed, W.
    pub fn available_w(&self, speed_rpm: f64) -> f64 {
        let by_torque = self.torque_nm(speed_rpm).map(|m| m * 2.0 * PI * speed_rpm.max(0.0) / 60.0);
        let by_power = self.power_w(speed_rpm);
        by_power.unwrap_or(f64::INFINITY).min(by_torque.unwrap_or(f64::INFINITY))
    }

    /// Shares that a cut of `power_w` at a speed takes; above 1 the spindle stalls or trips. `None`
    /// in a field means: no such limit, or nothing available at all (standstill).
    pub fn used(&self, power_w: Band, speed_rpm: f64) -> SpindleUse {
        let share = |taken: Option<Band>, available: Option<f64>| {
            taken.zip(available).and_then(|(taken, has)| taken.divided_by(Band::exact(has)))
        };
        SpindleUse {
            power_share: share(Some(power_w), self.power_w(speed_rpm)),
            torque_share: share(torque_nm(power_w, speed_rpm), self.torque_nm(speed_rpm)),
        }
    }
}

fn checked(points: &[[f64; 2]]) -> Result<Vec<(f64, f64)>, CurveError> {
    let mut before_rpm = 0.0;
    let mut kept = Vec::with_capacity(points.len());
    for (index, &[speed_rpm, value]) in points.iter().enumerate() {
        let in_range =
            speed_rpm.is_finite() && value.is_finite() && speed_rpm > 0.0 && value >= 0.0;
        if !in_range {
            return Err(CurveError::OutOfRange { index, speed_rpm, value });
        }
        if speed_rpm <= before_rpm {
            return Err(CurveError::NotRising { index, speed_rpm });
        }
        before_rpm = speed_rpm;
        kept.push((speed_rpm, value));
    }
    Ok(kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    const POWER: [[f64; 2]; 3] = [[6_000.0, 3_000.0], [12_000.0, 6_000.0], [24_000.0, 6_000.0]];

    #[test]
    fn power_runs_straight_and_falls_to_nothing_at_standstill() {
        let curve = SpindleCurve::new(&POWER, &[]).expect("points");
        assert_eq!(curve.power_w(9_000.0), Some(4_500.0));
        assert_eq!(curve.power_w(3_000.0), Some(1_500.0));
        assert_eq!(curve.power_w(-3_000.0), Some(0.0));
        assert_eq!(curve.power_w(30_000.0), Some(6_000.0));
        assert_eq!(curve.torque_nm(9_000.0), None);
    }

    #[test]
    fn the_lower_of_both_limits_counts() {
        let curve = SpindleCurve::new(&POWER, &[[1_000.0, 2.0]]).expect("points");
        assert!((curve.available_w(12_000.0) - 2.0 * 2.0 * PI * 200.0).abs() < 1e-9);
        assert_eq!(curve.available_w(0.0), 0.0);
        let used = curve.used(Band::exact(3_000.0), 12_000.0);
        assert_eq!(used.power_share, Some(Band::exact(0.5)));
        assert!(used.torque_share.expect("torque points").likely > 1.0);
        let standing = curve.used(Band::exact(3_000.0), 0.0);
        assert_eq!((standing.power_share, standing.torque_share), (None, None));
    }

    #[test]
    fn scaling_scales_all() {
        let curve = SpindleCurve::new(&POWER, &[[1_000.0, 2.0]]).expect("points").scaled(0.5);
        assert_eq!((curve.power_w(24_000.0), curve.torque_nm(5.0)), (Some(3_000.0), Some(1.0)));
    }

    #[test]
    fn broken_points_are_named() {
        assert_eq!(SpindleCurve::new(&[], &[]), Err(CurveError::Empty));
        let error = SpindleCurve::new(&[[1.0, 1.0], [1.0, 2.0]], &[]).expect_err("not rising");
        assert_eq!(error, CurveError::NotRising { index: 1, speed_rpm: 1.0 });
        let error = SpindleCurve::new(&[[1.0, f64::NAN]], &[]).expect_err("no number");
        assert!(matches!(error, CurveError::OutOfRange { index: 0, .. }));
        assert!(SpindleCurve::new(&[[0.0, 5.0]], &[]).is_err());
    }
}
