//! The sweep: every move of a toolpath across the cells of the sheet.

use crate::bins::{Binner, Bins, Tiling, Wanted};
use crate::columns::{self, Columns};
use crate::cutting::{Sink, sweep_leg};
use crate::engagement;
use crate::grid::MapError;
use crate::leg::Leg;
use crate::map::DepthMap;
use crate::moves::MoveColumns;
use crate::rig::{GapReason, Rig, RigTool};
use crate::scaled::Contour;
use crate::setup::StockSetup;
use crate::span::RowTable;
use crate::tile::{BLOCK, CellSpan, Lower, Side, TILE, Tally, Tile};
use kw_geometry::Vec2;
use kw_nc::toolpath::Toolpath;
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
    /// How it was swept.
    pub options: SweepOptions,
}

impl Stock {
    /// Number of moves that were swept.
    pub(crate) fn end_move(&self, path: &Toolpath) -> usize {
        self.options.end_move.map_or(path.len(), |end| (end as usize).min(path.len()))
    }
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
    let mut map =
        DepthMap::uncut(setup, options.step_mm, options.through_tolerance_mm, options.max_cells)?;
    let rig = Rig::new(path, setup, &map, options.chord_tolerance_mm);
    let end = options.end_move.map_or(path.len(), |end| (end as usize).min(path.len()));
    let context = Columns { path, rig: &rig, options, thickness_mm: setup.thickness_mm };
    let (mut moves, gaps) = columns::without_removal(&context, end);
    let wanted = Wanted { least_depth: 0.5, margin: 0.0 };
    let binner = Binner { path, rig: &rig, wanted, tiling: Tiling::of(&map) };
    let contact = (options.contact_tolerance_mm / map.depth_step_mm) as i16;
    let mut visited = 0;
    binner.batches(0..end, |bins| {
        let work = TileWork { path, rig: &rig, through_depth: map.through_depth, contact };
        let tallies = work.batch(&mut map, bins);
        visited += columns::add(&context, &mut moves, bins.moves.clone(), &tallies);
    });
    engagement::average(&mut moves, path, &rig, options.engagement_window_mm);
    Ok(Stock { map, moves, gaps, cells_visited: visited, options: *options })
}

/// What every tile needs.
struct TileWork<'a> {
    path: &'a Toolpath,
    rig: &'a Rig,
    through_depth: i16,
    contact: i16,
}

impl TileWork<'_> {
    /// Sweeps a batch: tiles side by side, in each tile its moves in program order.
    fn batch(&self, map: &mut DepthMap, bins: &Bins) -> Vec<Vec<(u32, Tally)>> {
        let tile_columns = map.tile_columns;
        let with_moves = map.tiles.iter_mut().enumerate();
        let mut tiles: Vec<(usize, &mut Tile)> =
            with_moves.filter(|(index, _)| !bins.of_tile(*index).is_empty()).collect();
        tiles
            .par_iter_mut()
            .with_max_len(1)
            .map(|(index, tile)| {
                let (column, row) = (*index % tile_columns, *index / tile_columns);
                let corner = Vec2::new((column * TILE) as f64, (row * TILE) as f64);
                self.tile(tile, corner, bins.of_tile(*index))
            })
            .collect()
    }

    fn tile(&self, tile: &mut Tile, corner: Vec2, entries: &[u32]) -> Vec<(u32, Tally)> {
        tile.open();
        let mut tallies = Vec::with_capacity(entries.len());
        let mut legs = Vec::new();
        let mut table = RowTable::new();
        let mut lower =
            Lower { tile, through_depth: self.through_depth, mark: 0, tally: Tally::default() };
        for &index in entries {
            let Some(tool) = self.rig.legs(self.path, index as usize, &mut legs) else { continue };
            lower.mark = index + 1;
            lower.tally = Tally::default();
            let mut starts_cut = self.rig.starts_cut(self.path, index as usize);
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
