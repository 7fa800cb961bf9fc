//! The contact between one piece and the board at given zone pressures.

use super::shape::PieceShape;
use crate::air::Air;
use crate::board::darcy::mix_squares;
use crate::board::retention::Retention;
use crate::board::{Board, Layer};
use crate::plane::moments::Moments;
use kw_geometry::Vec2;

/// Zones with less than this share of the strongest pull do not count as held edges.
const HELD_SHARE: f64 = 0.01;
/// Pa · mm² in N.
const N_PER_PA_MM2: f64 = 1e-6;

/// How a piece sits on the board, apart from the pressures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grip {
    /// Spoilboard under the piece; `None` for a hard table, where the footprint is the area inside the
    /// seal.
    pub board: Option<Board>,
    /// The sheet where it is porous; `None` for a sealed sheet.
    pub sheet: Option<Layer>,
    /// Gap between piece and board, m.
    pub gap_m: f64,
    /// Coefficient of static friction.
    pub friction: f64,
}

/// A piece prepared for one grip: its losses do not depend on the pressures.
#[derive(Clone, Debug, PartialEq)]
pub struct GrippedPiece<'a> {
    pub(super) shape: &'a PieceShape,
    retention: Retention,
    lost_to_sheet: f64,
    pub(super) friction: f64,
    pub(super) weight_n: f64,
}

impl<'a> GrippedPiece<'a> {
    /// Prepares a piece of a weight (N, at least 0) for a grip.
    pub fn new(shape: &'a PieceShape, weight_n: f64, grip: &Grip) -> Self {
        Self {
            shape,
            retention: grip.board.map_or(Retention::FULL, |board| {
                Retention::new(shape.footprint(), &board, grip.gap_m)
            }),
            lost_to_sheet: match (grip.board, grip.sheet) {
                (Some(board), Some(sheet)) => board.share_lost_to_sheet(&sheet),
                _ => 0.0,
            },
            friction: grip.friction.max(0.0),
            weight_n: weight_n.max(0.0),
        }
    }

    /// The footprint.
    pub fn shape(&self) -> &'a PieceShape {
        self.shape
    }

    /// Contact at these zone pressures (Pa absolute, by zone index; zones left out count as ambient).
    pub fn contact(&self, zone_pa: &[f64], air: &Air) -> Contact<'a> {
        let ambient = air.ambient_pa;
        let weight_n_mm2 = self.weight_n / self.shape.area_mm2;
        let mut sum = Moments::default();
        let mut vacuum_n = 0.0;
        let mut pull_n_mm2 = Vec::with_capacity(self.shape.parts.len());
        for part in &self.shape.parts {
            let zone_pa = part.zone.and_then(|zone| zone_pa.get(zone)).copied().unwrap_or(ambient);
            let vacuum = self.vacuum_pa(zone_pa, ambient) * N_PER_PA_MM2;
            vacuum_n += vacuum * part.moments.area;
            sum += part.moments * (vacuum + weight_n_mm2);
            pull_n_mm2.push(vacuum + weight_n_mm2);
        }
        Contact {
            shape: self.shape,
            vacuum_n,
            weight_n: self.weight_n,
            centre: sum.centre(),
            spread_mm2: sum.spread(),
            pull_n_mm2,
        }
    }

    /// Mean vacuum under the piece over a zone, Pa.
    fn vacuum_pa(&self, zone_pa: f64, ambient: f64) -> f64 {
        // What is no number counts as ambient: no vacuum to rely on.
        let zone_pa = if zone_pa.is_nan() { ambient } else { zone_pa.clamp(0.0, ambient) };
        let under = mix_squares(zone_pa, ambient, self.lost_to_sheet);
        (ambient - under).max(0.0) * self.retention.at(under / ambient)
    }
}

/// Contact forces of a piece. Local coordinates start at the shape's origin.
#[derive(Clone, Debug, PartialEq)]
pub struct Contact<'a> {
    pub(super) shape: &'a PieceShape,
    /// Force of the vacuum, N.
    pub vacuum_n: f64,
    /// Weight, N.
    pub weight_n: f64,
    /// Centre of pressure, local, mm.
    pub(super) centre: Vec2,
    /// Mean of x², y², xy about the centre of pressure, weighted by pressure, mm².
    pub(super) spread_mm2: [f64; 3],
    /// Pull on each part of the shape, N/mm².
    pub(super) pull_n_mm2: Vec<f64>,
}

impl Contact<'_> {
    /// Vacuum and weight together, N.
    pub fn force_n(&self) -> f64 {
        self.vacuum_n + self.weight_n
    }

    /// Centre of pressure, mm, in the coordinates of the outline.
    pub fn centre_mm(&self) -> Vec2 {
        self.shape.origin + self.centre
    }

    /// Corners of the held parts, local.
    pub(super) fn rim(&self) -> impl Iterator<Item = Vec2> + '_ {
        let strongest = self.pull_n_mm2.iter().copied().fold(0.0, f64::max);
        let held = move |pull: f64| pull > 0.0 && pull >= HELD_SHARE * strongest;
        let parts = self.shape.parts.iter().zip(&self.pull_n_mm2);
        parts.filter(move |(_, pull)| held(**pull)).flat_map(|(part, _)| part.rim.iter().copied())
    }
}
