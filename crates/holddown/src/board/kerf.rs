//! Leak of a through-kerf into a porous board: conformal map of a slot over a strip.

use super::{Board, Layer};
use kw_base::math::{self, FRAC_PI_2, PI};

/// Kerfs wider than this many board thicknesses use the limit w/t + 4 ln2/π; there both agree to
/// 1e-10.
const WIDE_KERF: f64 = 8.0;

/// Shape factor S of a kerf of width w in a sealed sheet on a board of thickness t: flow per metre is
/// mobility · S · (pa² − p_z²).
///
/// S = K(1−q)/K(q), q = exp(−π w/t), K with parameter m; exact for an isolated kerf, the plenum open
/// below. `width_over_thickness` ≤ 0 gives 0. The naive w/t under-predicts 3.4 times at w/t = 1/3.
pub fn kerf_shape_factor(width_over_thickness: f64) -> f64 {
    if width_over_thickness <= 0.0 || width_over_thickness.is_nan() {
        return 0.0;
    }
    if width_over_thickness > WIDE_KERF {
        return width_over_thickness + 4.0 * core::f64::consts::LN_2 / PI;
    }
    let q = math::exp(-PI * width_over_thickness);
    // K(m) = π / (2 agm(1, √(1−m))): the ratio needs only two means.
    let complement = -math::expm1(-PI * width_over_thickness);
    mean(1.0, complement.sqrt()) / mean(1.0, q.sqrt())
}

/// S of a kerf that goes on into the board by a depth; both over the board thickness.
///
/// S((w + 3 d)/t): fitted to finite differences at w/t = 1/3, d/t up to 1/6, where it holds
/// within 1.5 %; deeper grooves are an extrapolation.
pub fn kerf_shape_factor_into_board(width_over_thickness: f64, depth_over_thickness: f64) -> f64 {
    if width_over_thickness <= 0.0 {
        return 0.0;
    }
    kerf_shape_factor(width_over_thickness + 3.0 * depth_over_thickness.max(0.0))
}

/// S of a kerf that leaves a skin of a porous sheet: the skin's δ/(w k_sheet/k_board) in series with
/// 1/S. A sealed sheet's skin leaks nothing.
pub fn kerf_shape_factor_with_skin(width_m: f64, skin: &Layer, board: &Board) -> f64 {
    let open = kerf_shape_factor(width_m / board.layer.thickness_m);
    if open <= 0.0 || skin.permeability_m2 <= 0.0 {
        return 0.0;
    }
    let skin_term =
        skin.thickness_m * board.layer.permeability_m2 / (width_m * skin.permeability_m2);
    1.0 / (1.0 / open + skin_term)
}

/// Arithmetic-geometric mean of two positive numbers.
fn mean(mut a: f64, mut b: f64) -> f64 {
    for _ in 0..40 {
        if (a - b).abs() <= 1e-15 * a {
            break;
        }
        (a, b) = (0.5 * (a + b), (a * b).sqrt());
    }
    a
}

/// Complete elliptic integral of the first kind K(m) with parameter m in 0 to 1 (1 excluded).
pub fn elliptic_k(parameter: f64) -> f64 {
    FRAC_PI_2 / mean(1.0, (1.0 - parameter).max(f64::MIN_POSITIVE).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn elliptic_integral_matches_its_table() {
        // Abramowitz and Stegun, table 17.1.
        for (m, k) in [(0.0, FRAC_PI_2), (0.5, 1.854_074_677_301_372), (0.9, 2.578_092_113_348_173)]
        {
            assert!((elliptic_k(m) - k).abs() < 1e-12, "m = {m}");
        }
    }

    #[test]
    fn shape_factor_has_the_values_of_the_facts() {
        // Facts 1.5; 1/6 and 1 beside the values of T8.
        let expected =
            [(0.1, 0.7992), (1.0 / 6.0, 0.9183), (1.0 / 3.0, 1.1499), (0.5, 1.3463), (1.0, 1.8755)];
        for (ratio, s) in expected {
            assert!((kerf_shape_factor(ratio) - s).abs() < 6e-5, "w/t = {ratio}");
        }
        let (below, above) = (kerf_shape_factor(WIDE_KERF), kerf_shape_factor(WIDE_KERF + 1e-9));
        assert!((below - above).abs() < 1e-8, "{below} {above}");
        assert_eq!(kerf_shape_factor(0.0), 0.0);
        assert!(kerf_shape_factor(1e-12) > 0.0);
    }

    #[test]
    fn a_kerf_into_the_board_leaks_more() {
        // Finite differences of facts 1.5: 6 mm kerf, 18 mm board, 1, 2, 3 mm deep.
        for (depth_mm, s) in [(0.0, 1.150), (1.0, 1.364), (2.0, 1.528), (3.0, 1.684)] {
            let got = kerf_shape_factor_into_board(6.0 / 18.0, depth_mm / 18.0);
            assert!((got / s - 1.0).abs() < 0.015, "{depth_mm} mm: {got}");
        }
    }

    #[test]
    fn a_skin_leaks_less_than_an_open_kerf_and_none_if_sealed() {
        let board = Board::new(0.018, 2e-13);
        let skin = |k| Layer { thickness_m: 0.000_5, permeability_m2: k };
        let open = kerf_shape_factor(1.0 / 3.0);
        assert_eq!(kerf_shape_factor_with_skin(0.006, &skin(0.0), &board), 0.0);
        let porous = kerf_shape_factor_with_skin(0.006, &skin(0.5e-13), &board);
        assert!((1.0 / porous - 1.0 / open - 1.0 / 3.0).abs() < 1e-12);
        assert!((kerf_shape_factor_with_skin(0.006, &skin(1.0), &board) - open).abs() < 1e-9);
    }
}
