//! Wear that grows with the path of the edge in the material, the usual case in wood panels.

/// Wear of an edge along its path: VB = VB0 + w·s. Common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EdgePathWear {
    /// Edge recession when new (run in), mm.
    pub start_mm: f64,
    /// Growth over the path of an edge in material of abrasion 1, mm per km.
    pub growth_mm_per_km: f64,
    /// Edge recession at which the tool is worn out, mm: 0.1 to 0.2 in wood. Common practice.
    pub end_mm: f64,
}

impl EdgePathWear {
    /// Edge recession, mm, after a path in material of relative `abrasion`.
    pub fn wear_mm(&self, path_m: f64, abrasion: f64) -> f64 {
        self.start_mm + self.growth_mm_per_km * abrasion * path_m / 1000.0
    }

    /// Path until worn out, m, in material of relative `abrasion`; endless where nothing wears, 0
    /// if worn out from the start.
    pub fn life_path_m(&self, abrasion: f64) -> f64 {
        let growth = self.growth_mm_per_km * abrasion;
        if growth > 0.0 {
            ((self.end_mm - self.start_mm) / growth * 1000.0).max(0.0)
        } else {
            f64::INFINITY
        }
    }

    /// Life, min, of an edge that runs `path_m_min` in the material every minute.
    pub fn life_min(&self, path_m_min: f64, abrasion: f64) -> f64 {
        if path_m_min > 0.0 { self.life_path_m(abrasion) / path_m_min } else { f64::INFINITY }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WEAR: EdgePathWear =
        EdgePathWear { start_mm: 0.02, growth_mm_per_km: 0.01, end_mm: 0.12 };

    #[test]
    fn the_end_is_reached_at_the_end_of_the_path() {
        for abrasion in [0.3, 1.0, 10.0] {
            let path = WEAR.life_path_m(abrasion);
            assert!((WEAR.wear_mm(path, abrasion) - 0.12).abs() < 1e-12);
        }
        assert!((WEAR.life_path_m(1.0) - 10_000.0).abs() < 1e-9);
        assert!((WEAR.life_min(250.0, 2.0) - 20.0).abs() < 1e-9);
    }

    #[test]
    fn nothing_wears_nothing_ends() {
        assert_eq!(WEAR.life_path_m(0.0), f64::INFINITY);
        assert_eq!(WEAR.life_min(0.0, 1.0), f64::INFINITY);
        let spent = EdgePathWear { start_mm: 0.2, ..WEAR };
        assert_eq!(spent.life_path_m(1.0), 0.0);
    }
}
