//! Moves that come back to a piece after it is loose.

use crate::band::ArcBand;
use crate::bins::{Binner, Tiling, Wanted};
use crate::leg::Leg;
use crate::pieces::{Piece, PieceClass};
use crate::rig::Rig;
use crate::runs::Runs;
use crate::span::{Interval, Stadium, ceil, floor};
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
    owned: &[(u32, u32)],
    path: &Toolpath,
    rig: &Rig,
    stock: &Stock,
) {
    let loose_since: Vec<Option<u32>> = pieces.iter().map(loose_since).collect();
    let Some(first) = loose_since.iter().flatten().min() else { return };
    let loose = Loose::of(runs, owned, &loose_since, stock.map.grid.rows);
    let loose_by_tile = loose.first_by_tile(stock);
    let search = Search { loose: &loose, path, rig };
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

/// Cells of a row that belong to a loose piece.
#[derive(Clone, Copy)]
struct LooseRun {
    start: u32,
    end: u32,
    piece: u32,
    since: u32,
}

/// Runs of loose pieces by row and column.
struct Loose {
    rows: Vec<Vec<LooseRun>>,
}

impl Loose {
    fn of(runs: &Runs, owned: &[(u32, u32)], loose_since: &[Option<u32>], row_count: u32) -> Self {
        let mut rows: Vec<Vec<LooseRun>> = vec![Vec::new(); row_count as usize];
        for &(run, piece) in owned {
            let run = runs.all[run as usize];
            if let Some(since) = loose_since[piece as usize] {
                let (start, end) = (run.start, run.end);
                rows[run.row as usize].push(LooseRun { start, end, piece, since });
            }
        }
        Self { rows }
    }

    /// For each tile the first move after which a piece in it or beside it is loose.
    fn first_by_tile(&self, stock: &Stock) -> Vec<Option<u32>> {
        let mut tiles: Vec<Option<u32>> = vec![None; stock.map.tiles.len()];
        let (columns, rows) = (stock.map.tile_columns, stock.map.tile_rows());
        let reach = BESIDE_CELLS as usize + 1;
        let around = |low: usize, high: usize, count: usize| {
            low.saturating_sub(reach) / TILE..((high + reach) / TILE + 1).min(count)
        };
        for (row, runs) in self.rows.iter().enumerate() {
            for run in runs {
                for tile_row in around(row, row, rows) {
                    for column in around(run.start as usize, run.end as usize, columns) {
                        let known = &mut tiles[tile_row * columns + column];
                        *known = Some(known.map_or(run.since, |k| k.min(run.since)));
                    }
                }
            }
        }
        tiles
    }

    /// Runs of a row that are loose at a move and share a column with a stretch.
    fn meeting(
        &self,
        row: usize,
        columns: [i32; 2],
        move_index: u32,
    ) -> impl Iterator<Item = &LooseRun> {
        let runs = self.rows.get(row).map_or(&[][..], Vec::as_slice);
        let [first, last] = columns;
        let from = runs.partition_point(|run| (run.end as i32) <= first);
        let within =
            runs[from..].iter().take_while(move |run| first <= last && (run.start as i32) <= last);
        within.filter(move |run| move_index > run.since)
    }
}

struct Search<'a> {
    loose: &'a Loose,
    path: &'a Toolpath,
    rig: &'a Rig,
}

/// A leg of a move in the coordinates of a tile.
struct TileLeg {
    leg: Leg,
    corner: Vec2,
    move_index: u32,
}

impl Search<'_> {
    fn of_tile(&self, corner: Vec2, entries: impl Iterator<Item = u32>) -> Vec<Found> {
        let mut found = Vec::new();
        let mut legs = Vec::new();
        for move_index in entries {
            let Some(tool) = self.rig.legs(self.path, move_index as usize, &mut legs) else {
                continue;
            };
            for leg in legs.iter().filter(|leg| leg.deepest() >= 0.5) {
                let leg = TileLeg { leg: leg.relative_to(corner), corner, move_index };
                let before = found.len();
                self.met(&leg, tool.true_radius + BESIDE_CELLS, false, &mut found);
                if found.len() > before {
                    self.met(&leg, tool.true_radius, true, &mut found);
                    found[before..].sort_unstable();
                    found.dedup();
                }
            }
        }
        found
    }

    /// Adds the loose pieces that a disc of this radius meets along a leg.
    fn met(&self, leg: &TileLeg, radius: f64, over: bool, found: &mut Vec<Found>) {
        let move_index = leg.move_index;
        each_row(&leg.leg, radius, |row, (low, high)| {
            let row = row + leg.corner.y as usize;
            let (low, high) = (low.clamp(-1.0, TILE as f64), high.clamp(-1.0, TILE as f64));
            let columns = [ceil(low), floor(high)].map(|column| column + leg.corner.x as i32);
            for run in self.loose.meeting(row, columns, move_index) {
                found.push(Found { piece: run.piece, move_index, over });
            }
        });
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
