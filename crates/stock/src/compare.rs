//! Are two sheets cut alike? The proof that a changed program still makes the same parts.

use crate::map::DepthMap;
use crate::tile::{DEEPEST, OUTSIDE, TILE};
use kw_geometry::Vec2;
use rayon::prelude::*;

/// How far two maps may differ and still count as equal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CompareOptions {
    /// A depth may be found this many cells away; 1 allows for borders between cell centres.
    pub cells: u32,
    /// Depths may differ by this, mm, and by one depth step at least.
    pub depth_mm: f64,
}

impl Default for CompareOptions {
    /// One cell and one depth step.
    fn default() -> Self {
        Self { cells: 1, depth_mm: 0.0 }
    }
}

/// Why two maps cannot be compared cell by cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DifferentGrids;

impl std::fmt::Display for DifferentGrids {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("the two depth maps differ in place, cell size, depth step or sheet")
    }
}

impl std::error::Error for DifferentGrids {}

/// Where two maps differ.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Difference {
    /// Cells that are deeper in the first map than the second allows.
    pub too_deep_cells: u64,
    /// Cells that are shallower in the first map than the second allows.
    pub too_shallow_cells: u64,
    /// Area of both, mm².
    pub area_mm2: f64,
    /// The largest of the differences, beyond what is allowed; `None` if the maps are equal.
    pub largest: Option<LargestDifference>,
    /// Regions that differ, largest first; at most [`Difference::MOST_REGIONS`], found among the
    /// first 1,048,576 differing cells from the least Y on.
    pub regions: Vec<DifferentRegion>,
    /// Number of regions among those cells, those not listed included.
    pub region_count: u64,
}

/// The largest difference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LargestDifference {
    /// Depth in the first map beyond the nearest depth that the second allows, mm; positive where
    /// the first is deeper.
    pub by_mm: f64,
    /// Where, machine coordinates, mm.
    pub at_mm: Vec2,
}

/// A connected region that differs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DifferentRegion {
    /// Its area, mm².
    pub area_mm2: f64,
    /// Box around it, machine coordinates, mm.
    pub box_mm: [Vec2; 2],
    /// Largest difference in it as in [`LargestDifference::by_mm`], mm.
    pub by_mm: f64,
}

impl Difference {
    /// Most regions listed.
    pub const MOST_REGIONS: usize = 100;

    /// Whether the maps count as equal.
    pub fn is_none(&self) -> bool {
        self.too_deep_cells == 0 && self.too_shallow_cells == 0
    }
}

impl DepthMap {
    /// Whether another map has the same cells of the same sheet.
    pub fn matches_grid_of(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64, slack: f64| (a - b).abs() <= slack;
        let (a, b) = (&self.grid, &other.grid);
        (a.columns, a.rows) == (b.columns, b.rows)
            && near(a.step_mm, b.step_mm, 1e-9)
            && near(a.origin_mm.distance(b.origin_mm), 0.0, 1e-6)
            && near(self.depth_step_mm, other.depth_step_mm, 1e-12)
            && near(self.thickness_mm, other.thickness_mm, 1e-9)
    }

    /// Takes over the deeper of both depths at each cell: what two programs make of one sheet. Only
    /// depths are joined; the moves kept for each cell stay those of `self`.
    ///
    /// Errors: the maps differ in their cells.
    pub fn deepen(&mut self, other: &Self) -> Result<(), DifferentGrids> {
        if !self.matches_grid_of(other) {
            return Err(DifferentGrids);
        }
        self.tiles.par_iter_mut().zip(&other.tiles).for_each(|(tile, other)| {
            if other.first.is_empty() {
                return;
            }
            tile.open();
            for row in 0..TILE {
                let cells = &mut tile.depth[row * TILE..(row + 1) * TILE];
                for (cell, &deeper) in cells.iter_mut().zip(other.depth_row(row)) {
                    *cell = (*cell).max(deeper);
                }
            }
        });
        Ok(())
    }
}

/// Compares the depths of two maps of the same cells.
///
/// A cell is equal if its depth in each map lies within the depths that the other has in the cells
/// around it, widened by the depth tolerance. Below the lower face all depths down to the
/// spoilboard's permitted depth are compared too. Errors: the maps differ in their cells.
pub fn compare(
    first: &DepthMap,
    second: &DepthMap,
    options: &CompareOptions,
) -> Result<Difference, DifferentGrids> {
    if !first.matches_grid_of(second) {
        return Err(DifferentGrids);
    }
    let steps = (options.depth_mm / first.depth_step_mm).clamp(1.0, f64::from(DEEPEST));
    let rows: Vec<u32> = (0..first.grid.rows).collect();
    let found: Vec<Vec<Differing>> = rows
        .par_chunks(ROWS_TOGETHER)
        .map(|rows| {
            let mut search = Search::new(first, second, options.cells, steps as i32);
            rows.iter().flat_map(|&row| search.row(row)).collect()
        })
        .collect();
    Ok(summary(&found.concat(), first))
}

/// Cells that are put together to regions: bounds time where two sheets have little in common.
const MOST_REGION_CELLS: usize = 1 << 20;

/// Rows searched one after the other by a thread.
const ROWS_TOGETHER: usize = 64;

/// A cell that differs, by its depth in the first map beyond what the second allows.
#[derive(Clone, Copy)]
struct Differing {
    column: u32,
    row: u32,
    by: i32,
}

struct Search<'a> {
    maps: [&'a DepthMap; 2],
    reach: u32,
    steps: i32,
}

impl<'a> Search<'a> {
    fn new(first: &'a DepthMap, second: &'a DepthMap, reach: u32, steps: i32) -> Self {
        Self { maps: [first, second], reach: reach.min(16), steps }
    }

    fn row(&mut self, row: u32) -> Vec<Differing> {
        let mut found = Vec::new();
        let [first, second] = self.maps;
        for ((start, a), (_, b)) in first.row_parts(row).zip(second.row_parts(row)) {
            if a == b {
                continue;
            }
            for (column, (&a, &b)) in (start..).zip(a.iter().zip(b)) {
                if (i32::from(a) - i32::from(b)).abs() > self.steps {
                    let by = self.beyond(column, row, [a, b]);
                    if by != 0 {
                        found.push(Differing { column, row, by });
                    }
                }
            }
        }
        found
    }

    /// How far the depths of a cell lie outside what the other map has around it.
    fn beyond(&self, column: u32, row: u32, [a, b]: [i16; 2]) -> i32 {
        let outside = |depth: i16, (low, high): (i16, i16)| {
            let (depth, low, high) = (i32::from(depth), i32::from(low), i32::from(high));
            (depth - high - self.steps).max(0) - (low - self.steps - depth).max(0)
        };
        let of_first = outside(a, self.around(self.maps[1], column, row));
        let of_second = outside(b, self.around(self.maps[0], column, row));
        if of_first.abs() >= of_second.abs() { of_first } else { -of_second }
    }

    /// Least and greatest depth around a cell.
    fn around(&self, map: &DepthMap, column: u32, row: u32) -> (i16, i16) {
        let (mut low, mut high) = (i16::MAX, 0);
        for y in row.saturating_sub(self.reach)..=row + self.reach {
            for x in column.saturating_sub(self.reach)..=column + self.reach {
                let depth = map.raw(x, y);
                if depth != OUTSIDE {
                    (low, high) = (low.min(depth), high.max(depth));
                }
            }
        }
        (low, high)
    }
}

/// Puts differing cells, in order of rows, together to regions.
fn summary(cells: &[Differing], map: &DepthMap) -> Difference {
    let area = map.grid.cell_area_mm2();
    let too_deep = cells.iter().filter(|cell| cell.by > 0).count() as u64;
    let mm = |by: i32| f64::from(by) * map.depth_step_mm;
    let mut largest: Option<LargestDifference> = None;
    for cell in cells {
        if largest.is_none_or(|known| mm(cell.by).abs() > known.by_mm.abs()) {
            let at_mm = map.grid.centre_mm(cell.column, cell.row);
            largest = Some(LargestDifference { by_mm: mm(cell.by), at_mm });
        }
    }
    let mut regions = regions(&cells[..cells.len().min(MOST_REGION_CELLS)], map);
    let region_count = regions.len() as u64;
    regions.sort_by(|a, b| b.area_mm2.total_cmp(&a.area_mm2));
    regions.truncate(Difference::MOST_REGIONS);
    Difference {
        too_deep_cells: too_deep,
        too_shallow_cells: cells.len() as u64 - too_deep,
        area_mm2: cells.len() as f64 * area,
        largest,
        regions,
        region_count,
    }
}

fn regions(cells: &[Differing], map: &DepthMap) -> Vec<DifferentRegion> {
    let mut parent: Vec<u32> = (0..cells.len() as u32).collect();
    let find = |parent: &mut Vec<u32>, mut at: u32| {
        while parent[at as usize] != at {
            parent[at as usize] = parent[parent[at as usize] as usize];
            at = parent[at as usize];
        }
        at
    };
    let key = |cell: &Differing| (cell.row, cell.column);
    for (index, cell) in cells.iter().enumerate() {
        // Cells that come earlier and share a side or a corner.
        let mut earlier: Vec<(u32, u32)> = Vec::new();
        if let Some(column) = cell.column.checked_sub(1) {
            earlier.push((cell.row, column));
        }
        if let Some(row) = cell.row.checked_sub(1) {
            earlier.extend((cell.column.saturating_sub(1)..=cell.column + 1).map(|c| (row, c)));
        }
        for place in earlier {
            if let Ok(other) = cells[..index].binary_search_by_key(&place, key) {
                let (a, b) = (find(&mut parent, index as u32), find(&mut parent, other as u32));
                parent[a.max(b) as usize] = a.min(b);
            }
        }
    }
    let mut of_root: std::collections::BTreeMap<u32, DifferentRegion> = Default::default();
    for (index, cell) in cells.iter().enumerate() {
        let root = find(&mut parent, index as u32);
        let half = Vec2::new(map.grid.step_mm, map.grid.step_mm) * 0.5;
        let centre = map.grid.centre_mm(cell.column, cell.row);
        let by_mm = f64::from(cell.by) * map.depth_step_mm;
        let region = of_root.entry(root).or_insert(DifferentRegion {
            area_mm2: 0.0,
            box_mm: [centre - half, centre + half],
            by_mm,
        });
        region.area_mm2 += map.grid.cell_area_mm2();
        let [low, high] = &mut region.box_mm;
        *low = Vec2::new(low.x.min(centre.x - half.x), low.y.min(centre.y - half.y));
        *high = Vec2::new(high.x.max(centre.x + half.x), high.y.max(centre.y + half.y));
        if by_mm.abs() > region.by_mm.abs() {
            region.by_mm = by_mm;
        }
    }
    of_root.into_values().collect()
}
