//! Imperfect contact: air that creeps in through the gap between piece and board.

use super::Board;
use kw_base::{Band, math};

/// Gap assumed under a piece on a freshly skimmed board, m. Judgement, no source; scratches, dust
/// and bow easily make it several times larger.
pub const USUAL_GAP_M: Band = Band { low: 0.0, likely: 20e-6, high: 50e-6 };

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

/// u at a distance from the edge of a strip with an even gap: cosh(x/λ)/cosh(a/2λ), x from the middle.
/// Lengths in one unit; 0 without a gap.
pub fn strip_share(from_edge: f64, width: f64, contact_length: f64) -> f64 {
    if contact_length <= 0.0 {
        return 0.0;
    }
    // cosh(half − y)/cosh(half) without overflow.
    let (y, a) = (from_edge / contact_length, width / contact_length);
    (math::exp(-y) + math::exp(y - a)) / (1.0 + math::exp(-a))
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
    fn the_band_runs_from_two_to_one() {
        assert_eq!(contact_band(0.0), 2.0);
        assert_eq!(contact_band(1.0), 1.0);
        assert!((contact_band(0.9998) - contact_band(0.999_95)).abs() < 1e-4);
    }

    #[test]
    fn a_strip_is_open_at_both_edges() {
        assert_eq!(strip_share(0.0, 3.0, 1.0), 1.0);
        assert!((strip_share(3.0, 3.0, 1.0) - 1.0).abs() < 1e-12);
        let middle = 1.0 / math::cosh(1.5);
        assert!((strip_share(1.5, 3.0, 1.0) - middle).abs() < 1e-12);
        assert_eq!(strip_share(1.0, 3.0, 0.0), 0.0);
    }
}
