//! Sums for straight lines through points in logarithms.

use kw_base::math;

/// Means and sums of squares of (ln x, ln y).
pub(crate) struct LogSums {
    pub(crate) mean_x: f64,
    pub(crate) mean_y: f64,
    pub(crate) xx: f64,
    pub(crate) yy: f64,
    pub(crate) xy: f64,
}

impl LogSums {
    /// `None` for fewer than two points or a coordinate that is not finite and above 0.
    pub(crate) fn of(points: &[(f64, f64)]) -> Option<Self> {
        let usable = |v: f64| v.is_finite() && v > 0.0;
        if points.len() < 2 || !points.iter().all(|&(x, y)| usable(x) && usable(y)) {
            return None;
        }
        let count = points.len() as f64;
        let logs = || points.iter().map(|&(x, y)| (math::log(x), math::log(y)));
        let mean_x = logs().map(|(x, _)| x).sum::<f64>() / count;
        let mean_y = logs().map(|(_, y)| y).sum::<f64>() / count;
        let mut sums = Self { mean_x, mean_y, xx: 0.0, yy: 0.0, xy: 0.0 };
        for (x, y) in logs() {
            let (dx, dy) = (x - mean_x, y - mean_y);
            sums.xx += dx * dx;
            sums.yy += dy * dy;
            sums.xy += dx * dy;
        }
        Some(sums)
    }
}
