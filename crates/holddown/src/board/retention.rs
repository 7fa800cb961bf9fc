//! How much of the plenum's vacuum pulls on a whole piece: edge and contact losses of its outline.

use super::Board;
use super::contact::{self, contact_band};
use super::loss::LossField;

/// The outline of a piece as the loss estimate sees it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Footprint {
    /// A plain rectangle, sides in m.
    Rectangle {
        /// One side, m.
        a_m: f64,
        /// The other side, m.
        b_m: f64,
    },
    /// Any other outline, holes included in both figures.
    General {
        /// Whole border length, m.
        perimeter_m: f64,
        /// Area, m².
        area_m2: f64,
    },
}

/// Share of plenum vacuum times area that pulls on a piece, for any plenum pressure.
///
/// Rectangle: product over both directions of what a strip of that width keeps; 3-D finite
/// differences show it low (safe) by up to 26 % at 2 t × 2 t and 7 % at 4 t × 4 t. Any other
/// outline: 1 − band · perimeter/area, floored at 0. Losses by board and by contact are added, which
/// is on the safe side. Every edge counts as open board: safe beside a narrow kerf.
#[derive(Clone, Debug, PartialEq)]
pub struct Retention {
    parts: Parts,
}

#[derive(Clone, Debug, PartialEq)]
enum Parts {
    Strips([StripLoss; 2]),
    Bands { edge: LossField, contact_m: f64, perimeter_over_area: f64 },
}

#[derive(Clone, Debug, PartialEq)]
struct StripLoss {
    edge: LossField,
    contact: LossField,
}

impl StripLoss {
    fn new(width_m: f64, board: &Board, gap_m: f64) -> Self {
        Self {
            edge: LossField::strip(width_m / board.edge_length_m()),
            contact: contact::contact_strip(width_m / board.contact_length_m(gap_m)),
        }
    }

    fn kept(&self, pressure_ratio: f64) -> f64 {
        let lost = self.edge.of_vacuum(pressure_ratio) + self.contact.of_vacuum(pressure_ratio);
        (1.0 - lost).clamp(0.0, 1.0)
    }
}

impl Retention {
    /// Prepares the estimate for one piece on a board with a contact gap (m, 0 for perfect).
    ///
    /// Zero or negative sizes keep nothing.
    pub fn new(footprint: Footprint, board: &Board, gap_m: f64) -> Self {
        let parts = match footprint {
            Footprint::Rectangle { a_m, b_m } => Parts::Strips(
                [a_m, b_m].map(|width_m| StripLoss::new(width_m.max(0.0), board, gap_m)),
            ),
            Footprint::General { perimeter_m, area_m2 } => Parts::Bands {
                edge: LossField::edge().scaled(board.edge_length_m()),
                contact_m: board.contact_length_m(gap_m),
                perimeter_over_area: if area_m2 > 0.0 {
                    perimeter_m / area_m2
                } else {
                    f64::INFINITY
                },
            },
        };
        Self { parts }
    }

    /// Share kept, 0 to 1, at r = (pressure far from the edges)/ambient.
    pub fn at(&self, pressure_ratio: f64) -> f64 {
        match &self.parts {
            Parts::Strips(strips) => strips.iter().map(|s| s.kept(pressure_ratio)).product(),
            Parts::Bands { edge, contact_m, perimeter_over_area } => {
                let band_m =
                    edge.of_vacuum(pressure_ratio) + contact_m * contact_band(pressure_ratio);
                let lost = band_m * perimeter_over_area;
                if lost.is_nan() { 0.0 } else { (1.0 - lost).clamp(0.0, 1.0) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(a_over_t: f64, b_over_t: f64) -> f64 {
        let board = Board::new(0.018, 2e-13);
        let footprint = Footprint::Rectangle { a_m: a_over_t * 0.018, b_m: b_over_t * 0.018 };
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
    fn bigger_keeps_more_and_a_gap_keeps_less() {
        let board = Board::new(0.018, 2e-13);
        let mut last = 0.0;
        for step in 1..60 {
            let a_m = 0.01 * f64::from(step);
            let at = |gap_m| {
                Retention::new(Footprint::Rectangle { a_m, b_m: 0.2 }, &board, gap_m).at(0.4)
            };
            assert!(at(0.0) > last && at(0.0) <= 1.0, "{a_m}");
            assert!(at(20e-6) <= at(0.0) && at(50e-6) <= at(20e-6));
            last = at(0.0);
        }
    }

    #[test]
    fn a_large_outline_agrees_with_its_rectangle() {
        let board = Board::new(0.018, 2e-13);
        let general = Footprint::General { perimeter_m: 4.0, area_m2: 1.0 };
        let square = Footprint::Rectangle { a_m: 1.0, b_m: 1.0 };
        for gap_m in [0.0, 20e-6] {
            let of = |f| Retention::new(f, &board, gap_m).at(0.4);
            assert!(of(general) < of(square) && of(square) - of(general) < 2e-3);
        }
        let nothing = Footprint::General { perimeter_m: 0.0, area_m2: 0.0 };
        assert_eq!(Retention::new(nothing, &board, 0.0).at(0.4), 0.0);
        assert_eq!(
            Retention::new(Footprint::Rectangle { a_m: 0.0, b_m: 1.0 }, &board, 0.0).at(0.4),
            0.0
        );
    }
}
