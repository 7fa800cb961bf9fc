//! Comparison with a tolerance.

/// Fails unless `got` lies within the relative tolerance of `want`.
#[track_caller]
pub fn assert_close(got: f64, want: f64, relative: f64) {
    assert!(
        (got - want).abs() <= relative * want.abs(),
        "{got} instead of {want} (off by {:.2e} of it, allowed {relative:.0e})",
        (got - want) / want
    );
}

/// Fails unless `got` lies within `absolute` of `want`.
#[track_caller]
pub fn assert_within(got: f64, want: f64, absolute: f64) {
    assert!((got - want).abs() <= absolute, "{got} instead of {want} ± {absolute}");
}
