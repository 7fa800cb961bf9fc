//! Factors on the specific cutting force (Dietrich/Tschätsch, Praxis der Zerspantechnik, 11th ed.
//! 2014, as used in an open script; multiply as many as apply).

use kw_base::Band;

/// Factor for milling against the turning tests most kc1.1 come from.
pub const MILLING_FACTOR: f64 = 1.2;

/// Factor for an edge of high-speed steel at its lower speeds; carbide has 1.
pub const HIGH_SPEED_STEEL_FACTOR: f64 = 1.2;

/// Factor for a worn edge: 1.3 usual, up to 1.5; 1 when sharp.
pub const WORN_EDGE_FACTOR: Band = Band { low: 1.0, likely: 1.3, high: 1.5 };

/// Factor for rake: 1 − (γ − γ0)/100 with both in degrees, here given in rad; γ0 is the rake of
/// the tests: 6° for steel, 2° for castings, 0° for aluminium. Never below 0.
pub fn rake_factor(rake_rad: f64, test_rake_rad: f64) -> f64 {
    (1.0 - (rake_rad - test_rake_rad).to_degrees() / 100.0).max(0.0)
}

/// Factor for wear at a share of life used, 0…1 and held there: 1 when new, rising evenly to
/// [`WORN_EDGE_FACTOR`]. The ends are Dietrich/Tschätsch's, the straight line is our choice.
pub fn wear_factor(life_used: f64) -> Band {
    let used = if life_used.is_nan() { 1.0 } else { life_used.clamp(0.0, 1.0) };
    WORN_EDGE_FACTOR.map_rising(|worn| 1.0 + (worn - 1.0) * used)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wear_only_adds() {
        assert_eq!(wear_factor(-1.0), Band::exact(1.0));
        assert_eq!(wear_factor(7.0), WORN_EDGE_FACTOR);
        assert_eq!(wear_factor(f64::NAN), WORN_EDGE_FACTOR);
        assert!((wear_factor(0.5).likely - 1.15).abs() < 1e-15);
    }

    #[test]
    fn more_rake_cuts_easier() {
        assert!((rake_factor(10_f64.to_radians(), 0.0) - 0.9).abs() < 1e-15);
        assert_eq!(rake_factor(3.0, 0.0), 0.0);
    }
}
