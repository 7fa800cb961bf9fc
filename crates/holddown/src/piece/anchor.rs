//! What still ties a piece to the sheet: tabs, a skin, contour not yet cut.

use kw_geometry::Vec2;

/// Shear strength assumed across a tab or skin of panel, N/mm². Judgement, no source: a quarter of the 20
/// N/mm² bending strength of MDF 12–19 mm (EN 622-5, from memory), far above its 0.55 N/mm² internal
/// bond, which governs flat pulls and is not met in shear across the board.
pub const PANEL_SHEAR_N_MM2: f64 = 5.0;

/// Longest piece of an uncut line taken as one point, mm.
const LINE_STEP_MM: f64 = 20.0;
/// Most points of one uncut line; longer ones get longer pieces.
const MOST_POINTS: usize = 64;

/// A point at which the piece is still joined, with the force the joint takes in any direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Anchor {
    /// Where, mm.
    pub at_mm: Vec2,
    /// Force, N.
    pub force_n: f64,
}

impl Anchor {
    /// A tab: shear strength (N/mm²) times width times height (mm).
    pub fn tab(at_mm: Vec2, width_mm: f64, height_mm: f64, shear_n_mm2: f64) -> Self {
        Self { at_mm, force_n: (shear_n_mm2 * width_mm * height_mm).max(0.0) }
    }

    /// An uncut stretch of contour (sheet thickness) or a skin along it (its own thickness), as points
    /// along the line. Nothing for a line without length.
    pub fn along(line: &[Vec2], thickness_mm: f64, shear_n_mm2: f64) -> Vec<Self> {
        let length: f64 = line.windows(2).map(|w| w[0].distance(w[1])).sum();
        if length.is_nan() || length <= 0.0 {
            return Vec::new();
        }
        let count = ((length / LINE_STEP_MM).ceil() as usize).clamp(1, MOST_POINTS);
        let force_n = (shear_n_mm2 * thickness_mm * length / count as f64).max(0.0);
        (0..count)
            .map(|i| Self {
                at_mm: point_along(line, length * (i as f64 + 0.5) / count as f64),
                force_n,
            })
            .collect()
    }
}

fn point_along(line: &[Vec2], mut distance: f64) -> Vec2 {
    for side in line.windows(2) {
        let length = side[0].distance(side[1]);
        if distance <= length && length > 0.0 {
            return side[0] + (side[1] - side[0]) * (distance / length);
        }
        distance -= length;
    }
    line.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tab_of_the_facts_takes_75_newtons() {
        // Facts 3.2, criterion 4: 5 × 3 mm at 5 N/mm².
        let tab = Anchor::tab(Vec2::default(), 5.0, 3.0, PANEL_SHEAR_N_MM2);
        assert_eq!(tab.force_n, 75.0);
    }

    #[test]
    fn an_uncut_line_is_shared_out_evenly() {
        let line = [Vec2::new(0.0, 0.0), Vec2::new(30.0, 0.0), Vec2::new(30.0, 60.0)];
        let anchors = Anchor::along(&line, 0.5, 5.0);
        let total: f64 = anchors.iter().map(|anchor| anchor.force_n).sum();
        assert!((total - 0.5 * 5.0 * 90.0).abs() < 1e-9);
        assert_eq!(anchors.len(), 5);
        assert!(anchors[2].at_mm.distance(Vec2::new(30.0, 15.0)) < 1e-9);
        assert!(Anchor::along(&line[..1], 1.0, 1.0).is_empty());
        let long = [Vec2::new(0.0, 0.0), Vec2::new(1e6, 0.0)];
        assert_eq!(Anchor::along(&long, 1.0, 1.0).len(), 64);
    }
}
