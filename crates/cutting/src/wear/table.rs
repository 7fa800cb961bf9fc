//! Reading a life off a table of measured wear.

/// Time, min, at which wear first reaches `limit_mm` in a table of (time min, wear mm) in order of
/// time, straight between readings.
///
/// `None` if no reading reaches it or already the first one has: nothing is extrapolated.
pub fn time_at_wear_min(readings: &[(f64, f64)], limit_mm: f64) -> Option<f64> {
    readings.windows(2).find_map(|pair| {
        let ((t0, w0), (t1, w1)) = (pair[0], pair[1]);
        (w0 < limit_mm && limit_mm <= w1).then(|| t0 + (t1 - t0) * (limit_mm - w0) / (w1 - w0))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_was_measured_is_read() {
        let readings = [(1.0, 0.1), (2.0, 0.2), (4.0, 0.4)];
        assert_eq!(time_at_wear_min(&readings, 0.3), Some(3.0));
        assert_eq!(time_at_wear_min(&readings, 0.4), Some(4.0));
        assert_eq!(time_at_wear_min(&readings, 0.05), None);
        assert_eq!(time_at_wear_min(&readings, 0.5), None);
        assert_eq!(time_at_wear_min(&[], 0.5), None);
    }
}
