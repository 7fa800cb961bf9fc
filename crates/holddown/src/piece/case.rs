//! The ends of what is not known: friction, permeability, contact gap and force.

use super::anchor::Anchor;
use super::contact::{Grip, GrippedPiece};
use super::shape::PieceShape;
use super::verdict::{Load, Margin, TwistMemo};
use crate::air::Air;
use crate::board::{Board, Layer};
use kw_base::Band;

/// What is known only within a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldRanges {
    /// Coefficient of static friction between sheet and board.
    pub friction: Band,
    /// Permeability of the board, m².
    pub permeability_m2: Band,
    /// Gap between piece and board, m.
    pub gap_m: Band,
    /// Factor on all cutting forces.
    pub force_factor: Band,
}

/// One combination of values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Case {
    /// Coefficient of static friction.
    pub friction: f64,
    /// Permeability of the board, m².
    pub permeability_m2: f64,
    /// Gap between piece and board, m.
    pub gap_m: f64,
    /// Factor on all cutting forces.
    pub force_factor: f64,
}

/// Number of cases a piece is judged by.
pub const CASES: usize = 3;

// Bounds far outside any workshop, to catch wrong units.
const FRICTION_RANGE: (f64, f64) = (0.0, 2.0);
const PERMEABILITY_RANGE_M2: (f64, f64) = (0.0, 1e-9);
const GAP_RANGE_M: (f64, f64) = (0.0, 0.005);
const FACTOR_RANGE: (f64, f64) = (0.0, 100.0);

/// A band that cannot be meant.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[error("{what} runs from {} over {} to {}; it must rise, between {low} and {high}: check order and unit", band.low, band.likely, band.high)]
pub struct RangeFault {
    /// Which figure, with unit.
    pub what: &'static str,
    /// Band given.
    pub band: Band,
    /// Smallest value taken.
    pub low: f64,
    /// Largest value taken.
    pub high: f64,
}

impl HoldRanges {
    /// The first band that cannot be used, if any.
    pub fn fault(&self) -> Option<RangeFault> {
        let all = [
            ("friction", self.friction, FRICTION_RANGE),
            ("permeability in m²", self.permeability_m2, PERMEABILITY_RANGE_M2),
            ("contact gap in m", self.gap_m, GAP_RANGE_M),
            ("force factor", self.force_factor, FACTOR_RANGE),
        ];
        let bad = |&(_, band, (low, high)): &(&str, Band, (f64, f64))| {
            !band.is_ordered() || band.low < low || band.high > high
        };
        let (what, band, (low, high)) = all.into_iter().find(bad)?;
        Some(RangeFault { what, band, low, high })
    }

    /// The likely case, then the two that bound the unfavourable end: low friction, wide gap and high force
    /// on a tight and on a leaky board. Which of these is worse depends on the piece: a leaky board
    /// lowers the vacuum of the zones, a tight one lets a gap reach further under the piece. The
    /// network must be solved for the permeability of each.
    pub fn cases(&self) -> [Case; CASES] {
        let bad = |permeability_m2| Case {
            friction: self.friction.low,
            permeability_m2,
            gap_m: self.gap_m.high,
            force_factor: self.force_factor.high,
        };
        let likely = Case {
            friction: self.friction.likely,
            permeability_m2: self.permeability_m2.likely,
            gap_m: self.gap_m.likely,
            force_factor: self.force_factor.likely,
        };
        [likely, bad(self.permeability_m2.low), bad(self.permeability_m2.high)]
    }
}

/// What lies under a piece, the same in all cases; the board's permeability comes from the case.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bed {
    /// Spoilboard; `None` for a hard table.
    pub board: Option<Board>,
    /// The sheet where it is porous; `None` for a sealed sheet.
    pub sheet: Option<Layer>,
}

impl Bed {
    /// The board with the permeability of a case.
    pub fn board_in(&self, case: &Case) -> Option<Board> {
        self.board.map(|mut board| {
            board.layer.permeability_m2 = case.permeability_m2;
            board
        })
    }
}

/// A piece prepared for all cases.
#[derive(Clone, Debug, PartialEq)]
pub struct RangedPiece<'a> {
    grips: [GrippedPiece<'a>; CASES],
    force_factors: [f64; CASES],
}

/// Margins at both ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Verdict {
    /// At the unfavourable end: the one to go by.
    pub unfavourable: Margin,
    /// With likely values.
    pub likely: Margin,
}

/// What a margin says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Outlook {
    /// Below 1 even with likely values.
    Moves,
    /// Below the margin asked for at the unfavourable end.
    AtRisk,
    /// At or above the margin asked for at the unfavourable end.
    Holds,
}

/// Margin to ask for at the unfavourable end. Common practice, no source; vacuum lifters hold twice their
/// load (EN 13155, from memory).
pub const USUAL_MARGIN: f64 = 2.0;

impl Verdict {
    /// The outlook for a margin asked for.
    pub fn outlook(&self, asked: f64) -> Outlook {
        if self.likely.value < 1.0 {
            Outlook::Moves
        } else if self.unfavourable.value < asked {
            Outlook::AtRisk
        } else {
            Outlook::Holds
        }
    }
}

impl<'a> RangedPiece<'a> {
    /// Prepares a piece of a weight (N) for all cases.
    pub fn new(shape: &'a PieceShape, weight_n: f64, bed: &Bed, ranges: &HoldRanges) -> Self {
        let cases = ranges.cases();
        let grip = |case: Case| {
            let (board, friction) = (bed.board_in(&case), case.friction);
            let grip = Grip { board, sheet: bed.sheet, gap_m: case.gap_m, friction };
            GrippedPiece::new(shape, weight_n, &grip)
        };
        Self { grips: cases.map(grip), force_factors: cases.map(|case| case.force_factor) }
    }

    /// The piece in one case, by its place in [`HoldRanges::cases`].
    pub fn in_case(&self, case: usize) -> Option<&GrippedPiece<'a>> {
        self.grips.get(case)
    }

    /// The footprint.
    pub fn shape(&self) -> &'a PieceShape {
        self.grips[0].shape()
    }

    /// A margin that the unfavourable end cannot exceed with this force of vacuum (N): all of it pulls, and
    /// nothing turns or tips.
    pub(crate) fn largest_margin(&self, vacuum_n: f64, loads: &[Load]) -> f64 {
        let of =
            |(grip, &factor): (&GrippedPiece, &f64)| grip.largest_margin(vacuum_n, loads, factor);
        self.grips.iter().zip(&self.force_factors).map(of).fold(f64::INFINITY, f64::min)
    }

    /// Judges the piece against its loads. `zone_pa` holds the zone pressures of each case, Pa.
    ///
    /// `memo` belongs to this piece. Without loads both margins are infinite.
    pub fn judge(
        &self,
        zone_pa: [&[f64]; CASES],
        air: &Air,
        loads: Loads,
        memo: &mut TwistMemo,
    ) -> Verdict {
        let mut margins = (0..CASES).map(|case| {
            let grip = &self.grips[case];
            let contact = grip.contact(zone_pa[case], air);
            grip.worst(&contact, (loads.loads, self.force_factors[case]), loads.anchors, memo)
        });
        let first = margins.next();
        let worst = margins.chain(first).reduce(|a, b| if b.value < a.value { b } else { a });
        let nothing = Margin::NOTHING;
        Verdict { unfavourable: worst.unwrap_or(nothing), likely: first.unwrap_or(nothing) }
    }
}

/// Loads on a piece at one moment and what still ties it to the sheet.
#[derive(Clone, Copy, Debug)]
pub struct Loads<'a> {
    /// Loads, judged one by one.
    pub loads: &'a [Load],
    /// Tabs, skin, uncut contour; empty for a free piece.
    pub anchors: &'a [Anchor],
}
