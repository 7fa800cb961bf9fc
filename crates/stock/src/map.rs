//! The depth map: how deep the sheet is cut at each cell.

use crate::grid::{Grid, MapError};
use crate::mask::mask_tiles;
use crate::setup::StockSetup;
use crate::tile::{DEEPEST, NEVER, OUTSIDE, TILE, Tile};
use kw_geometry::Vec2;

/// Depths of a sheet's cells below its upper face, and the moves that first cut each cell and cut
/// it through.
///
/// A cell counts as inside a shape if its centre is; depths are rounded to `depth_step_mm`.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthMap {
    /// Place of the cells.
    pub grid: Grid,
    /// Step of depth, a whole number of µm, mm.
    pub depth_step_mm: f64,
    /// Z of the sheet's upper face, machine coordinates, mm.
    pub top_z_mm: f64,
    /// Thickness of the sheet, mm.
    pub thickness_mm: f64,
    /// Depth from which a cell counts as cut through, mm.
    pub through_mm: f64,
    pub(crate) through_depth: i16,
    pub(crate) tile_columns: usize,
    pub(crate) tiles: Vec<Tile>,
}

/// How far below the permitted depth in the spoilboard the map still tells depths apart, mm.
const REACH_BELOW_MM: f64 = 3.0;

/// One cell of a depth map.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cell {
    /// Depth below the upper face, mm.
    pub depth_mm: f64,
    /// Move that first cut it.
    pub first_move: Option<u32>,
    /// Move that cut it through.
    pub through_move: Option<u32>,
}

impl DepthMap {
    /// The uncut sheet.
    pub(crate) fn uncut(
        setup: &StockSetup,
        step_mm: f64,
        through_tolerance_mm: f64,
        max_cells: u64,
    ) -> Result<Self, MapError> {
        let thickness_mm = setup.thickness_mm;
        if !(0.01..=1000.0).contains(&thickness_mm) {
            return Err(MapError::Thickness(thickness_mm));
        }
        let grid = Grid::over(setup, step_mm, max_cells)?;
        let below = setup.cut_into_spoilboard_mm.clamp(0.0, 100.0) + REACH_BELOW_MM;
        let reach_um = (thickness_mm + below) * 1000.0;
        let depth_step_mm = (reach_um / f64::from(DEEPEST)).ceil() / 1000.0;
        let tolerance_mm = through_tolerance_mm.clamp(0.0, thickness_mm * 0.5);
        let through_mm = thickness_mm - tolerance_mm;
        let through_depth = ((through_mm / depth_step_mm - 1e-6).ceil() as i16).max(1);
        let tile_columns = (grid.columns as usize).div_ceil(TILE);
        let tiles = mask_tiles(&grid, &setup.outline);
        Ok(Self {
            grid,
            depth_step_mm,
            top_z_mm: setup.top_z_mm,
            thickness_mm,
            through_mm,
            through_depth,
            tile_columns,
            tiles,
        })
    }

    pub(crate) fn tile_rows(&self) -> usize {
        self.tiles.len() / self.tile_columns
    }

    /// Raw depth of a cell; `OUTSIDE` outside sheet or grid.
    pub(crate) fn raw(&self, column: u32, row: u32) -> i16 {
        if column >= self.grid.columns || row >= self.grid.rows {
            return OUTSIDE;
        }
        let (column, row) = (column as usize, row as usize);
        let tile = &self.tiles[row / TILE * self.tile_columns + column / TILE];
        tile.depth_row(row % TILE)[column % TILE]
    }

    /// A cell; `None` outside the sheet.
    pub fn cell(&self, column: u32, row: u32) -> Option<Cell> {
        let raw = self.raw(column, row);
        if raw == OUTSIDE {
            return None;
        }
        let (column, row) = (column as usize, row as usize);
        let tile = &self.tiles[row / TILE * self.tile_columns + column / TILE];
        let known = |mark: u32| (mark != NEVER).then(|| mark - 1);
        Some(Cell {
            depth_mm: f64::from(raw) * self.depth_step_mm,
            first_move: known(tile.first_row(row % TILE)[column % TILE]),
            through_move: known(tile.through_row(row % TILE)[column % TILE]),
        })
    }

    /// Depth at a place, mm; `None` outside the sheet.
    pub fn depth_at_mm(&self, place_mm: Vec2) -> Option<f64> {
        let (column, row) = self.grid.cell_at(place_mm)?;
        self.cell(column, row).map(|cell| cell.depth_mm)
    }

    /// The raw depths of one row, tile by tile, with the column each part starts at.
    pub(crate) fn row_parts(&self, row: u32) -> impl Iterator<Item = (u32, &[i16])> {
        let (tile_row, inner) = (row as usize / TILE, row as usize % TILE);
        let columns = self.grid.columns as usize;
        (0..self.tile_columns).map(move |tile_column| {
            let start = tile_column * TILE;
            let tile = &self.tiles[tile_row * self.tile_columns + tile_column];
            (start as u32, &tile.depth_row(inner)[..TILE.min(columns - start)])
        })
    }

    /// Area cut to at least this depth, mm²: cells whose centre is.
    pub fn area_at_depth_mm2(&self, depth_mm: f64) -> f64 {
        let depth = self.raw_depth(depth_mm);
        self.count(|cell| cell >= depth && cell != OUTSIDE) as f64 * self.grid.cell_area_mm2()
    }

    /// Area of the sheet, mm²: cells whose centre is inside.
    pub fn sheet_area_mm2(&self) -> f64 {
        self.count(|cell| cell != OUTSIDE) as f64 * self.grid.cell_area_mm2()
    }

    /// Volume taken out of the sheet above its lower face, mm³.
    pub fn removed_volume_mm3(&self) -> f64 {
        let bottom = self.raw_depth(self.thickness_mm);
        let mut steps = 0_u64;
        for row in 0..self.grid.rows {
            for (_, cells) in self.row_parts(row) {
                let inside = cells.iter().filter(|&&cell| cell != OUTSIDE);
                steps += inside.map(|&cell| cell.min(bottom) as u64).sum::<u64>();
            }
        }
        steps as f64 * self.depth_step_mm * self.grid.cell_area_mm2()
    }

    pub(crate) fn raw_depth(&self, depth_mm: f64) -> i16 {
        (depth_mm / self.depth_step_mm).round().clamp(0.0, f64::from(DEEPEST)) as i16
    }

    fn count(&self, keep: impl Fn(i16) -> bool) -> u64 {
        (0..self.grid.rows)
            .map(|row| {
                let kept = |cells: &[i16]| cells.iter().filter(|&&c| keep(c)).count() as u64;
                self.row_parts(row).map(|(_, cells)| kept(cells)).sum::<u64>()
            })
            .sum()
    }
}
