//! Loss of vacuum in exposed board beside a sealed cover, in closed form: p² is harmonic in the board.
//!
//! u = (p² − p_z²)/(pa² − p_z²) at the top face is 0 at full plenum vacuum and 1 at ambient. The
//! closed forms were derived for this model and checked by finite differences; they hold where the
//! plenum is open under the board.

use super::contact;
use crate::quadrature;
use core::f64::consts::LN_2;
use kw_base::math::{self, PI};

/// Lost width at one open edge in p² terms, board thicknesses: 2 ln2/π.
pub const EDGE_BAND: f64 = 2.0 * LN_2 / PI;

/// Strips wider than this many thicknesses are two lone edges; their overlap is below 1e-6 there.
const LONE_EDGES: f64 = 16.0;
/// Quadrature panels of five points: the tabulated values are met within 1e-5.
const PANELS: usize = 6;

/// u at the top face under a half-plane cover, at a distance from its edge in board thicknesses.
pub fn half_plane_share(distance_over_thickness: f64) -> f64 {
    if distance_over_thickness <= 0.0 {
        return 1.0;
    }
    2.0 / PI * math::asin(math::exp(-0.5 * PI * distance_over_thickness))
}

/// u at the top face under a strip open on both sides; `from_middle` and `width` in board
/// thicknesses. 1 outside the strip.
pub fn strip_share(from_middle: f64, width: f64) -> f64 {
    let from_middle = from_middle.abs();
    if 2.0 * from_middle >= width || width.is_nan() {
        return 1.0;
    }
    if width > 2.0 * LONE_EDGES {
        return half_plane_share(0.5 * width - from_middle);
    }
    let edge = math::cosh(0.5 * PI * width);
    let z = (edge - 1.0 - 2.0 * math::cosh(PI * from_middle)) / (edge + 1.0);
    (0.5 - math::asin(z.clamp(-1.0, 1.0)) / PI).clamp(0.0, 1.0)
}

/// Samples side by side, so that the sums run in parallel lanes: the same order on every machine.
const LANES: usize = 4;
/// Pressure ratio below which nothing more changes.
const LEAST_RATIO: f64 = 1e-9;

#[derive(Clone, Copy, Debug, PartialEq, Default)]
struct Block {
    share: [f64; LANES],
    weight: [f64; LANES],
}

/// A weighted sample of u over a cover. The loss of vacuum for any plenum pressure follows from it
/// without evaluating u again.
#[derive(Clone, Debug, PartialEq)]
pub struct LossField {
    blocks: Vec<Block>,
}

impl LossField {
    /// One open edge; losses are widths in board thicknesses.
    pub fn edge() -> Self {
        Self::lone_edge(1.0, 0.0)
    }

    /// One open edge of a board with an edge length and a contact length; losses are widths in the same
    /// unit.
    fn lone_edge(edge_length: f64, contact_length: f64) -> Self {
        // For the edge alone this map makes u = s², the distance being −(2/π) ln sin(π s²/2).
        let scale = edge_length.max(contact_length);
        let at = |(s, w): (f64, f64)| {
            let angle = 0.5 * PI * s * s;
            let distance = -2.0 / PI * scale * math::log(math::sin(angle));
            let edge = half_plane_share(distance / edge_length);
            let share = both(edge, math::exp(-distance / contact_length));
            (share, w * 2.0 * s * scale / math::tan(angle))
        };
        Self::from_samples(quadrature::unit_interval(PANELS).map(at))
    }

    /// A strip open on both sides; losses are means over it. `width`, `edge_length` (board thickness, above
    /// 0) and `contact_length` (0 for perfect contact) in one unit.
    ///
    /// Edge and contact losses are added point by point up to 1, which is on the safe side.
    pub fn strip(width: f64, edge_length: f64, contact_length: f64) -> Self {
        let width = width.max(0.0);
        if width > LONE_EDGES * edge_length.max(contact_length) {
            return Self::lone_edge(edge_length, contact_length).scaled(2.0 / width);
        }
        // Nodes crowd at the edge, where u has a root singularity.
        let at = |(s, w): (f64, f64)| {
            let from_edge = 0.5 * width * s * s;
            let edge = strip_share((0.5 * width - from_edge) / edge_length, width / edge_length);
            (both(edge, contact::strip_share(from_edge, width, contact_length)), w * 2.0 * s)
        };
        Self::from_samples(quadrature::unit_interval(PANELS).map(at))
    }

    fn from_samples(samples: impl Iterator<Item = (f64, f64)>) -> Self {
        let mut blocks = Vec::new();
        for (i, (share, weight)) in samples.enumerate() {
            if i % LANES == 0 {
                blocks.push(Block::default());
            }
            if let Some(block) = blocks.last_mut() {
                block.share[i % LANES] = share;
                block.weight[i % LANES] = weight;
            }
        }
        Self { blocks }
    }

    /// The same samples with all weights times a factor.
    fn scaled(mut self, factor: f64) -> Self {
        let weights = self.blocks.iter_mut().flat_map(|block| &mut block.weight);
        weights.for_each(|weight| *weight *= factor);
        self
    }

    /// Integral of u: the loss in p² terms.
    pub fn of_squares(&self) -> f64 {
        let of = |b: &Block| (0..LANES).map(|i| b.share[i] * b.weight[i]).sum::<f64>();
        self.blocks.iter().map(of).sum()
    }

    /// Integral of (p − p_z)/(pa − p_z), the loss of vacuum, at `pressure_ratio` r = p_z/pa in 0 to 1.
    pub fn of_vacuum(&self, pressure_ratio: f64) -> f64 {
        let r = pressure_ratio.clamp(LEAST_RATIO, 1.0);
        let (squared, rest) = (r * r, 1.0 - r * r);
        let mut sums = [0.0; LANES];
        for block in &self.blocks {
            for (lane, sum) in sums.iter_mut().enumerate() {
                // (√(r² + u(1−r²)) − r)/(1−r), written without cancellation near r = 1.
                let u = block.share[lane];
                *sum += block.weight[lane] * u / ((squared + u * rest).sqrt() + r);
            }
        }
        (1.0 + r) * sums.iter().sum::<f64>()
    }
}

/// Both losses together.
fn both(edge: f64, contact: f64) -> f64 {
    (edge + contact).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_edge_band_grows_with_vacuum() {
        // Facts 1.4: pressure band for p_z/pa.
        let edge = LossField::edge();
        for (r, band) in
            [(0.2, 0.701), (0.3, 0.634), (0.4, 0.585), (0.5, 0.547), (0.7, 0.493), (0.9, 0.456)]
        {
            assert!((edge.of_vacuum(r) - band).abs() < 6e-4, "r = {r}: {}", edge.of_vacuum(r));
        }
        assert!((edge.of_vacuum(1.0) - EDGE_BAND).abs() < 1e-6);
        assert!(edge.of_vacuum(0.0).is_finite());
    }

    #[test]
    fn strips_match_the_table() {
        // Facts 1.4, table of the strip: mean(1 − u) and retention at r = 0.2, 0.4, 0.7.
        let table = [
            (1.0, 0.3579, 0.2399, 0.2753, 0.3210),
            (2.0, 0.5857, 0.4345, 0.4883, 0.5465),
            (3.0, 0.7096, 0.5683, 0.6249, 0.6776),
            (4.0, 0.7800, 0.6590, 0.7108, 0.7546),
            (6.0, 0.8529, 0.7668, 0.8053, 0.8357),
            (8.0, 0.8897, 0.8247, 0.8539, 0.8767),
            (16.0, 1.0 - 0.8825 / 16.0, 0.9123, 0.9269, 0.9384),
        ];
        for (width, squares, low, middle, high) in table {
            let strip = LossField::strip(width, 1.0, 0.0);
            assert!((1.0 - strip.of_squares() - squares).abs() < 1e-4, "{width}");
            for (r, expected) in [(0.2, low), (0.4, middle), (0.7, high)] {
                let got = 1.0 - strip.of_vacuum(r);
                assert!((got - expected).abs() < 1.01e-4, "{width} {r}: {got}");
            }
        }
    }

    #[test]
    fn narrow_and_wide_strips_join() {
        for (r, contact) in [(0.05, 0.0), (0.4, 0.0), (0.4, 0.4), (0.4, 5.0), (0.9, 1.7)] {
            let width = LONE_EDGES * f64::max(1.0, contact);
            let strip = |width| LossField::strip(width, 1.0, contact).of_vacuum(r);
            let (below, above) = (strip(width), strip(width * (1.0 + 1e-12)));
            assert!((below - above).abs() < 4e-4, "{r} {contact}: {below} {above}");
        }
        assert!((strip_share(3.0, 31.9) - half_plane_share(12.95)).abs() < 1e-8);
        assert_eq!(strip_share(1.0, 2.0), 1.0);
    }

    #[test]
    fn contact_alone_loses_the_closed_form() {
        // Mean u = tanh(a/2λ)/(a/2λ); wide strips lose the contact band at each edge.
        for width in [0.1, 1.0, 4.0, 12.0] {
            let expected = math::tanh(0.5 * width) / (0.5 * width);
            let got = LossField::strip(width, 1e-9, 1.0).of_squares();
            assert!((got - expected).abs() < 1e-3 * expected, "{width}: {got} {expected}");
        }
        for r in [0.05, 0.2, 0.4, 0.7, 0.99] {
            let got = LossField::strip(200.0, 1e-9, 1.0).of_vacuum(r) * 100.0;
            let band = contact::contact_band(r);
            assert!((got / band - 1.0).abs() < 2e-3, "{r}: {got} {band}");
        }
    }

    #[test]
    fn both_losses_together_lie_between_the_larger_and_their_sum() {
        for width in [0.5, 2.0, 6.0, 30.0, 200.0] {
            for contact in [0.1, 0.43, 1.7, 5.0] {
                let loss = |edge, contact| LossField::strip(width, edge, contact).of_vacuum(0.4);
                let (both, edge) = (loss(1.0, contact), loss(1.0, 0.0));
                let alone = loss(1e-9, contact);
                assert!(
                    both >= edge.max(alone) * 0.999,
                    "{width} {contact}: {both} {edge} {alone}"
                );
                assert!(both <= (edge + alone) * 1.001, "{width} {contact}: {both} {edge} {alone}");
                assert!(both <= 1.0 + 1e-9);
            }
        }
    }
}
