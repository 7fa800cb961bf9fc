//! How much of the plenum's vacuum pulls on a whole piece: edge and contact losses of its outline.

use super::Board;
use super::loss::LossField;

/// The outline of a piece as the loss estimate sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Footprint {
    /// Whole border length, holes included, m.
    pub perimeter_m: f64,
    /// Area without holes, m².
    pub area_m2: f64,
}

impl Footprint {
    /// A rectangle with these sides, m.
    pub fn rectangle(a_m: f64, b_m: f64) -> Self {
        Self { perimeter_m: 2.0 * (a_m + b_m), area_m2: a_m * b_m }
    }

    /// Sides of the rectangle with this perimeter and area; of the square with this ratio of
    /// perimeter to area for outlines rounder than a square. Zero if there is no area.
    pub fn equal_rectangle_m(&self) -> [f64; 2] {
        let (half, area) = (0.5 * self.perimeter_m, self.area_m2);
        if area.is_nan() || half.is_nan() || area <= 0.0 || half <= 0.0 {
            return [0.0; 2];
        }
        let square = half * half - 4.0 * area;
        if square <= 0.0 {
            return [2.0 * area / half; 2];
        }
        let long = 0.5 * (half + square.sqrt());
        [long, area / long]
    }
}

/// Share of plenum vacuum times area that pulls on a piece, for any plenum pressure.
///
/// Product over both directions of what a strip as wide as the piece keeps, for a rectangle with the
/// piece's perimeter and area. 3-D finite differences (tests/reference) show it low, which is safe, for
/// rectangles, discs, angles, rings and triangles: by 26 % at 2 t × 2 t, 7 % at 4 t × 4 t, 2 % for a
/// wide frame. Losses by board and by contact are added, again on the
/// safe side. Every edge counts as open
/// board: at most 4 points too low beside a narrow kerf.
#[derive(Clone, Debug, PartialEq)]
pub struct Retention {
    /// `None` where nothing is lost.
    strips: Option<[LossField; 2]>,
}

impl Retention {
    /// All of the vacuum: a hard table inside its seal.
    pub const FULL: Self = Self { strips: None };

    /// Prepares the estimate for one piece on a board with a contact gap (m, 0 for perfect).
    ///
    /// Without area it keeps nothing.
    pub fn new(footprint: Footprint, board: &Board, gap_m: f64) -> Self {
        let (edge, contact) = (board.edge_length_m(), board.contact_length_m(gap_m));
        let sides = footprint.equal_rectangle_m();
        Self { strips: Some(sides.map(|width_m| LossField::strip(width_m, edge, contact))) }
    }

    /// Share kept, 0 to 1, at r = (pressure far from the edges)/ambient.
    pub fn at(&self, pressure_ratio: f64) -> f64 {
        let kept = |strip: &LossField| {
            let kept = 1.0 - strip.of_vacuum(pressure_ratio);
            // What is no number keeps nothing.
            if kept > 0.0 { kept.min(1.0) } else { 0.0 }
        };
        self.strips.iter().flatten().map(kept).product()
    }
}

#[cfg(test)]
mod tests {
    use super::super::contact::contact_band;
    use super::*;

    fn rectangle(a_over_t: f64, b_over_t: f64) -> f64 {
        let board = Board::new(0.018, 2e-13);
        let footprint = Footprint::rectangle(a_over_t * 0.018, b_over_t * 0.018);
        Retention::new(footprint, &board, 0.0).at(0.4)
    }

    #[test]
    fn rectangles_stay_below_finite_differences() {
        // Facts 1.4: (a/t, b/t, product, 3-D finite differences) at r = 0.4.
        let cases = [
            (2.0, 2.0, 0.238, 0.323),
            (3.0, 3.0, 0.391, 0.450),
            (4.0, 4.0, 0.505, 0.545),
            (2.5, 5.0, 0.433, 0.467),
            (2.0, 6.0, 0.393, 0.431),
        ];
        for (a, b, product, exact) in cases {
            let got = rectangle(a, b);
            assert!((got - product).abs() < 6e-4, "{a} x {b}: {got}");
            assert!(got < exact);
        }
    }

    #[test]
    fn a_rectangle_is_its_own_equal() {
        for (a, b) in [(1.0, 1.0), (0.4, 0.1), (3.0, 0.002)] {
            let [long, short] = Footprint::rectangle(a, b).equal_rectangle_m();
            assert!((long - a).abs() < 1e-9 * a && (short - b).abs() < 1e-9 * b, "{a} {b}");
        }
        use kw_base::math::PI;
        let disc = Footprint { perimeter_m: PI, area_m2: 0.25 * PI };
        assert!((disc.equal_rectangle_m()[0] - 1.0).abs() < 1e-8);
    }

    #[test]
    fn bigger_keeps_more_and_a_gap_keeps_less() {
        let board = Board::new(0.018, 2e-13);
        let mut last = 0.0;
        for step in 1..60 {
            let a_m = 0.01 * f64::from(step);
            let at = |gap_m| Retention::new(Footprint::rectangle(a_m, 0.2), &board, gap_m).at(0.4);
            assert!(at(0.0) > last && at(0.0) <= 1.0, "{a_m}");
            assert!(at(20e-6) <= at(0.0) && at(50e-6) <= at(20e-6));
            last = at(0.0);
        }
    }

    #[test]
    fn a_large_piece_loses_a_band_along_its_border() {
        // General outline of facts 1.4: 1 − band · perimeter/area.
        let board = Board::new(0.018, 2e-13);
        for gap_m in [0.0, 20e-6] {
            let edge = LossField::edge().of_vacuum(0.4) * 0.018;
            let contact = board.contact_length_m(gap_m) * contact_band(0.4);
            let simple = 1.0 - (edge + contact) * 4.0;
            let got = Retention::new(Footprint::rectangle(1.0, 1.0), &board, gap_m).at(0.4);
            assert!(simple < got && got - simple < 0.02, "{simple} {got}");
        }
    }

    #[test]
    fn nothing_keeps_nothing() {
        let board = Board::new(0.018, 2e-13);
        for (perimeter_m, area_m2) in [(0.0, 0.0), (1.0, 0.0), (f64::NAN, 1.0)] {
            let footprint = Footprint { perimeter_m, area_m2 };
            assert_eq!(Retention::new(footprint, &board, 20e-6).at(0.4), 0.0);
        }
    }
}
