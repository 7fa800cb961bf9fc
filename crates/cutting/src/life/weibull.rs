//! The two-parameter Weibull distribution: R(t) = exp(−(t/η)^β).

use super::gamma::lower_gamma_share;
use crate::numeric::rising_root;
use kw_base::math;

/// Shapes between which a coefficient of variation is sought: 15.8 down to 0.0043.
const SHAPES: (f64, f64) = (0.2, 300.0);

/// Lives with shape β (above 1: wear; 1: chance; below 1: early failures) and scale η, the life
/// that 36.8 % outlast.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weibull {
    shape: f64,
    scale: f64,
}

impl Weibull {
    /// `None` unless both are finite and above 0.
    pub fn new(shape: f64, scale: f64) -> Option<Self> {
        let usable = |x: f64| x.is_finite() && x > 0.0;
        (usable(shape) && usable(scale)).then_some(Self { shape, scale })
    }

    /// The distribution with a mean and a coefficient of variation (standard deviation over mean),
    /// by the moments; `None` unless the mean is above 0 and the coefficient within 0.0043…15.8.
    pub fn from_mean_and_variation(mean: f64, variation: f64) -> Option<Self> {
        let (low, high) = SHAPES;
        let within = variation_of(high) <= variation && variation <= variation_of(low);
        if !within {
            return None;
        }
        let shape = rising_root(|shape| variation - variation_of(shape), low, high);
        Self::new(shape, mean / math::tgamma(1.0 + 1.0 / shape))
    }

    /// β.
    pub fn shape(&self) -> f64 {
        self.shape
    }

    /// η, in the unit of time.
    pub fn scale(&self) -> f64 {
        self.scale
    }

    /// Mean life: η·Γ(1 + 1/β).
    pub fn mean(&self) -> f64 {
        self.scale * math::tgamma(1.0 + 1.0 / self.shape)
    }

    /// Standard deviation over mean.
    pub fn variation(&self) -> f64 {
        variation_of(self.shape)
    }

    /// Share still working at a time, 0…1; 1 before 0.
    pub fn reliability(&self, time: f64) -> f64 {
        math::exp(-self.exposure(time))
    }

    /// Share failed by a time, 0…1, exact also where it is small.
    pub fn failed_share(&self, time: f64) -> f64 {
        -math::expm1(-self.exposure(time))
    }

    /// Failures per time among those still working: β/η·(t/η)^(β−1); 0 before 0.
    pub fn hazard(&self, time: f64) -> f64 {
        if time < 0.0 {
            return 0.0;
        }
        self.shape / self.scale * math::pow(time / self.scale, self.shape - 1.0)
    }

    /// Time by which `share` of all have failed, e.g. 0.1 for the B10 life; held to 0…1, endless
    /// at 1.
    pub fn life_at_failed_share(&self, share: f64) -> f64 {
        let exposure = -math::log(1.0 - share.clamp(0.0, 1.0));
        self.scale * math::pow(exposure, 1.0 / self.shape)
    }

    /// Mean time in work of tools that are changed at `time` if they have not failed:
    /// ∫₀ᵗ R dt = mean·P(1/β, (t/η)^β).
    pub fn mean_up_to(&self, time: f64) -> f64 {
        self.mean() * lower_gamma_share(1.0 / self.shape, self.exposure(time))
    }

    fn exposure(&self, time: f64) -> f64 {
        math::pow((time / self.scale).max(0.0), self.shape)
    }
}

/// √(Γ(1 + 2/β)/Γ(1 + 1/β)² − 1).
fn variation_of(shape: f64) -> f64 {
    let log = math::lgamma(1.0 + 2.0 / shape) - 2.0 * math::lgamma(1.0 + 1.0 / shape);
    math::expm1(log).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn variations_come_back() {
        for variation in [0.005, 0.1, 0.3, 1.0, 3.0, 15.0] {
            let lives = Weibull::from_mean_and_variation(50.0, variation).expect("in range");
            assert!((lives.variation() / variation - 1.0).abs() < 1e-8, "{variation}");
            assert!((lives.mean() / 50.0 - 1.0).abs() < 1e-12, "{variation}");
        }
        for variation in [0.0, 0.004, 16.0, f64::NAN] {
            assert_eq!(Weibull::from_mean_and_variation(50.0, variation), None);
        }
        assert_eq!(Weibull::from_mean_and_variation(-1.0, 0.3), None);
    }

    #[test]
    fn shape_one_is_chance() {
        let lives = Weibull::new(1.0, 40.0).expect("in range");
        assert!((lives.hazard(3.0) - lives.hazard(300.0)).abs() < 1e-15);
        assert!((lives.mean() - 40.0).abs() < 1e-12);
        assert!((lives.mean_up_to(40.0) - 40.0 * (1.0 - math::exp(-1.0))).abs() < 1e-10);
    }

    #[test]
    fn integrals_agree_with_stepping() {
        for (shape, until) in [(0.7, 30.0), (3.7, 90.0), (12.0, 105.0)] {
            let lives = Weibull::new(shape, 100.0).expect("in range");
            let steps = 100_000;
            let sum: f64 = (0..steps)
                .map(|i| lives.reliability(until * (f64::from(i) + 0.5) / f64::from(steps)))
                .sum();
            let want = sum * until / f64::from(steps);
            assert!((lives.mean_up_to(until) / want - 1.0).abs() < 1e-6, "{shape}");
            assert!((lives.mean_up_to(1e9) / lives.mean() - 1.0).abs() < 1e-12, "{shape}");
        }
    }

    #[test]
    fn ends() {
        let lives = Weibull::new(2.0, 10.0).expect("in range");
        assert_eq!(lives.reliability(-1.0), 1.0);
        assert_eq!(lives.life_at_failed_share(0.0), 0.0);
        assert_eq!(lives.life_at_failed_share(1.0), f64::INFINITY);
        assert!((lives.failed_share(1e-9) / 1e-20 - 1.0).abs() < 1e-9);
        assert_eq!(Weibull::new(0.0, 1.0), None);
    }
}
