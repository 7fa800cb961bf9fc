//! The incomplete gamma function.

use kw_base::math;

/// Terms after which a series or fraction is cut off; at a ≤ 100 it has converged long before.
const MOST_TERMS: u32 = 10_000;

/// Relative change of a sum below which it has converged.
const CONVERGED: f64 = 1e-16;

/// Regularised lower incomplete gamma function P(a, x), 0…1, for a > 0; 0 for x ≤ 0.
///
/// Power series below x = a + 1, continued fraction (Lentz) above, as in Press et al., Numerical
/// Recipes, 3rd ed. 2007, section 6.2, written anew. Relative accuracy about 1e-14.
pub(crate) fn lower_gamma_share(a: f64, x: f64) -> f64 {
    if x.is_nan() || x <= 0.0 {
        return 0.0;
    }
    let front = math::exp(a * math::log(x) - x - math::lgamma(a));
    if front == 0.0 || x.is_infinite() {
        return if x < a { 0.0 } else { 1.0 };
    }
    if x < a + 1.0 { front * series(a, x) } else { 1.0 - front * fraction(a, x) }
}

fn series(a: f64, x: f64) -> f64 {
    let mut term = 1.0 / a;
    let mut sum = term;
    for i in 1..MOST_TERMS {
        term *= x / (a + f64::from(i));
        sum += term;
        if term < sum * CONVERGED {
            break;
        }
    }
    sum
}

fn fraction(a: f64, x: f64) -> f64 {
    let tiny = f64::MIN_POSITIVE / f64::EPSILON;
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / tiny;
    let mut d = 1.0 / b;
    let mut value = d;
    for i in 1..MOST_TERMS {
        let i = f64::from(i);
        let numerator = -i * (i - a);
        b += 2.0;
        d = 1.0 / away_from_nought(numerator * d + b, tiny);
        c = away_from_nought(b + numerator / c, tiny);
        value *= d * c;
        if (d * c - 1.0).abs() < CONVERGED {
            break;
        }
    }
    value
}

fn away_from_nought(x: f64, tiny: f64) -> f64 {
    if x.abs() < tiny { tiny } else { x }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closed_forms() {
        for x in [1e-6, 0.3, 1.0, 1.9, 2.1, 7.0, 40.0] {
            let exponential = -math::expm1(-x);
            assert!((lower_gamma_share(1.0, x) / exponential - 1.0).abs() < 1e-13, "{x}");
            let half = 1.0 - math::erfc(x.sqrt());
            assert!((lower_gamma_share(0.5, x) / half - 1.0).abs() < 1e-10, "{x}");
            let two = 1.0 - (1.0 + x) * math::exp(-x);
            assert!((lower_gamma_share(2.0, x) - two).abs() < 1e-13, "{x}");
        }
    }

    #[test]
    fn ends() {
        assert_eq!(lower_gamma_share(0.3, 0.0), 0.0);
        assert_eq!(lower_gamma_share(0.3, -1.0), 0.0);
        assert_eq!(lower_gamma_share(0.3, 1e6), 1.0);
        assert_eq!(lower_gamma_share(0.3, f64::INFINITY), 1.0);
        assert_eq!(lower_gamma_share(0.3, f64::NAN), 0.0);
    }
}
