//! A value with the band in which it is believed to lie.

use std::ops::{Add, Mul, Neg, Sub};

/// A value with both ends of the band in which it is believed to lie; `low <= likely <= high`.
///
/// Arithmetic keeps the order: ends combine so that the result holds every combination of the
/// inputs, as if these were independent. Where one band enters an expression twice, the result is
/// wider than need be, never too narrow. A limit is held against the unsafe end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Band {
    /// Low end.
    pub low: f64,
    /// Likely value.
    pub likely: f64,
    /// High end.
    pub high: f64,
}

impl Band {
    /// Nothing: all three are 0.
    pub const ZERO: Self = Self::exact(0.0);

    /// A value known without doubt.
    pub const fn exact(value: f64) -> Self {
        Self { low: value, likely: value, high: value }
    }

    /// A band from its three values; `None` unless all are finite and in order.
    pub fn new(low: f64, likely: f64, high: f64) -> Option<Self> {
        let band = Self { low, likely, high };
        band.is_ordered().then_some(band)
    }

    /// `likely` give or take the share of its magnitude, e.g. 0.5 for ±50 %.
    pub fn give_or_take(likely: f64, share: f64) -> Self {
        let half_width = (likely * share).abs();
        Self { low: likely - half_width, likely, high: likely + half_width }
    }

    /// `likely` within a factor either way, e.g. 2 for half to double; `factor` of 0 or non-finite
    /// counts as 1.
    pub fn within_factor(likely: f64, factor: f64) -> Self {
        let factor = factor.abs();
        if factor == 0.0 || !factor.is_finite() {
            return Self::exact(likely);
        }
        let (a, b) = (likely / factor, likely * factor);
        Self { low: a.min(b), likely, high: a.max(b) }
    }

    /// Whether all three are finite and in order.
    pub fn is_ordered(&self) -> bool {
        self.low.is_finite()
            && self.high.is_finite()
            && self.low <= self.likely
            && self.likely <= self.high
    }

    /// Whether `value` lies in the band, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }

    /// The band of `f` over this band, for an `f` that never falls as its argument rises.
    pub fn map_rising(self, f: impl Fn(f64) -> f64) -> Self {
        Self { low: f(self.low), likely: f(self.likely), high: f(self.high) }
    }

    /// The band of `f` over this band, for an `f` that never rises as its argument rises.
    pub fn map_falling(self, f: impl Fn(f64) -> f64) -> Self {
        Self { low: f(self.high), likely: f(self.likely), high: f(self.low) }
    }

    /// The band of `f` over both bands, for an `f` that never falls as either argument rises.
    pub fn join_rising(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        Self {
            low: f(self.low, other.low),
            likely: f(self.likely, other.likely),
            high: f(self.high, other.high),
        }
    }

    /// The larger of both, end by end.
    pub fn max(self, other: Self) -> Self {
        self.join_rising(other, f64::max)
    }

    /// The smaller of both, end by end.
    pub fn min(self, other: Self) -> Self {
        self.join_rising(other, f64::min)
    }

    /// The quotient; `None` if the divisor's band holds 0.
    pub fn divided_by(self, divisor: Self) -> Option<Self> {
        if divisor.contains(0.0) {
            return None;
        }
        let inverse =
            Self { low: 1.0 / divisor.high, likely: 1.0 / divisor.likely, high: 1.0 / divisor.low };
        Some(self * inverse)
    }
}

impl From<f64> for Band {
    fn from(value: f64) -> Self {
        Self::exact(value)
    }
}

impl Add for Band {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        self.join_rising(other, |a, b| a + b)
    }
}

impl Sub for Band {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Neg for Band {
    type Output = Self;

    fn neg(self) -> Self {
        Self { low: -self.high, likely: -self.likely, high: -self.low }
    }
}

impl Mul<f64> for Band {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        self * Self::exact(factor)
    }
}

impl Mul for Band {
    type Output = Self;

    fn mul(self, other: Self) -> Self {
        let ends = [
            self.low * other.low,
            self.low * other.high,
            self.high * other.low,
            self.high * other.high,
        ];
        Self {
            low: ends.iter().copied().fold(f64::INFINITY, f64::min),
            likely: self.likely * other.likely,
            high: ends.iter().copied().fold(f64::NEG_INFINITY, f64::max),
        }
    }
}

impl std::iter::Sum for Band {
    fn sum<I: Iterator<Item = Self>>(bands: I) -> Self {
        bands.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const A: Band = Band { low: 1.0, likely: 2.0, high: 4.0 };
    const B: Band = Band { low: -3.0, likely: -1.0, high: 2.0 };

    #[test]
    fn sums_and_differences_add_their_widths() {
        assert_eq!(A + B, Band { low: -2.0, likely: 1.0, high: 6.0 });
        assert_eq!(A - B, Band { low: -1.0, likely: 3.0, high: 7.0 });
        assert_eq!([A, A, A].into_iter().sum::<Band>(), A * 3.0);
    }

    #[test]
    fn products_hold_every_combination() {
        assert_eq!(A * B, Band { low: -12.0, likely: -2.0, high: 8.0 });
        assert_eq!(A * -2.0, Band { low: -8.0, likely: -4.0, high: -2.0 });
        let product = A * B;
        for a in [1.0, 1.5, 2.0, 4.0] {
            for b in [-3.0, -1.0, 0.0, 2.0] {
                assert!(product.contains(a * b), "{a} {b}");
            }
        }
    }

    #[test]
    fn a_quotient_needs_a_divisor_away_from_nought() {
        assert_eq!(A.divided_by(B), None);
        assert_eq!(A.divided_by(A), Some(Band { low: 0.25, likely: 1.0, high: 4.0 }));
        let by_negative = A.divided_by(-A).expect("no nought inside");
        assert_eq!(by_negative, Band { low: -4.0, likely: -1.0, high: -0.25 });
    }

    #[test]
    fn falling_functions_swap_the_ends() {
        assert_eq!(A.map_falling(|x| 8.0 / x), Band { low: 2.0, likely: 4.0, high: 8.0 });
        assert_eq!(A.map_rising(f64::sqrt).high, 2.0);
        assert_eq!(A.max(B), A);
        assert_eq!(A.min(B), B);
    }

    #[test]
    fn building_checks_the_order() {
        assert_eq!(Band::new(1.0, 2.0, 4.0), Some(A));
        assert_eq!(Band::new(2.0, 1.0, 4.0), None);
        assert_eq!(Band::new(0.0, f64::NAN, 4.0), None);
        assert_eq!(Band::give_or_take(-10.0, 0.5), Band { low: -15.0, likely: -10.0, high: -5.0 });
        assert_eq!(Band::within_factor(10.0, 2.0), Band { low: 5.0, likely: 10.0, high: 20.0 });
        assert_eq!(Band::within_factor(10.0, 0.0), Band::exact(10.0));
    }
}
