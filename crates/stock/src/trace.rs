//! Follows the border of what stays, cell side by cell side, through the exact places between the
//! cells.

use crate::crossing::Crossings;
use crate::map::DepthMap;
use crate::mask::row_crossings;
use crate::runs::{Runs, STAYS};
use crate::tile::OUTSIDE;
use kw_geometry::{Polygon, Vec2};

/// A closed border in cells with material on its left: counterclockwise around a piece, clockwise
/// around a hole in it.
pub(crate) struct Loop {
    /// A run of the piece that it belongs to.
    pub run: u32,
    pub points: Vec<Vec2>,
}

/// Follows all borders of all runs that stay.
pub(crate) fn trace(
    map: &DepthMap,
    runs: &Runs,
    crossings: &Crossings,
    outline: &Polygon,
) -> Vec<Loop> {
    let cells: Vec<Vec2> = outline.points.iter().map(|&p| map.grid.to_cells(p)).collect();
    let swapped: Vec<Vec2> = cells.iter().map(|p| Vec2::new(p.y, p.x)).collect();
    let mut tracer = Tracer {
        map,
        crossings,
        sheet: [row_crossings(&cells, map.grid.rows), row_crossings(&swapped, map.grid.columns)],
        seen: vec![0; (map.grid.columns as usize * map.grid.rows as usize).div_ceil(64)],
    };
    let mut loops = Vec::new();
    for (index, run) in runs.all.iter().enumerate() {
        if run.mark == STAYS && !tracer.is_material(i64::from(run.start) - 1, i64::from(run.row)) {
            let (column, row) = (i64::from(run.start), i64::from(run.row));
            if !tracer.is_seen(column, row) {
                loops.push(Loop { run: index as u32, points: tracer.follow(column, row) });
            }
        }
    }
    loops
}

struct Tracer<'a> {
    map: &'a DepthMap,
    crossings: &'a Crossings,
    /// Where the sheet's outline crosses rows, and columns.
    sheet: [Vec<Vec<f64>>; 2],
    /// A bit for each cell whose left side was walked down.
    seen: Vec<u64>,
}

/// A step of the walk: the cell on the left, which is material, and the direction (column, row).
#[derive(Clone, Copy, PartialEq, Eq)]
struct Step {
    column: i64,
    row: i64,
    way: (i64, i64),
}

impl Step {
    /// The cell across the side, to the right of the way.
    fn across(&self) -> (i64, i64) {
        (self.column + self.way.1, self.row - self.way.0)
    }
}

impl Tracer<'_> {
    fn is_material(&self, column: i64, row: i64) -> bool {
        self.raw(column, row) < self.map.through_depth
    }

    fn raw(&self, column: i64, row: i64) -> i16 {
        match (u32::try_from(column), u32::try_from(row)) {
            (Ok(column), Ok(row)) => self.map.raw(column, row),
            _ => OUTSIDE,
        }
    }

    fn bit(&self, column: i64, row: i64) -> (usize, u64) {
        let index = row as usize * self.map.grid.columns as usize + column as usize;
        (index / 64, 1 << (index % 64))
    }

    fn is_seen(&self, column: i64, row: i64) -> bool {
        let (word, bit) = self.bit(column, row);
        self.seen[word] & bit != 0
    }

    /// Walks once around, starting down the left side of a cell. Ends, because each side of a cell
    /// has exactly one side after it and one before it.
    fn follow(&mut self, column: i64, row: i64) -> Vec<Vec2> {
        let first = Step { column, row, way: (0, -1) };
        let (mut step, mut points) = (first, Vec::new());
        loop {
            if step.way == (0, -1) {
                let (word, bit) = self.bit(step.column, step.row);
                self.seen[word] |= bit;
            }
            points.push(self.place(&step));
            step = self.next(&step);
            if step == first {
                return points;
            }
        }
    }

    /// Turns left around a corner of the material, goes straight, or right. Cells that touch only
    /// at a corner are not joined.
    fn next(&self, step: &Step) -> Step {
        let (dx, dy) = step.way;
        let (column, row) = (step.column + dx, step.row + dy);
        if !self.is_material(column, row) {
            return Step { way: (-dy, dx), ..*step };
        }
        let (across_column, across_row) = (column + dy, row - dx);
        if !self.is_material(across_column, across_row) {
            return Step { column, row, ..*step };
        }
        Step { column: across_column, row: across_row, way: (dy, -dx) }
    }

    /// The border between the cell of a step and the one across.
    fn place(&self, step: &Step) -> Vec2 {
        let (other_column, other_row) = step.across();
        let horizontal = other_row == step.row;
        let axis = usize::from(!horizontal);
        // The later of the two cells along the axis, and whether the material is the earlier.
        let (column, row) = (step.column.max(other_column), step.row.max(other_row));
        let material_first = other_column + other_row > step.column + step.row;
        let base = if horizontal { column - 1 } else { row - 1 } as f64;
        let known = self.crossings.place(column as u32, row as u32, axis);
        let mut share = known.unwrap_or(if material_first { f64::INFINITY } else { -1.0 });
        if self.raw(other_column, other_row) == OUTSIDE {
            let line = if horizontal { row } else { column };
            let sheet = self.sheet_place(axis, line, base).unwrap_or(0.5);
            share = if material_first { share.min(sheet) } else { share.max(sheet) };
        } else if known.is_none() {
            share = 0.5;
        }
        let at = base + share;
        if horizontal { Vec2::new(at, row as f64) } else { Vec2::new(column as f64, at) }
    }

    /// Where the sheet's outline crosses a line between two cells, in cells past the first.
    fn sheet_place(&self, axis: usize, line: i64, base: f64) -> Option<f64> {
        let crossings = self.sheet[axis].get(usize::try_from(line).ok()?)?;
        let after = crossings.partition_point(|&at| at < base);
        crossings.get(after).map(|at| at - base).filter(|share| *share <= 1.0)
    }
}
