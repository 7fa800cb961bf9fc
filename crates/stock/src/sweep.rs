//! The sweep: every move of a toolpath across the cells of the sheet.

use crate::bins::{Wanted, batches, bin};
use crate::cutting::{Sink, sweep_leg, whole_depth};
use crate::engagement;
use crate::grid::MapError;
use crate::leg::Leg;
use crate::map::DepthMap;
use crate::moves::{MoveColumns, MoveFlags, Tallies};
use crate::rig::{GapReason, HOLDER_BIT, Rig, RigTool, SHANK_BIT};
use crate::scaled::Contour;
use crate::setup::StockSetup;
use crate::span::RowTable;
use crate::tile::{BLOCK, CellSpan, Lower, Side, TILE, Tally, Tile};
use kw_geometry::Vec2;
use kw_nc::toolpath::{Move, MoveKind, Toolpath};
use rayon::prelude::*;

/// How the sweep is done.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SweepOptions {
    /// Side of a cell, mm; 0.1 to 2 is sensible.
    pub step_mm: f64,
    /// How much less than the thickness counts as cut through, mm.
    pub through_tolerance_mm: f64,
    /// Largest distance between a chord and the arc it stands for, mm; only arcs outside the XY
    /// plane, spirals, and helices of tools that are not flat become chords.
    pub chord_tolerance_mm: f64,
    /// Bite above which a rapid, shank or holder counts as touching, mm.
    pub contact_tolerance_mm: f64,
    /// Way over which engagement is averaged for shorter moves, mm.
    pub engagement_window_mm: f64,
    /// Most cells a map may have (about 10 bytes each where the sheet is cut).
    pub max_cells: u64,
    /// Only the moves before this one are swept; all if `None`.
    pub end_move: Option<u32>,
}

impl Default for SweepOptions {
    /// Our choices. Tolerances: a fibre of 0.05 mm does not hold a part (common practice, no
    /// source); contact above rounding of programs written with two decimals.
    fn default() -> Self {
        Self {
            step_mm: 0.5,
            through_tolerance_mm: 0.05,
            chord_tolerance_mm: 0.002,
            contact_tolerance_mm: 0.02,
            engagement_window_mm: 2.0,
            max_cells: 64_000_000,
            end_move: None,
        }
    }
}

/// What a toolpath makes of a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// The sheet afterwards.
    pub map: DepthMap,
    /// What each move did.
    pub moves: MoveColumns,
    /// Moves that could not be swept, by reason.
    pub gaps: Vec<SweepGap>,
    /// Cells visited, counted once for every move that visits them.
    pub cells_visited: u64,
}

/// Moves that could not be swept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SweepGap {
    /// Why.
    pub reason: GapReason,
    /// First such move.
    pub first_move: u32,
    /// Number of such moves.
    pub moves: u32,
}

/// Sweeps a toolpath across a sheet.
///
/// Lines, arcs and flat-tool helices in XY are exact: a cell is cut as deep as the tool reaches at
/// its centre, rounded to the map's depth step. Same result for any number of threads. Knives are
/// followed at their pivot. Errors: the map cannot be made.
pub fn sweep(
    path: &Toolpath,
    setup: &StockSetup,
    options: &SweepOptions,
) -> Result<Stock, MapError> {
    let map =
        DepthMap::uncut(setup, options.step_mm, options.through_tolerance_mm, options.max_cells)?;
    let rig = Rig::new(path, setup, &map, options.chord_tolerance_mm);
    let end = options.end_move.map_or(path.len(), |end| (end as usize).min(path.len()));
    let mut sweeper = Sweeper { path, rig, map, end, options, visited: 0 };
    let mut moves = engagement::columns_without_removal(path, setup, &sweeper.rig, end);
    let gaps = engagement::gaps(path, &sweeper.rig, end, &mut moves);
    let wanted = Wanted { least_depth: 0.5, margin: 0.0 };
    for batch in batches(path, &sweeper.map, &sweeper.rig, 0..end, wanted) {
        let tallies = sweeper.batch(batch, wanted);
        engagement::add_tallies(&mut moves, &sweeper.map, &tallies, path, &sweeper.rig, options);
    }
    engagement::average(&mut moves, path, &sweeper.rig, options.engagement_window_mm);
    Ok(Stock { map: sweeper.map, moves, gaps, cells_visited: sweeper.visited })
}

struct Sweeper<'a> {
    path: &'a Toolpath,
    rig: Rig,
    map: DepthMap,
    end: usize,
    options: &'a SweepOptions,
    visited: u64,
}

impl Sweeper<'_> {
    /// Sweeps a batch: tiles side by side, in each tile its moves in program order.
    fn batch(&mut self, moves: std::ops::Range<usize>, wanted: Wanted) -> Tallies {
        debug_assert!(moves.end <= self.end);
        let bins = bin(self.path, &self.map, &self.rig, moves, wanted);
        let work = TileWork {
            path: self.path,
            rig: &self.rig,
            through_depth: self.map.through_depth,
            contact: (self.options.contact_tolerance_mm / self.map.depth_step_mm) as i16,
        };
        let tile_columns = self.map.tile_columns;
        let mut tiles: Vec<(usize, &mut Tile, &[u32])> = self
            .map
            .tiles
            .iter_mut()
            .enumerate()
            .map(|(index, tile)| (index, tile, bins.of_tile(index)))
            .filter(|(_, _, entries)| !entries.is_empty())
            .collect();
        let tallies: Vec<Vec<(u32, Tally)>> = tiles
            .par_iter_mut()
            .with_max_len(1)
            .map(|(index, tile, entries)| {
                let (column, row) = (*index % tile_columns, *index / tile_columns);
                let corner = Vec2::new((column * TILE) as f64, (row * TILE) as f64);
                work.tile(tile, corner, entries)
            })
            .collect();
        let mut sums = Tallies::new(bins.moves.clone());
        for (move_index, tally) in tallies.iter().flatten() {
            self.visited += u64::from(tally.visited);
            sums.add(*move_index, tally);
        }
        sums
    }
}

/// What every tile needs.
struct TileWork<'a> {
    path: &'a Toolpath,
    rig: &'a Rig,
    through_depth: i16,
    contact: i16,
}

impl TileWork<'_> {
    fn tile(&self, tile: &mut Tile, corner: Vec2, entries: &[u32]) -> Vec<(u32, Tally)> {
        tile.open();
        let mut tallies = Vec::with_capacity(entries.len());
        let mut legs = Vec::new();
        let mut table = RowTable::new();
        let mut lower =
            Lower { tile, through_depth: self.through_depth, mark: 0, tally: Tally::default() };
        for &index in entries {
            let m = self.path.get(index as usize);
            let Some(tool) = self.rig.legs(&m, &mut legs) else { continue };
            lower.mark = index + 1;
            lower.tally = Tally::default();
            let mut starts_cut = self.rig.starts_cut(self.path, index as usize, 0);
            for leg in &legs {
                let leg = leg.relative_to(corner);
                if legs.len() == 1 || near_tile(&leg, tool.reach(leg.deepest())) {
                    sweep_leg(&mut lower, &mut table, &leg, &tool.contour, starts_cut);
                    lower.tally.contact |= self.body_contact(lower.tile, &mut table, &leg, tool);
                }
                starts_cut = true;
            }
            if lower.tally.visited > 0 || lower.tally.contact > 0 {
                tallies.push((index, lower.tally));
            }
        }
        tallies
    }

    /// Bits of the body parts that would lower cells if they cut.
    fn body_contact(&self, tile: &Tile, table: &mut RowTable, leg: &Leg, tool: &RigTool) -> u8 {
        let mut bits = 0;
        for body in tool.bodies_below(leg.deepest()) {
            let depth = leg.depth.map(|depth| depth - body.from);
            let mut probe = Probe { tile, slack: self.contact, touched: false };
            let contour = Contour::flat(body.contour_radius);
            sweep_leg(&mut probe, table, &Leg { depth, ..*leg }, &contour, false);
            bits |= if probe.touched { body.bit } else { 0 };
        }
        bits
    }
}

fn near_tile(leg: &Leg, reach: f64) -> bool {
    let (low, high) = leg.extent();
    let last = TILE as f64;
    low.x - reach <= last && low.y - reach <= last && high.x + reach >= 0.0 && high.y + reach >= 0.0
}

/// Says whether cells stand higher than a body passes.
struct Probe<'a> {
    tile: &'a Tile,
    slack: i16,
    touched: bool,
}

impl Sink for Probe<'_> {
    fn level(&mut self, span: CellSpan, _: Side, depth: i16) {
        let cells = &self.tile.depth_row(span.row)[span.start..span.end];
        let limit = depth.saturating_sub(self.slack);
        self.touched |= cells.iter().any(|&cell| cell < limit);
    }

    fn block(&mut self, at: usize, depths: &[i16; BLOCK], _: &[i16; BLOCK]) {
        let cells = &self.tile.depth_row(at / TILE)[at % TILE..at % TILE + BLOCK];
        let mut pairs = cells.iter().zip(depths);
        self.touched |= pairs.any(|(&cell, &d)| cell < d.saturating_sub(self.slack));
    }
}

/// Bits of a tally's contacts as flags.
pub(crate) fn contact_flags(contact: u8, flags: &mut MoveFlags) {
    flags.set(MoveFlags::SHANK_TOUCHES, contact & SHANK_BIT > 0);
    flags.set(MoveFlags::HOLDER_TOUCHES, contact & HOLDER_BIT > 0);
}

/// Lowest tip depth of a move, depth steps.
pub(crate) fn deepest_tip(m: &Move<'_>, top_z_mm: f64, depth_step_mm: f64) -> f64 {
    let lowest = match m.kind {
        MoveKind::Arc => m.tip_bounds().min.z,
        _ => m.tip_from_mm().z.min(m.tip_to_mm().z),
    };
    (top_z_mm - lowest) / depth_step_mm
}

/// Whether a depth cuts at all.
pub(crate) fn is_below_top(depth: f64) -> bool {
    whole_depth(depth) > 0
}
