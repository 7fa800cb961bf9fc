//! Maximum likelihood for right-censored Weibull lives.
//!
//! The shape is the root of the profile likelihood's slope, which rises from −∞ and crosses 0 once;
//! the scale follows in closed form. Standard errors come from the observed information in the
//! logarithms of both, whose intervals keep to positive values. (Meeker & Escobar, Statistical
//! Methods for Reliability Data, 1998, chapter 8; from memory, derived anew.)

use super::Weibull;
use crate::numeric::rising_root;
use kw_base::math;

/// Shapes between which the fit is sought. Above, the lives are all but equal.
const SHAPES: (f64, f64) = (1e-4, 1e4);

/// Quantile of the normal distribution for 95 % intervals.
const NORMAL_95: f64 = 1.959_963_984_540_054;

/// How an observed life ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LifeEnd {
    /// Worn out: the life is known.
    WornOut,
    /// Taken out, or still in use, while it cut well: it would have lasted longer (right
    /// censored). Broken tools count as this where breakage is not wear.
    TakenOut,
}

/// One observed life, or several equal ones.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Observation {
    /// Time in work, above 0.
    pub time: f64,
    /// How it ended.
    pub end: LifeEnd,
    /// How many such.
    pub count: u32,
}

/// A fitted distribution with its uncertainty.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeibullFit {
    /// Most likely shape and scale.
    pub lives: Weibull,
    /// Lives that ended worn out.
    pub worn_out: u64,
    /// Lives cut short.
    pub taken_out: u64,
    /// Longest time observed.
    pub longest: f64,
    /// Logarithm of the likelihood.
    pub log_likelihood: f64,
    /// Logarithm of the likelihood with the shape held at 1 (failures by chance).
    pub log_likelihood_chance: f64,
    /// Standard error of ln β.
    pub shape_error_ln: f64,
    /// Standard error of ln η.
    pub scale_error_ln: f64,
}

/// Why observations give no fit.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum FitError {
    /// A time is no positive number.
    #[error("life {index} is {time}: times must be finite and above 0")]
    OutOfRange {
        /// Which observation, from 0.
        index: usize,
        /// Its time.
        time: f64,
    },
    /// Fewer than two lives ended worn out.
    #[error("{worn_out} of the lives ended worn out: at least 2 are needed")]
    TooFew {
        /// How many.
        worn_out: u64,
    },
    /// Worn-out lives do not differ among each other nor from the longest time.
    #[error("all worn-out lives are {time}: without scatter there is no shape to fit")]
    NoScatter {
        /// The common time.
        time: f64,
    },
}

impl WeibullFit {
    /// Standard error of the shape: β times that of its logarithm.
    pub fn shape_error(&self) -> f64 {
        self.lives.shape() * self.shape_error_ln
    }

    /// Standard error of the scale.
    pub fn scale_error(&self) -> f64 {
        self.lives.scale() * self.scale_error_ln
    }

    /// 95 % interval of the shape.
    pub fn shape_95(&self) -> (f64, f64) {
        interval(self.lives.shape(), self.shape_error_ln)
    }

    /// 95 % interval of the scale.
    pub fn scale_95(&self) -> (f64, f64) {
        interval(self.lives.scale(), self.scale_error_ln)
    }

    /// Probability of a likelihood ratio at least as large as found if failures came by chance
    /// (shape 1), by the χ² distribution with one degree of freedom: small values speak for wear or
    /// early failures.
    pub fn chance_probability(&self) -> f64 {
        let ratio = 2.0 * (self.log_likelihood - self.log_likelihood_chance);
        math::erfc((ratio.max(0.0) / 2.0).sqrt())
    }
}

/// Fits shape and scale to observed lives. Order does not matter beyond rounding.
pub fn fit_weibull(observations: &[Observation]) -> Result<WeibullFit, FitError> {
    let sums = Sums::of(observations)?;
    let shape = sums.shape()?;
    let weight = sums.weighted(shape, |_| 1.0);
    let scale_log = sums.longest_log + math::log(weight / sums.worn_out) / shape;
    let lives = Weibull::new(shape, math::exp(scale_log))
        .ok_or(FitError::NoScatter { time: sums.longest })?;
    let (shape_error_ln, scale_error_ln) = sums.errors(shape, scale_log);
    Ok(WeibullFit {
        lives,
        worn_out: sums.worn_out as u64,
        taken_out: sums.taken_out as u64,
        longest: sums.longest,
        log_likelihood: sums.log_likelihood(shape, scale_log),
        log_likelihood_chance: {
            let total = sums.weighted(1.0, |_| 1.0);
            sums.log_likelihood(1.0, sums.longest_log + math::log(total / sums.worn_out))
        },
        shape_error_ln,
        scale_error_ln,
    })
}

fn interval(value: f64, error_ln: f64) -> (f64, f64) {
    let factor = math::exp(NORMAL_95 * error_ln);
    (value / factor, value * factor)
}

/// Lives in logarithms below the longest, so that no power overflows.
struct Sums {
    /// (ln(t/longest), count) of every life.
    logs: Vec<(f64, f64)>,
    /// Mean of ln(t/longest) over worn-out lives.
    worn_mean_log: f64,
    worn_out: f64,
    taken_out: f64,
    longest: f64,
    longest_log: f64,
}

impl Sums {
    fn of(observations: &[Observation]) -> Result<Self, FitError> {
        let bad = observations.iter().position(|o| !(o.time.is_finite() && o.time > 0.0));
        if let Some(index) = bad {
            return Err(FitError::OutOfRange { index, time: observations[index].time });
        }
        let counted = || observations.iter().filter(|o| o.count > 0);
        let number = |end: LifeEnd| {
            counted().filter(|o| o.end == end).map(|o| u64::from(o.count)).sum::<u64>()
        };
        let worn_out = number(LifeEnd::WornOut);
        if worn_out < 2 {
            return Err(FitError::TooFew { worn_out });
        }
        let longest = counted().map(|o| o.time).fold(0.0, f64::max);
        let below = |o: &Observation| (math::log(o.time / longest), f64::from(o.count));
        let worn_sum: f64 = counted()
            .filter(|o| o.end == LifeEnd::WornOut)
            .map(below)
            .map(|(log, count)| log * count)
            .sum();
        Ok(Self {
            logs: counted().map(below).collect(),
            worn_mean_log: worn_sum / worn_out as f64,
            worn_out: worn_out as f64,
            taken_out: number(LifeEnd::TakenOut) as f64,
            longest,
            longest_log: math::log(longest),
        })
    }

    /// Σ count·(t/longest)^β·f(ln(t/longest)).
    fn weighted(&self, shape: f64, f: impl Fn(f64) -> f64) -> f64 {
        self.logs.iter().map(|&(log, count)| count * math::exp(shape * log) * f(log)).sum()
    }

    fn shape(&self) -> Result<f64, FitError> {
        let slope = |shape: f64| {
            self.weighted(shape, |log| log) / self.weighted(shape, |_| 1.0)
                - shape.recip()
                - self.worn_mean_log
        };
        let (low, high) = SHAPES;
        if slope(high) < 0.0 {
            return Err(FitError::NoScatter { time: self.longest });
        }
        Ok(rising_root(slope, low, high))
    }

    fn log_likelihood(&self, shape: f64, scale_log: f64) -> f64 {
        let worn_log = self.worn_mean_log + self.longest_log;
        let exposure =
            self.weighted(shape, |_| 1.0) * math::exp(shape * (self.longest_log - scale_log));
        self.worn_out * (math::log(shape) - shape * scale_log + (shape - 1.0) * worn_log) - exposure
    }

    /// Standard errors of ln β and ln η from the inverse of the observed information.
    fn errors(&self, shape: f64, scale_log: f64) -> (f64, f64) {
        // z = β·(ln t − ln η) of each life; at the optimum Σ exp z is the number worn out
        let shift = self.longest_log - scale_log;
        let factor = math::exp(shape * shift);
        let z = |log: f64| shape * (log + shift);
        let worn_z = self.worn_out * z(self.worn_mean_log);
        let by_shape = factor * self.weighted(shape, |log| z(log) * (z(log) + 1.0)) - worn_z;
        let mixed = shape * (self.worn_out - factor * self.weighted(shape, |log| z(log) + 1.0));
        let by_scale = shape * shape * self.worn_out;
        let determinant = by_shape * by_scale - mixed * mixed;
        ((by_scale / determinant).sqrt(), (by_shape / determinant).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn worn(times: &[f64]) -> Vec<Observation> {
        times.iter().map(|&time| Observation { time, end: LifeEnd::WornOut, count: 1 }).collect()
    }

    #[test]
    fn the_slope_is_nought_and_neighbours_are_less_likely() {
        let mut lives = worn(&[52.0, 71.0, 88.0, 95.0, 120.0]);
        lives.push(Observation { time: 60.0, end: LifeEnd::TakenOut, count: 3 });
        let fit = fit_weibull(&lives).expect("a fit");
        let sums = Sums::of(&lives).expect("sums");
        let (shape, scale_log) = (fit.lives.shape(), math::log(fit.lives.scale()));
        for (ds, dl) in [(0.01, 0.0), (-0.01, 0.0), (0.0, 0.001), (0.0, -0.001)] {
            assert!(sums.log_likelihood(shape + ds, scale_log + dl) < fit.log_likelihood);
        }
        assert_eq!((fit.worn_out, fit.taken_out, fit.longest), (5, 3, 120.0));
    }

    #[test]
    fn errors_agree_with_differences_of_the_likelihood() {
        let lives = worn(&[52.0, 71.0, 88.0, 95.0, 120.0, 140.0]);
        let fit = fit_weibull(&lives).expect("a fit");
        let sums = Sums::of(&lives).expect("sums");
        let step = 1e-4;
        let at = |i: f64, j: f64| {
            let shape = fit.lives.shape() * math::exp(i * step);
            sums.log_likelihood(shape, math::log(fit.lives.scale()) + j * step)
        };
        let centre = at(0.0, 0.0);
        let uu = -(at(1.0, 0.0) - 2.0 * centre + at(-1.0, 0.0)) / (step * step);
        let vv = -(at(0.0, 1.0) - 2.0 * centre + at(0.0, -1.0)) / (step * step);
        let uv =
            -(at(1.0, 1.0) - at(1.0, -1.0) - at(-1.0, 1.0) + at(-1.0, -1.0)) / (4.0 * step * step);
        let determinant = uu * vv - uv * uv;
        assert!((fit.shape_error_ln / (vv / determinant).sqrt() - 1.0).abs() < 1e-4);
        assert!((fit.scale_error_ln / (uu / determinant).sqrt() - 1.0).abs() < 1e-4);
    }

    #[test]
    fn counts_stand_for_repeats_and_units_do_not_matter() {
        let single = fit_weibull(&worn(&[50.0, 50.0, 70.0, 90.0])).expect("a fit");
        let mut counted = worn(&[50.0, 70.0, 90.0]);
        counted[0].count = 2;
        let counted_fit = fit_weibull(&counted).expect("a fit");
        assert!((single.lives.shape() / counted_fit.lives.shape() - 1.0).abs() < 1e-12);
        let huge: Vec<f64> = [50.0, 50.0, 70.0, 90.0].map(|t| t * 1e200).into();
        let scaled = fit_weibull(&worn(&huge)).expect("a fit");
        assert!((scaled.lives.shape() / single.lives.shape() - 1.0).abs() < 1e-9);
        assert!((scaled.lives.scale() / single.lives.scale() / 1e200 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn unusable_lives_are_refused() {
        assert_eq!(fit_weibull(&[]), Err(FitError::TooFew { worn_out: 0 }));
        assert_eq!(fit_weibull(&worn(&[5.0])), Err(FitError::TooFew { worn_out: 1 }));
        assert_eq!(fit_weibull(&worn(&[5.0, 5.0])), Err(FitError::NoScatter { time: 5.0 }));
        assert_eq!(
            fit_weibull(&worn(&[5.0, 0.0])),
            Err(FitError::OutOfRange { index: 1, time: 0.0 })
        );
    }
}
