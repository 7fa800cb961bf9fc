//! Which moves may touch which tiles, in program order.

use crate::leg::Leg;
use crate::map::DepthMap;
use crate::rig::Rig;
use crate::tile::TILE;
use kw_geometry::Vec2;
use kw_nc::toolpath::Toolpath;
use rayon::prelude::*;
use std::ops::Range;

/// Moves listed together.
const CHUNK_MOVES: usize = 1024;

/// Chunks listed side by side.
const LOT_CHUNKS: usize = 256;

/// Entries (one move in one tile) that a chunk may list in a lot; chunks with more are listed
/// again on their own. Together with [`LOT_CHUNKS`] this bounds memory whatever the program: 16 MB,
/// or one chunk across every tile.
const CHUNK_ENTRIES: usize = 8 * CHUNK_MOVES;

/// Which moves belong in the lists: all that reach `least_depth` (depth steps) within `margin`
/// (cells) of the tool's reach.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted {
    pub least_depth: f64,
    pub margin: f64,
}

/// For each tile the moves of one batch that may touch it.
pub(crate) struct Bins {
    /// Moves of the batch.
    pub moves: Range<usize>,
    starts: Vec<u32>,
    entries: Vec<u32>,
}

impl Bins {
    /// Moves that may touch a tile, in program order.
    pub fn of_tile(&self, tile: usize) -> &[u32] {
        &self.entries[self.starts[tile] as usize..self.starts[tile + 1] as usize]
    }
}

/// Lists moves by tile.
pub(crate) struct Binner<'a> {
    pub path: &'a Toolpath,
    pub rig: &'a Rig,
    pub wanted: Wanted,
    pub tiling: Tiling,
}

/// Columns and rows of tiles over a grid.
#[derive(Clone, Copy)]
pub(crate) struct Tiling {
    cells: [u32; 2],
    columns: usize,
    rows: usize,
}

impl Tiling {
    pub fn of(map: &DepthMap) -> Self {
        let cells = [map.grid.columns, map.grid.rows];
        Self { cells, columns: map.tile_columns, rows: map.tile_rows() }
    }
}

type List = Vec<(u32, u32)>;

impl Binner<'_> {
    /// Calls `each` with the lists of one batch of moves after the other.
    pub fn batches(&self, moves: Range<usize>, mut each: impl FnMut(&Bins)) {
        let lot = LOT_CHUNKS * CHUNK_MOVES;
        for start in moves.clone().step_by(lot) {
            let lot = start..(start + lot).min(moves.end);
            let mut ready: Vec<(Range<usize>, List)> = Vec::new();
            for (chunk, list) in self.lists(lot) {
                match list {
                    Some(list) => ready.push((chunk, list)),
                    None => {
                        self.hand_over(&mut ready, &mut each);
                        let list = self.list(chunk.clone(), usize::MAX).unwrap_or_default();
                        ready.push((chunk, list));
                        self.hand_over(&mut ready, &mut each);
                    }
                }
            }
            self.hand_over(&mut ready, &mut each);
        }
    }

    fn lists(&self, lot: Range<usize>) -> Vec<(Range<usize>, Option<List>)> {
        let starts: Vec<usize> = lot.clone().step_by(CHUNK_MOVES).collect();
        let listed = starts.par_iter().map(|&start| {
            let chunk = start..(start + CHUNK_MOVES).min(lot.end);
            (chunk.clone(), self.list(chunk, CHUNK_ENTRIES))
        });
        listed.collect()
    }

    /// Pairs of tile and move; `None` if there are more than `most`.
    fn list(&self, moves: Range<usize>, most: usize) -> Option<List> {
        let mut list = Vec::with_capacity(2 * CHUNK_MOVES);
        let mut legs = Vec::new();
        for index in moves {
            let Some(tool) = self.rig.legs(self.path, index, &mut legs) else { continue };
            let deepest = legs.iter().map(Leg::deepest).fold(f64::NEG_INFINITY, f64::max);
            if deepest < self.wanted.least_depth {
                continue;
            }
            let reach = tool.reach(deepest) + self.wanted.margin;
            if let Some(tiles) = TileBox::around(&legs, reach, self.tiling) {
                tiles.list(&legs, |tile| list.push((tile as u32, index as u32)));
            }
            if list.len() > most {
                return None;
            }
        }
        Some(list)
    }

    fn hand_over(&self, ready: &mut Vec<(Range<usize>, List)>, each: &mut impl FnMut(&Bins)) {
        let (Some(first), Some(last)) = (ready.first(), ready.last()) else { return };
        let moves = first.0.start..last.0.end;
        let tile_count = self.tiling.columns * self.tiling.rows;
        let mut starts = vec![0_u32; tile_count + 1];
        let all = || ready.iter().flat_map(|(_, list)| list.iter().copied());
        for (tile, _) in all() {
            starts[tile as usize + 1] += 1;
        }
        for tile in 0..tile_count {
            starts[tile + 1] += starts[tile];
        }
        let mut next = starts.clone();
        let mut entries = vec![0_u32; starts[tile_count] as usize];
        for (tile, index) in all() {
            entries[next[tile as usize] as usize] = index;
            next[tile as usize] += 1;
        }
        ready.clear();
        each(&Bins { moves, starts, entries });
    }
}

/// A box of tiles around legs.
struct TileBox {
    columns: Range<usize>,
    rows: Range<usize>,
    reach: f64,
    tile_columns: usize,
}

impl TileBox {
    fn around(legs: &[Leg], reach: f64, tiling: Tiling) -> Option<Self> {
        let mut low = Vec2::new(f64::INFINITY, f64::INFINITY);
        let mut high = -low;
        for leg in legs {
            let (l, h) = leg.extent();
            low = Vec2::new(low.x.min(l.x), low.y.min(l.y));
            high = Vec2::new(high.x.max(h.x), high.y.max(h.y));
        }
        let range = |low: f64, high: f64, cells: u32, tiles: usize| {
            if high + reach < 0.0 || low - reach > f64::from(cells) || tiles == 0 {
                return 0..0;
            }
            let last = (tiles - 1) as f64;
            let tile = |at: f64| (at / TILE as f64).clamp(0.0, last) as usize;
            tile(low - reach)..tile(high + reach) + 1
        };
        let columns = range(low.x, high.x, tiling.cells[0], tiling.columns);
        let rows = range(low.y, high.y, tiling.cells[1], tiling.rows);
        let tiles = Self { columns, rows, reach, tile_columns: tiling.columns };
        (tiles.count() > 0).then_some(tiles)
    }

    fn count(&self) -> usize {
        self.columns.len() * self.rows.len()
    }

    /// Calls `each` for the tiles that the legs may touch.
    fn list(&self, legs: &[Leg], mut each: impl FnMut(usize)) {
        let half = (TILE - 1) as f64 * 0.5;
        let reach = self.reach + half * std::f64::consts::SQRT_2 + 1.0;
        let few = self.columns.len().min(self.rows.len()) < 2;
        for row in self.rows.clone() {
            for column in self.columns.clone() {
                let corner = Vec2::new((column * TILE) as f64, (row * TILE) as f64);
                let middle = corner + Vec2::new(half, half);
                if few || legs.iter().any(|leg| distance_at_least(leg, middle) <= reach) {
                    each(row * self.tile_columns + column);
                }
            }
        }
    }
}

/// A lower bound of the distance from a place to a leg.
fn distance_at_least(leg: &Leg, place: Vec2) -> f64 {
    if let Some(turn) = leg.turn {
        return (place.distance(turn.centre) - leg.from.distance(turn.centre)).abs();
    }
    let along = leg.to - leg.from;
    let square = along.dot(along);
    let share =
        if square > 0.0 { ((place - leg.from).dot(along) / square).clamp(0.0, 1.0) } else { 0.0 };
    place.distance(leg.from + along * share)
}
