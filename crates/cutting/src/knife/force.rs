//! Force to sever a sheet with a blade.

use kw_base::Band;

/// Total over severing force: friction on the flanks of the blade adds half to twice as much
/// again. Common practice, no source.
pub const FRICTION_FACTOR: Band = Band { low: 1.5, likely: 2.0, high: 3.0 };

/// Drag, N, of a blade that cuts through `thickness_mm` of a material with severing force
/// `severing_n_mm` per mm of thickness (its toughness R, kJ/m² = N/mm), times `friction`: an
/// energy balance without crushing.
pub fn drag_force_n(severing_n_mm: Band, thickness_mm: f64, friction: Band) -> Band {
    severing_n_mm * friction * thickness_mm.max(0.0)
}

/// Shares of the severing force R·w that a blade needs when it also slides along its edge.
///
/// Atkins, Xu & Jeronimidis 2004, J. Mater. Sci. (definition of the ratio; formulas derived anew).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlicePush {
    /// Across the edge: 1/(1 + ξ²).
    pub push: f64,
    /// Along the edge: ξ/(1 + ξ²).
    pub slice: f64,
    /// Of both together: 1/√(1 + ξ²).
    pub resultant: f64,
}

impl SlicePush {
    /// Shares at ξ = slicing speed over pushing speed; the sign does not matter, no end is a pure
    /// slice.
    pub fn at(ratio: f64) -> Self {
        let ratio = ratio.abs();
        if ratio.is_infinite() {
            return Self { push: 0.0, slice: 0.0, resultant: 0.0 };
        }
        let push = 1.0 / (1.0 + ratio * ratio);
        Self { push, slice: ratio * push, resultant: push.sqrt() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sliding_lowers_the_push() {
        let mut before = f64::INFINITY;
        for ratio in [0.0, 0.1, 1.0, 7.0, 1e200, f64::INFINITY] {
            let shares = SlicePush::at(ratio);
            assert!(shares.push < before || shares.push == 0.0);
            assert!(shares.push.is_finite() && shares.slice.is_finite());
            before = shares.push;
        }
        assert_eq!(SlicePush::at(-2.0), SlicePush::at(2.0));
    }

    #[test]
    fn drag_carries_its_band() {
        let board = Band { low: 5.0, likely: 10.0, high: 15.0 };
        let drag = drag_force_n(board, 2.0, FRICTION_FACTOR);
        assert_eq!(drag, Band { low: 15.0, likely: 40.0, high: 90.0 });
        assert_eq!(drag_force_n(board, -1.0, FRICTION_FACTOR), Band::ZERO);
    }
}
