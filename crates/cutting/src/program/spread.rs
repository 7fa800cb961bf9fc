//! Least, median and greatest value over a way.

/// Least, median and greatest of values that each hold over a weight, such as a way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Least.
    pub min: f64,
    /// Weighted median: half of the weight has at most this value.
    pub median: f64,
    /// Greatest.
    pub max: f64,
}

impl Spread {
    /// Of pairs (value, weight at least 0); values that are no number are left out. `None` without
    /// values. Linear in time.
    pub fn of(pairs: impl Iterator<Item = (f32, f32)>) -> Option<Self> {
        let mut pairs: Vec<(f32, f32)> = pairs.filter(|pair| !pair.0.is_nan()).collect();
        let min = pairs.iter().map(|pair| pair.0).reduce(f32::min)?;
        let max = pairs.iter().map(|pair| pair.0).reduce(f32::max)?;
        let median = weighted_median(&mut pairs)?;
        Some(Self { min: f64::from(min), median: f64::from(median), max: f64::from(max) })
    }
}

/// Median by halving the candidates around the middle one.
fn weighted_median(pairs: &mut [(f32, f32)]) -> Option<f32> {
    let weight = |part: &[(f32, f32)]| part.iter().map(|pair| f64::from(pair.1)).sum::<f64>();
    let half = weight(pairs) / 2.0;
    let mut below = 0.0;
    let mut rest = pairs;
    let mut found = None;
    while !rest.is_empty() {
        let middle = rest.len() / 2;
        rest.select_nth_unstable_by(middle, |a, b| a.0.total_cmp(&b.0));
        let left = weight(&rest[..middle]);
        let (value, own) = rest[middle];
        found = Some(value);
        if middle > 0 && below + left > half {
            rest = &mut rest[..middle];
        } else if below + left + f64::from(own) >= half {
            return found;
        } else {
            below += left + f64::from(own);
            rest = &mut rest[middle + 1..];
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn median(pairs: &[(f32, f32)]) -> Option<f64> {
        Spread::of(pairs.iter().copied()).map(|s| s.median)
    }

    #[test]
    fn the_median_is_that_of_the_way() {
        assert_eq!(median(&[(5.0, 1.0), (1.0, 10.0), (9.0, 1.0)]), Some(1.0));
        assert_eq!(median(&[(5.0, 1.0), (1.0, 1.0), (9.0, 30.0), (f32::NAN, 90.0)]), Some(9.0));
        assert_eq!(median(&[]), None);
        let spread = Spread::of([(2.0, 1.0), (4.0, 0.0)].into_iter());
        assert_eq!(spread, Some(Spread { min: 2.0, median: 2.0, max: 4.0 }));
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
        #[test]
        fn no_more_than_half_lies_on_either_side(
            pairs in prop::collection::vec((0_u8..20, 1_u8..9), 1..40)
        ) {
            let pairs: Vec<(f32, f32)> =
                pairs.into_iter().map(|(v, w)| (f32::from(v), f32::from(w))).collect();
            let middle = median(&pairs).unwrap_or(-1.0) as f32;
            let total: f32 = pairs.iter().map(|p| p.1).sum();
            let below: f32 = pairs.iter().filter(|p| p.0 < middle).map(|p| p.1).sum();
            let above: f32 = pairs.iter().filter(|p| p.0 > middle).map(|p| p.1).sum();
            prop_assert!(below <= total / 2.0 && above <= total / 2.0);
        }
    }
}
