//! The sheet as runs of cells: in each row the stretches that stay, and those cut through by one
//! move.

use crate::map::DepthMap;
use crate::tile::{NEVER, OUTSIDE, TILE};
use rayon::prelude::*;
use std::ops::Range;

/// Stands for "never cut through".
pub(crate) const STAYS: u32 = u32::MAX;

/// Cells `start..end` of a row with one fate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Run {
    pub row: u32,
    pub start: u32,
    pub end: u32,
    /// Move that cut it through, plus 1, or [`STAYS`].
    pub mark: u32,
}

impl Run {
    pub fn len(&self) -> u32 {
        self.end - self.start
    }
}

/// All runs by row and column; cells outside the sheet are in none.
pub(crate) struct Runs {
    row_starts: Vec<u32>,
    pub all: Vec<Run>,
    /// For each row without gaps its columns inside the sheet; empty for others.
    gapless: Vec<Range<u32>>,
    shift: u32,
}

impl Runs {
    /// All runs, at most about [`MOST_RUNS`]: where single moves would give more, moves are taken
    /// together in lots of [`Self::lot`].
    pub fn of(map: &DepthMap) -> Self {
        Self::within(map, MOST_RUNS)
    }

    fn within(map: &DepthMap, most: usize) -> Self {
        let mut shift = 0;
        let mut counts = count_runs(map, shift);
        while counts.iter().map(|&count| count as usize).sum::<usize>() > most && shift < 32 {
            shift += SHIFT_STEP;
            counts = count_runs(map, shift);
        }
        let mut row_starts = Vec::with_capacity(counts.len() + 1);
        let mut total = 0_u32;
        row_starts.push(0);
        for count in &counts {
            total += count;
            row_starts.push(total);
        }
        let mut all = vec![Run { row: 0, start: 0, end: 0, mark: 0 }; total as usize];
        let mut rest = all.as_mut_slice();
        let mut rows = Vec::with_capacity(counts.len());
        for (row, count) in (0..).zip(counts) {
            let (of_row, after) = rest.split_at_mut(count as usize);
            rows.push((row, of_row));
            rest = after;
        }
        let gapless = rows
            .into_par_iter()
            .map(|(row, of_row)| {
                let mut places = of_row.iter_mut();
                runs_of_row(map, row, shift, |run| {
                    if let Some(place) = places.next() {
                        *place = run;
                    }
                });
                gapless_columns(of_row)
            })
            .collect();
        Self { row_starts, all, gapless, shift }
    }

    /// Moves that are not told apart in marks: a mark stands for the last move of its lot.
    pub fn lot(&self) -> u32 {
        1_u32.checked_shl(self.shift).unwrap_or(u32::MAX)
    }

    /// Indexes of the runs of a row; empty outside the grid.
    pub fn of_row(&self, row: u32) -> Range<usize> {
        let at = |row: u32| self.row_starts.get(row as usize).map(|&start| start as usize);
        match (at(row), at(row.saturating_add(1))) {
            (Some(start), Some(end)) => start..end,
            _ => 0..0,
        }
    }

    /// Indexes of the runs of a row that share a column with `columns`.
    pub fn overlapping(&self, row: u32, columns: Range<u32>) -> Range<usize> {
        let of_row = self.of_row(row);
        let runs = &self.all[of_row.clone()];
        let first = runs.partition_point(|run| run.end <= columns.start);
        let count = runs[first..].iter().take_while(|run| run.start < columns.end).count();
        of_row.start + first..of_row.start + first + count
    }

    /// Indexes of all runs that share a side with a run.
    pub fn neighbours(&self, index: usize) -> impl Iterator<Item = usize> + use<> {
        let run = self.all[index];
        let of_row = self.of_row(run.row);
        let before =
            (index > of_row.start && self.all[index - 1].end == run.start).then(|| index - 1);
        let after =
            (index + 1 < of_row.end && self.all[index + 1].start == run.end).then(|| index + 1);
        let columns = run.start..run.end;
        let below = match run.row.checked_sub(1) {
            Some(row) => self.overlapping(row, columns.clone()),
            None => 0..0,
        };
        let above = self.overlapping(run.row + 1, columns);
        before.into_iter().chain(after).chain(below).chain(above)
    }

    /// Whether a run has a side on the border of the sheet.
    pub fn is_at_border(&self, index: usize) -> bool {
        let run = self.all[index];
        let holds = |row: u32, start: u32, end: u32| {
            self.gapless.get(row as usize).is_some_and(|r| r.start <= start && end <= r.end)
        };
        if run.row > 0
            && run.start > 0
            && holds(run.row, run.start - 1, run.end + 1)
            && holds(run.row - 1, run.start, run.end)
            && holds(run.row + 1, run.start, run.end)
        {
            return false;
        }
        let mut sides = 0;
        for other in self.neighbours(index) {
            let other = self.all[other];
            sides += if other.row == run.row {
                1
            } else {
                other.end.min(run.end) - other.start.max(run.start)
            };
        }
        sides < 2 + 2 * run.len()
    }
}

/// Most runs held (32 bytes each while pieces are sought). Only programs that cut most of a sheet
/// through in steps of about a cell come near it.
const MOST_RUNS: usize = 4_000_000;
/// Each further try takes 8 times as many moves together.
const SHIFT_STEP: u32 = 3;

fn count_runs(map: &DepthMap, shift: u32) -> Vec<u32> {
    let count = |row| {
        let mut count = 0;
        runs_of_row(map, row, shift, |_| count += 1);
        count
    };
    (0..map.grid.rows).into_par_iter().map(count).collect()
}

/// The last mark of a mark's lot.
fn last_of_lot(mark: u32, shift: u32) -> u32 {
    let lot = u64::from(mark - 1) >> shift;
    ((lot + 1) << shift).min(u64::from(STAYS - 1)) as u32
}

/// Calls `each` with the runs of a row.
fn runs_of_row(map: &DepthMap, row: u32, shift: u32, mut each: impl FnMut(Run)) {
    let (tile_row, inner) = (row as usize / TILE, row as usize % TILE);
    let mut open = Run { row, start: 0, end: 0, mark: 0 };
    let mut add = |start: u32, end: u32, mark: u32| {
        if open.end == start && open.mark == mark {
            open.end = end;
            return;
        }
        if open.end > open.start {
            each(open);
        }
        open = Run { row, start, end, mark };
    };
    for tile_column in 0..map.tile_columns {
        let tile = &map.tiles[tile_row * map.tile_columns + tile_column];
        let first = (tile_column * TILE) as u32;
        let count = TILE.min(map.grid.columns as usize - tile_column * TILE);
        if tile.depth.is_empty() {
            add(first, first + count as u32, STAYS);
            continue;
        }
        let depths = tile.depth_row(inner)[..count].chunks(LOT);
        let throughs = tile.through_row(inner)[..count].chunks(LOT);
        for (start, (depths, throughs)) in (first..).step_by(LOT).zip(depths.zip(throughs)) {
            let all_stay = throughs.iter().all(|&through| through == NEVER)
                && depths.iter().all(|&depth| depth != OUTSIDE);
            if all_stay {
                add(start, start + depths.len() as u32, STAYS);
                continue;
            }
            for (column, (&depth, &through)) in (start..).zip(depths.iter().zip(throughs)) {
                if depth != OUTSIDE {
                    let stays = through == NEVER;
                    let mark = if stays { STAYS } else { last_of_lot(through, shift) };
                    add(column, column + 1, mark);
                }
            }
        }
    }
    if open.end > open.start {
        each(open);
    }
}

/// Cells looked at together.
const LOT: usize = 16;

fn gapless_columns(runs: &[Run]) -> Range<u32> {
    let joined = runs.windows(2).all(|pair| pair[0].end == pair[1].start);
    match (runs.first(), runs.last()) {
        (Some(first), Some(last)) if joined => first.start..last.end,
        _ => 0..0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::setup::StockSetup;
    use crate::tile::OUTSIDE;
    use kw_geometry::{Polygon, Vec2};

    /// A sheet of 30 × 3 cells in whose middle row each cell is cut through by another move.
    fn map() -> DepthMap {
        let setup = StockSetup {
            outline: Polygon::rectangle(Vec2::default(), Vec2::new(30.0, 3.0)),
            top_z_mm: 0.0,
            thickness_mm: 10.0,
            cut_into_spoilboard_mm: 0.0,
            tools: Vec::new(),
            dog_leg_speed_mm_min: None,
        };
        let mut map = DepthMap::uncut(&setup, 1.0, 0.0, 1000).unwrap();
        let tile = &mut map.tiles[0];
        tile.open();
        tile.through = vec![NEVER; TILE * TILE];
        for column in 1..=30 {
            tile.depth[2 * TILE + column] = 20_000;
            tile.through[2 * TILE + column] = column as u32;
        }
        assert_eq!(tile.depth[3 * TILE], OUTSIDE);
        map
    }

    #[test]
    fn each_move_has_its_run_and_borders_are_known() {
        let runs = Runs::of(&map());
        assert_eq!((runs.all.len(), runs.lot()), (32, 1));
        let middle = runs.of_row(2).start + 9;
        assert_eq!(runs.all[middle], Run { row: 2, start: 10, end: 11, mark: 10 });
        let around: Vec<usize> = runs.neighbours(middle).collect();
        assert_eq!(around, [middle - 1, middle + 1, 0, 31]);
        assert!(!runs.is_at_border(middle));
        assert!(runs.is_at_border(0) && runs.is_at_border(runs.of_row(2).start));
    }

    #[test]
    fn too_many_runs_take_moves_together() {
        let runs = Runs::within(&map(), 10);
        assert_eq!((runs.all.len(), runs.lot()), (2 + 4, 8));
        let marks: Vec<u32> = runs.of_row(2).map(|index| runs.all[index].mark).collect();
        assert_eq!(marks, [8, 16, 24, 32]);
    }
}
