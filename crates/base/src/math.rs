//! Mathematics that gives the same bits on every machine, instead of the platform's own library.
//!
//! `sqrt`, `abs`, `floor` and the like are exact in IEEE 754 and may be called on `f64` directly.

pub use core::f64::consts::{FRAC_PI_2, PI, TAU};
pub use libm::{acos, asin, atan, atan2, atanh, cbrt, cos, cosh, exp, expm1, hypot, log, log10};
pub use libm::{erfc, lgamma, pow, sin, sincos, tan, tanh, tgamma};

/// Angle in `(-π, π]` that points the same way as `angle_rad`; non-finite input gives 0.
pub fn wrap_to_pi(angle_rad: f64) -> f64 {
    if !angle_rad.is_finite() {
        return 0.0;
    }
    let turned = angle_rad - TAU * (angle_rad / TAU).round();
    if turned <= -PI { turned + TAU } else { turned }
}

/// Linear interpolation in a table of `(x, y)` with rising `x`; held constant outside its ends.
///
/// `None` if the table is empty.
pub fn interpolate(table: &[(f64, f64)], x: f64) -> Option<f64> {
    let (first, last) = (table.first()?, table.last()?);
    if x <= first.0 {
        return Some(first.1);
    }
    if x >= last.0 {
        return Some(last.1);
    }
    let upper = table.partition_point(|&(at, _)| at <= x);
    let ((x0, y0), (x1, y1)) = (table[upper - 1], table[upper]);
    Some(y0 + (y1 - y0) * (x - x0) / (x1 - x0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wrapping_keeps_the_direction() {
        for (input, expected) in [(0.0, 0.0), (3.0 * PI, PI), (-PI, PI), (-7.0, -7.0 + TAU)] {
            assert!((wrap_to_pi(input) - expected).abs() < 1e-12, "{input}");
        }
        assert_eq!(wrap_to_pi(f64::NAN), 0.0);
    }

    #[test]
    fn interpolation_holds_its_ends() {
        let table = [(1.0, 10.0), (2.0, 20.0)];
        assert_eq!(interpolate(&table, 0.0), Some(10.0));
        assert_eq!(interpolate(&table, 1.5), Some(15.0));
        assert_eq!(interpolate(&table, 9.0), Some(20.0));
        assert_eq!(interpolate(&[], 1.0), None);
    }
}
