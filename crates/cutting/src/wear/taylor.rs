//! Taylor's tool life equation V·Tⁿ = C and its fit (P. N. Rao, Manufacturing Technology vol. 2,
//! 2nd ed. 2009, equation 2.64).

use crate::log_line::LogSums;
use kw_base::math;

/// Taylor's equation V·Tⁿ = C: surface speed V in m/min, life T in min.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Taylor {
    /// n, above 0.
    pub exponent: f64,
    /// C: the speed at which a tool lasts one minute, m/min, above 0.
    pub constant_m_min: f64,
}

/// Which of speed and life is taken as exact when a line is laid through points in logarithms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Regression {
    /// Least squares in ln V over ln T.
    SpeedOverLife,
    /// Least squares in ln T over ln V: speeds are set, lives scatter.
    LifeOverSpeed,
}

/// A fitted equation and how well it meets its points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TaylorFit {
    /// The equation.
    pub taylor: Taylor,
    /// Worst factor, at least 1, between a measured life and the fitted one.
    pub worst_factor: f64,
}

/// Why points give no equation.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum TaylorFitError {
    /// Fewer than two points, or all at one speed.
    #[error(
        "{points} lives do not fix the equation: at least two, at different speeds, are needed"
    )]
    TooFew {
        /// Number of points.
        points: usize,
    },
    /// A speed or life is not above 0.
    #[error("speed {speed_m_min} m/min with life {life_min} min: both must be above 0")]
    OutOfRange {
        /// The speed.
        speed_m_min: f64,
        /// The life.
        life_min: f64,
    },
    /// Life does not fall with speed.
    #[error("life does not fall as speed rises: exponent n would be {exponent}")]
    NotFalling {
        /// The exponent the points would give.
        exponent: f64,
    },
}

impl Taylor {
    /// Life, min, at a surface speed, m/min: (C/V)^(1/n); endless at standstill.
    pub fn life_min(&self, speed_m_min: f64) -> f64 {
        if speed_m_min > 0.0 {
            math::pow(self.constant_m_min / speed_m_min, 1.0 / self.exponent)
        } else {
            f64::INFINITY
        }
    }

    /// Surface speed, m/min, at which a tool lasts `life_min` (above 0): C/Tⁿ.
    pub fn speed_m_min(&self, life_min: f64) -> f64 {
        self.constant_m_min / math::pow(life_min, self.exponent)
    }

    /// Life over life when the speed is multiplied by `speed_ratio` (above 0), at any constant.
    pub fn life_ratio(exponent: f64, speed_ratio: f64) -> f64 {
        math::pow(speed_ratio, -1.0 / exponent)
    }

    /// The equation through two or more points (speed m/min, life min), by least squares in
    /// logarithms.
    pub fn fit(lives: &[(f64, f64)], regression: Regression) -> Result<TaylorFit, TaylorFitError> {
        check(lives)?;
        let too_few = TaylorFitError::TooFew { points: lives.len() };
        let sums = LogSums::of(lives).filter(|sums| sums.xx > 0.0).ok_or(too_few)?;
        let exponent = match regression {
            Regression::SpeedOverLife => -sums.xy / sums.yy,
            Regression::LifeOverSpeed => -sums.xx / sums.xy,
        };
        if !(exponent.is_finite() && exponent > 0.0) {
            return Err(TaylorFitError::NotFalling { exponent });
        }
        let constant_m_min = math::exp(sums.mean_x + exponent * sums.mean_y);
        let taylor = Self { exponent, constant_m_min };
        let worst_factor = lives
            .iter()
            .map(|&(speed, life)| math::log(life / taylor.life_min(speed)).abs())
            .fold(0.0, f64::max);
        Ok(TaylorFit { taylor, worst_factor: math::exp(worst_factor) })
    }
}

fn check(lives: &[(f64, f64)]) -> Result<(), TaylorFitError> {
    let usable = |x: f64| x.is_finite() && x > 0.0;
    match lives.iter().find(|&&(speed, life)| !usable(speed) || !usable(life)) {
        Some(&(speed_m_min, life_min)) => Err(TaylorFitError::OutOfRange { speed_m_min, life_min }),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exact_points_come_back() {
        let taylor = Taylor { exponent: 0.25, constant_m_min: 400.0 };
        let lives: Vec<_> = [80.0, 120.0, 200.0].map(|v| (v, taylor.life_min(v))).into();
        for regression in [Regression::SpeedOverLife, Regression::LifeOverSpeed] {
            let fit = Taylor::fit(&lives, regression).expect("a fit");
            assert!((fit.taylor.exponent - 0.25).abs() < 1e-12);
            assert!((fit.taylor.constant_m_min - 400.0).abs() < 1e-9);
            assert!((fit.worst_factor - 1.0).abs() < 1e-9);
        }
        assert!((taylor.speed_m_min(taylor.life_min(150.0)) - 150.0).abs() < 1e-9);
        assert_eq!(taylor.life_min(0.0), f64::INFINITY);
    }

    #[test]
    fn unusable_points_are_refused() {
        let fit = |lives: &[(f64, f64)]| Taylor::fit(lives, Regression::LifeOverSpeed);
        assert_eq!(fit(&[(100.0, 5.0)]), Err(TaylorFitError::TooFew { points: 1 }));
        assert_eq!(fit(&[(100.0, 5.0), (100.0, 6.0)]), Err(TaylorFitError::TooFew { points: 2 }));
        assert!(matches!(
            fit(&[(100.0, 5.0), (200.0, 6.0)]),
            Err(TaylorFitError::NotFalling { exponent }) if exponent < 0.0
        ));
        assert!(matches!(
            fit(&[(100.0, 5.0), (200.0, 5.0)]),
            Err(TaylorFitError::NotFalling { .. })
        ));
        assert!(matches!(fit(&[(100.0, 5.0), (0.0, 5.0)]), Err(TaylorFitError::OutOfRange { .. })));
    }
}
