//! What lies open on one zone, as a leak.

use super::kerf::{kerf_shape_factor_into_board, kerf_shape_factor_with_skin};
use super::{Board, Layer};
use crate::air::Air;
use crate::flow::Orifice;
use crate::flow::gap::Gap;
use crate::network::Leak;

/// A run of kerfs of the same width and depth on one zone, in sealed sheet unless a skin is given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kerf {
    /// Length open so far, m.
    pub length_m: f64,
    /// Width, m.
    pub width_m: f64,
    /// Depth cut into the board, m; 0 where a skin remains.
    pub into_board_m: f64,
    /// Skin left in the sheet at the bottom of the kerf; `None` for a through-kerf.
    pub skin: Option<Layer>,
}

/// The outer rim of the board beside a zone.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rim {
    /// Length of rim, m; 0 where it is sealed.
    pub length_m: f64,
    /// From the rim to the edge of the plenum, m, above 0.
    pub distance_m: f64,
}

/// A flat edge without seal on a hard table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnsealedEdge {
    /// Length of the edge, m.
    pub length_m: f64,
    /// The gap under it.
    pub gap: Gap,
}

/// Everything on one zone through which air reaches its plenum.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Openings {
    /// Board that nothing covers, m².
    pub bare_area_m2: f64,
    /// Board under porous sheets: area, m², and sheet. Sealed sheets may be left out.
    pub covered: Vec<(f64, Layer)>,
    /// Kerfs that have gone through, or that leave a skin.
    pub kerfs: Vec<Kerf>,
    /// Rims of the board.
    pub rims: Vec<Rim>,
    /// Edges without seal on a hard table.
    pub edges: Vec<UnsealedEdge>,
    /// Uncovered holes of a hard table, and places where a kerf crosses a seal.
    pub holes: Vec<Orifice>,
}

impl Openings {
    /// The whole leak of the zone; without spoilboard only edges and holes leak.
    pub fn leak(&self, board: Option<&Board>, air: &Air) -> Leak {
        let edge = |edge: &UnsealedEdge| edge.length_m * edge.gap.conductance_per_m(air);
        let through_board = board.map_or(0.0, |board| self.conductance(board, air));
        Leak {
            board_kg_s_pa2: through_board + self.edges.iter().map(edge).sum::<f64>(),
            slip_pa: board.map_or(0.0, |board| board.slip_pa),
            orifices: self.holes.clone(),
        }
    }

    /// Leak conductance G through the board, kg/(s Pa²): the leak is G (pa² − p²).
    pub fn conductance(&self, board: &Board, air: &Air) -> f64 {
        let bare = self.bare_area_m2 * board.conductance_per_m2(air);
        let covered = |&(area_m2, sheet): &(f64, Layer)| {
            area_m2 * board.conductance_under_sheet_per_m2(&sheet, air)
        };
        let kerf = |kerf: &Kerf| kerf.length_m * kerf.shape_factor(board) * board.mobility(air);
        let rim = |rim: &Rim| rim.length_m * board.rim_conductance_per_m(rim.distance_m, air);
        bare + self.covered.iter().map(covered).sum::<f64>()
            + self.kerfs.iter().map(kerf).sum::<f64>()
            + self.rims.iter().map(rim).sum::<f64>()
    }
}

impl Kerf {
    /// Shape factor S of this kerf on a board.
    pub fn shape_factor(&self, board: &Board) -> f64 {
        let thickness_m = board.layer.thickness_m;
        match self.skin {
            Some(skin) => kerf_shape_factor_with_skin(self.width_m, &skin, board),
            None => kerf_shape_factor_into_board(
                self.width_m / thickness_m,
                self.into_board_m / thickness_m,
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_rim_leaks_what_the_facts_say() {
        // Facts 1.5: k = 2e-13, t = 18 mm, p_z = 40 kPa: 3.1 m³/h per m at 10 mm, 0.6 at 50 mm.
        let (board, air) = (Board::new(0.018, 2e-13), Air::default());
        for (distance_m, flow) in [(0.010, 3.1), (0.050, 0.6)] {
            let rims = vec![Rim { length_m: 1.0, distance_m }];
            let g = Openings { rims, ..Openings::default() }.conductance(&board, &air);
            let got = air.free_air_m3_h(g * (air.ambient_pa.powi(2) - 40_000.0f64.powi(2)));
            assert!((got - flow).abs() < 0.05, "{distance_m}: {got}");
        }
    }

    #[test]
    fn a_hard_table_leaks_by_edges_and_holes() {
        let air = Air::default();
        let gap = Gap { height_m: 50e-6, path_m: 0.02 };
        let openings = Openings {
            bare_area_m2: 1.0,
            edges: vec![UnsealedEdge { length_m: 2.0, gap }],
            holes: vec![Orifice::round(0.006, 0.61)],
            ..Openings::default()
        };
        let leak = openings.leak(None, &air);
        // Facts 1.5 and T9: 4.430 m³/h per m of edge, 4.125 g/s through the hole.
        let flow = leak.flow(40_000.0, &air).kg_s;
        assert!((air.free_air_m3_h(flow - 4.125e-3) - 8.86).abs() < 0.02, "{flow}");
        assert!(
            openings.leak(Some(&Board::new(0.018, 1e-13)), &air).board_kg_s_pa2
                > leak.board_kg_s_pa2
        );
    }

    #[test]
    fn a_sealed_sheet_over_the_board_adds_nothing() {
        let (board, air) = (Board::new(0.018, 2e-13), Air::default());
        let sealed = Layer { thickness_m: 0.018, permeability_m2: 0.0 };
        let covered = Openings { covered: vec![(1.0, sealed)], ..Openings::default() };
        assert_eq!(covered.conductance(&board, &air), 0.0);
    }
}
