//! Imperfect contact: air that creeps in through the gap between piece and board.

use super::Board;
use super::loss::LossField;
use crate::quadrature;
use kw_base::math;

/// Gap assumed under a piece on a freshly skimmed board, m. Judgement, no source; scratches, dust
/// and bow easily make it several times larger.
pub const USUAL_GAP_M: f64 = 20e-6;

/// Strips wider than this many fading lengths are two lone edges.
const LONE_EDGES: f64 = 40.0;
const PANELS: usize = 5;

impl Board {
    /// Length in which the vacuum under a piece recovers from the edge of a gap, m: √(h³ t/(12 k)).
    ///
    /// Lubrication flow in the gap fed through the board: u = exp(−x/λ). 0 without a gap; infinite on
    /// a sealed board.
    pub fn contact_length_m(&self, gap_m: f64) -> f64 {
        if gap_m <= 0.0 {
            return 0.0;
        }
        (gap_m * gap_m * gap_m * self.layer.resistance_per_m() / 12.0).sqrt()
    }
}

/// Lost width per edge in vacuum terms over the fading length λ, at r = p_z/pa: from 2 (r → 0)
/// falling to 1 (r → 1).
///
/// ∫ (p − p_z)/(pa − p_z) dx/λ with u = exp(−x/λ), in closed form.
pub fn contact_band(pressure_ratio: f64) -> f64 {
    let r = pressure_ratio.clamp(0.0, 1.0);
    if r <= 0.0 {
        return 2.0;
    }
    let e = 1.0 - r;
    if e < 1e-4 {
        return 1.0 + 0.25 * e;
    }
    2.0 - 2.0 * r / e * math::log((1.0 + r) / (2.0 * r))
}

/// Mean loss over a strip open on both sides, its width in fading lengths λ:
/// u = cosh(x/λ)/cosh(a/2λ), mean u = tanh(a/2λ)/(a/2λ).
///
/// An infinite width (no gap) loses nothing, width 0 loses all.
pub fn contact_strip(width_over_length: f64) -> LossField {
    let width = width_over_length.max(0.0);
    if width.is_nan() || width.is_infinite() {
        return LossField::from_samples(Vec::new());
    }
    if width > LONE_EDGES {
        // x = −ln u, u = s²: dx = 2 ds/s.
        let at = |(s, w): (f64, f64)| (s * s, w * 4.0 / (s * width));
        return LossField::from_samples(quadrature::unit_interval(PANELS).map(at).collect());
    }
    let half = 0.5 * width;
    let at = |(s, w): (f64, f64)| {
        let from_edge = half * s * s;
        // cosh(half − y)/cosh(half) without overflow.
        let u = (math::exp(-from_edge) + math::exp(from_edge - width)) / (1.0 + math::exp(-width));
        (u, w * 2.0 * s)
    };
    LossField::from_samples(quadrature::unit_interval(PANELS).map(at).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fading_lengths_of_the_facts() {
        let board = Board::new(0.018, 2e-13);
        for (gap_um, length_mm) in [(20.0, 7.746), (50.0, 30.6), (100.0, 86.6)] {
            let got = board.contact_length_m(gap_um * 1e-6) * 1000.0;
            assert!((got / length_mm - 1.0).abs() < 1e-3, "{gap_um} um: {got} mm");
        }
        assert_eq!(board.contact_length_m(0.0), 0.0);
    }

    #[test]
    fn mean_over_a_strip_is_the_closed_form() {
        for width in [0.1, 1.0, 4.0, 20.0, 60.0] {
            let expected = math::tanh(0.5 * width) / (0.5 * width);
            let got = contact_strip(width).of_squares();
            assert!((got - expected).abs() < 1e-4 * expected, "{width}: {got} {expected}");
        }
        assert_eq!(contact_strip(f64::INFINITY).of_vacuum(0.4), 0.0);
        assert!((contact_strip(0.0).of_vacuum(0.4) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn wide_strips_lose_a_band_at_each_edge() {
        for r in [0.05, 0.2, 0.4, 0.7, 0.99, 0.99999] {
            let strip = contact_strip(200.0).of_vacuum(r) * 100.0;
            assert!(
                (strip / contact_band(r) - 1.0).abs() < 2e-3,
                "{r}: {strip} {}",
                contact_band(r)
            );
        }
        assert!((contact_band(0.9998) - contact_band(0.999_95)).abs() < 1e-4);
    }
}
