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
}

impl Runs {
    pub fn of(map: &DepthMap) -> Self {
        let rows: Vec<Vec<Run>> =
            (0..map.grid.rows).into_par_iter().map(|row| runs_of_row(map, row)).collect();
        let mut row_starts = Vec::with_capacity(rows.len() + 1);
        let mut count = 0_u32;
        for row in &rows {
            row_starts.push(count);
            count += row.len() as u32;
        }
        row_starts.push(count);
        let gapless = rows.iter().map(|row| gapless_columns(row)).collect();
        Self { row_starts, all: rows.concat(), gapless }
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

fn runs_of_row(map: &DepthMap, row: u32) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let (tile_row, inner) = (row as usize / TILE, row as usize % TILE);
    let mut add = |start: u32, end: u32, mark: u32| match runs.last_mut() {
        Some(last) if last.end == start && last.mark == mark => last.end = end,
        _ => runs.push(Run { row, start, end, mark }),
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
                    add(column, column + 1, if through == NEVER { STAYS } else { through });
                }
            }
        }
    }
    runs
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
