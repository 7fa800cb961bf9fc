//! Moves that come back to a piece after it is loose.

use crate::bins::{Binner, Tiling, Wanted};
use crate::leg::Leg;
use crate::pieces::{Piece, PieceClass};
use crate::rig::Rig;
use crate::runs::Runs;
use crate::span::{ArcBand, Interval, Stadium};
use crate::sweep::Stock;
use crate::tile::TILE;
use kw_geometry::Vec2;
use kw_nc::toolpath::Toolpath;
use rayon::prelude::*;

/// Moves in a row that touch a loose piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Touch {
    /// First move.
    pub first_move: u32,
    /// Last move.
    pub last_move: u32,
    /// Whether the tool runs over the piece itself; else it only passes along its edge, within one
    /// cell.
    pub over: bool,
}

/// Cells beside the tool that still count as touching: the border of a piece lies up to one cell
/// from the centre of its outermost cells.
const BESIDE_CELLS: f64 = 1.0;

/// Adds to each loose piece the moves that touch it afterwards, below the sheet's upper face.
pub(crate) fn touches(
    pieces: &mut [Piece],
    runs: &Runs,
    piece_of_runs: &[Option<u32>],
    path: &Toolpath,
    rig: &Rig,
    stock: &Stock,
) {
    let loose_since: Vec<Option<u32>> = pieces.iter().map(loose_since).collect();
    let Some(first) = loose_since.iter().flatten().min() else { return };
    let search = Search { runs, piece_of_runs, loose_since: &loose_since, path, rig };
    let loose_by_tile = search.loose_by_tile(stock);
    let wanted = Wanted { least_depth: 0.5, margin: BESIDE_CELLS + 0.5 };
    let binner = Binner { path, rig, wanted, tiling: Tiling::of(&stock.map) };
    let mut found: Vec<Found> = Vec::new();
    binner.batches(*first as usize + 1..stock.end_move(path), |bins| {
        let lists: Vec<Vec<Found>> = loose_by_tile
            .par_iter()
            .enumerate()
            .with_max_len(1)
            .map(|(index, &since)| {
                let (row, column) =
                    (index / stock.map.tile_columns, index % stock.map.tile_columns);
                let corner = Vec2::new((column * TILE) as f64, (row * TILE) as f64);
                let entries = bins.of_tile(index).iter().copied();
                let later = entries.filter(|&entry| since.is_some_and(|since| entry > since));
                search.of_tile(corner, later)
            })
            .collect();
        found.extend(lists.concat());
    });
    found.sort_unstable();
    for same in found.chunk_by(|a, b| (a.piece, a.move_index) == (b.piece, b.move_index)) {
        let over = same.iter().any(|one| one.over);
        if let Some(rest) = &mut pieces[same[0].piece as usize].rest {
            add(&mut rest.touches, same[0].move_index, over);
        }
    }
}

/// Only pieces that are no skeleton and end up somewhere count.
fn loose_since(piece: &Piece) -> Option<u32> {
    let rest = piece.rest.as_ref()?;
    piece.loose_since.filter(|_| rest.class != PieceClass::Skeleton)
}

#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Found {
    piece: u32,
    move_index: u32,
    over: bool,
}

/// Joins moves that follow one another.
fn add(touches: &mut Vec<Touch>, move_index: u32, over: bool) {
    match touches.last_mut() {
        Some(last) if last.last_move + 1 == move_index && last.over == over => {
            last.last_move = move_index;
        }
        _ => touches.push(Touch { first_move: move_index, last_move: move_index, over }),
    }
}

struct Search<'a> {
    runs: &'a Runs,
    piece_of_runs: &'a [Option<u32>],
    loose_since: &'a [Option<u32>],
    path: &'a Toolpath,
    rig: &'a Rig,
}

impl Search<'_> {
    fn since(&self, run: usize) -> Option<(u32, u32)> {
        let piece = self.piece_of_runs[run]?;
        Some((piece, self.loose_since[piece as usize]?))
    }

    /// For each tile the first move after which a piece in it or beside it is loose.
    fn loose_by_tile(&self, stock: &Stock) -> Vec<Option<u32>> {
        let mut tiles: Vec<Option<u32>> = vec![None; stock.map.tiles.len()];
        let (columns, rows) = (stock.map.tile_columns, stock.map.tile_rows());
        let reach = BESIDE_CELLS as u32 + 1;
        let around = |low: u32, high: u32, count: usize| {
            let first = low.saturating_sub(reach) as usize / TILE;
            first..((high + reach) as usize / TILE + 1).min(count)
        };
        for (index, run) in self.runs.all.iter().enumerate() {
            let Some((_, since)) = self.since(index) else { continue };
            for row in around(run.row, run.row, rows) {
                for column in around(run.start, run.end, columns) {
                    let known = &mut tiles[row * columns + column];
                    *known = Some(known.map_or(since, |k| k.min(since)));
                }
            }
        }
        tiles
    }

    fn of_tile(&self, corner: Vec2, entries: impl Iterator<Item = u32>) -> Vec<Found> {
        let mut found = Vec::new();
        let mut legs = Vec::new();
        for entry in entries {
            let Some(tool) = self.rig.legs(self.path, entry as usize, &mut legs) else { continue };
            for leg in legs.iter().filter(|leg| leg.deepest() >= 0.5) {
                let local = leg.relative_to(corner);
                let radii = [(tool.true_radius, true), (tool.true_radius + BESIDE_CELLS, false)];
                for (radius, over) in radii {
                    each_row(&local, radius, |row, interval| {
                        for piece in self.loose_in_row(corner, row, interval, entry) {
                            found.push(Found { piece, move_index: entry, over });
                        }
                    });
                }
            }
            found.sort_unstable();
            found.dedup();
        }
        found
    }

    /// Pieces that are loose at a move and have cells in a stretch of a tile's row.
    fn loose_in_row(
        &self,
        corner: Vec2,
        row: usize,
        (low, high): Interval,
        entry: u32,
    ) -> impl Iterator<Item = u32> {
        let last = (TILE - 1) as f64;
        let (low, high) = (low.max(0.0).ceil(), high.min(last).floor());
        let columns =
            if low <= high { (low + corner.x) as u32..(high + corner.x) as u32 + 1 } else { 0..0 };
        let runs = self.runs.overlapping(row as u32 + corner.y as u32, columns);
        let loose = runs.filter_map(|run| self.since(run));
        loose.filter(move |(_, since)| entry > *since).map(|(piece, _)| piece)
    }
}

fn each_row(leg: &Leg, radius: f64, mut each: impl FnMut(usize, Interval)) {
    let band = leg.turn.and_then(|t| ArcBand::new(leg.from, leg.to, t.centre, t.sweep_rad, radius));
    if let Some(band) = band {
        for row in band.rows() {
            band.intervals(row as f64, true).iter().for_each(|interval| each(row, interval));
        }
        return;
    }
    let stadium = Stadium::new(leg.from, leg.to, radius);
    let slabs = stadium.slabs();
    for row in stadium.rows() {
        each(row, slabs.interval(row as f64).0);
    }
}
