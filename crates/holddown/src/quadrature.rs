//! Gauss–Legendre quadrature with five points a panel.

/// Abscissae on (−1, 1) and weights (Abramowitz and Stegun, table 25.4, n = 5).
const GAUSS_5: [(f64, f64); 5] = [
    (-0.906_179_845_938_664, 0.236_926_885_056_189_1),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_5),
    (0.906_179_845_938_664, 0.236_926_885_056_189_1),
];

/// Points and weights on (0, 1) with `panels` equal panels; the weights sum to 1.
pub(crate) fn unit_interval(panels: usize) -> impl Iterator<Item = (f64, f64)> {
    let half = 0.5 / panels as f64;
    (0..panels).flat_map(move |panel| {
        let middle = (2 * panel + 1) as f64 * half;
        GAUSS_5.iter().map(move |&(at, weight)| (middle + at * half, weight * half))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ninth_degree_is_exact() {
        let got: f64 = unit_interval(1).map(|(x, w)| w * x.powi(9)).sum();
        assert!((got - 0.1).abs() < 1e-14);
        let total: f64 = unit_interval(7).map(|(_, w)| w).sum();
        assert!((total - 1.0).abs() < 1e-14);
    }
}
