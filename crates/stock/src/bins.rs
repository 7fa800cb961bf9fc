//! Which moves may touch which tiles, in program order.

use crate::leg::Leg;
use crate::map::DepthMap;
use crate::rig::Rig;
use crate::tile::TILE;
use kw_geometry::Vec2;
use kw_nc::toolpath::Toolpath;
use rayon::prelude::*;
use std::ops::Range;

/// Moves counted or listed together; small enough that one lot of moves across every tile stays
/// a few MB.
const CHUNK_MOVES: usize = 1024;

/// Entries (one move in one tile) held at a time: bounds memory whatever the program.
const BATCH_ENTRIES: usize = 1 << 19;

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

/// Splits moves into batches whose lists stay bounded.
pub(crate) fn batches(
    path: &Toolpath,
    map: &DepthMap,
    rig: &Rig,
    moves: Range<usize>,
    wanted: Wanted,
) -> Vec<Range<usize>> {
    let chunks: Vec<Range<usize>> = moves
        .clone()
        .step_by(CHUNK_MOVES)
        .map(|start| start..(start + CHUNK_MOVES).min(moves.end))
        .collect();
    let counts: Vec<usize> = chunks
        .par_iter()
        .map(|chunk| {
            let mut count = 0;
            visit(path, map, rig, chunk.clone(), wanted, |_, _, tiles| count += tiles.count());
            count
        })
        .collect();
    let mut batches = Vec::new();
    let (mut start, mut sum) = (moves.start, 0);
    for (chunk, count) in chunks.iter().zip(counts) {
        if sum > 0 && sum + count > BATCH_ENTRIES {
            batches.push(start..chunk.start);
            (start, sum) = (chunk.start, 0);
        }
        sum += count;
    }
    if start < moves.end {
        batches.push(start..moves.end);
    }
    batches
}

/// Lists the moves of a batch by tile.
pub(crate) fn bin(
    path: &Toolpath,
    map: &DepthMap,
    rig: &Rig,
    moves: Range<usize>,
    wanted: Wanted,
) -> Bins {
    let starts: Vec<usize> = moves.clone().step_by(CHUNK_MOVES).collect();
    let lists: Vec<Vec<(u32, u32)>> = starts
        .par_iter()
        .map(|&start| {
            let mut list = Vec::with_capacity(2 * CHUNK_MOVES);
            let chunk = start..(start + CHUNK_MOVES).min(moves.end);
            visit(path, map, rig, chunk, wanted, |index, legs, tiles| {
                tiles.list(legs, |tile| list.push((tile as u32, index as u32)));
            });
            list
        })
        .collect();
    let tile_count = map.tiles.len();
    let mut starts = vec![0_u32; tile_count + 1];
    for &(tile, _) in lists.iter().flatten() {
        starts[tile as usize + 1] += 1;
    }
    for tile in 0..tile_count {
        starts[tile + 1] += starts[tile];
    }
    let mut next = starts.clone();
    let mut entries = vec![0_u32; starts[tile_count] as usize];
    for &(tile, index) in lists.iter().flatten() {
        entries[next[tile as usize] as usize] = index;
        next[tile as usize] += 1;
    }
    Bins { moves, starts, entries }
}

/// Calls `each` for every move that may touch the sheet.
fn visit(
    path: &Toolpath,
    map: &DepthMap,
    rig: &Rig,
    moves: Range<usize>,
    wanted: Wanted,
    mut each: impl FnMut(usize, &[Leg], TileBox),
) {
    let mut legs = Vec::new();
    for index in moves {
        let m = path.get(index);
        let Some(tool) = rig.legs(&m, &mut legs) else { continue };
        let deepest = legs.iter().map(Leg::deepest).fold(f64::NEG_INFINITY, f64::max);
        if deepest < wanted.least_depth {
            continue;
        }
        let reach = tool.reach(deepest) + wanted.margin;
        if let Some(tiles) = TileBox::around(&legs, reach, map) {
            each(index, &legs, tiles);
        }
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
    fn around(legs: &[Leg], reach: f64, map: &DepthMap) -> Option<Self> {
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
        let columns = range(low.x, high.x, map.grid.columns, map.tile_columns);
        let rows = range(low.y, high.y, map.grid.rows, map.tile_rows());
        let tiles = Self { columns, rows, reach, tile_columns: map.tile_columns };
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
