//! One-dimensional searches with a bounded number of steps.

/// Halvings of an interval: more than the 1,100 binary orders of an `f64` never need, as an
/// interval of neighbouring numbers ends the search earlier.
const MOST_HALVINGS: u32 = 1_200;

/// Golden section steps: the interval shrinks to 0.618^80 = 2e-17 of itself.
const GOLDEN_STEPS: u32 = 80;

/// Where a function that is negative at `low` and does not fall towards `high` becomes 0 or
/// positive, to the last bit; `high` if it does not.
pub(crate) fn rising_root(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..MOST_HALVINGS {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Where a function with a single valley between `low` and `high` is least.
pub(crate) fn valley(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let section = (5.0_f64.sqrt() - 1.0) / 2.0;
    let (mut a, mut b) = (high - section * (high - low), low + section * (high - low));
    let (mut at_a, mut at_b) = (f(a), f(b));
    for _ in 0..GOLDEN_STEPS {
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - section * (high - low);
            at_a = f(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + section * (high - low);
            at_b = f(b);
        }
    }
    low + (high - low) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn roots_are_met_to_the_last_bits() {
        assert!((rising_root(|x| x * x - 2.0, 0.0, 1e9) - 2.0_f64.sqrt()).abs() < 1e-15);
        assert_eq!(rising_root(|_| -1.0, 0.0, 3.0), 3.0);
        assert_eq!(rising_root(|_| f64::NAN, 0.0, 3.0), 5e-324);
    }

    #[test]
    fn valleys_are_met_even_at_an_end() {
        assert!((valley(|x| (x - 1.25) * (x - 1.25), -10.0, 50.0) - 1.25).abs() < 1e-7);
        assert!((valley(|x| x, 2.0, 5.0) - 2.0).abs() < 1e-12);
        assert!((valley(|x| -x, 2.0, 5.0) - 5.0).abs() < 1e-12);
    }
}
