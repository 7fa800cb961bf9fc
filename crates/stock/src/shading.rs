//! The depth map as a picture, for drawing the sheet at any moment.

use crate::map::DepthMap;
use crate::tile::{NEVER, OUTSIDE, TILE};
use kw_geometry::Vec2;
use rayon::prelude::*;

/// A picture of a depth map, row by row from the least Y.
///
/// At the moment after move m a pixel is untouched while `first_move > m`, open while
/// `through_move > m`, and through after that. The depth shown is the final one; the exact sheet
/// at a moment comes from a sweep up to that move ([`crate::SweepOptions::end_move`]).
#[derive(Clone, Debug, PartialEq)]
pub struct Shading {
    /// Pixels along X.
    pub width: u32,
    /// Pixels along Y.
    pub height: u32,
    /// Corner of least X and Y, machine coordinates, mm.
    pub corner_mm: Vec2,
    /// Side of a pixel, mm.
    pub pixel_mm: f64,
    /// Depth as a share of the thickness, 0 uncut to 254 through or deeper; [`Shading::OUTSIDE`]
    /// beside the sheet. The deepest cell of a pixel counts, so that thin cuts stay visible.
    pub depth: Vec<u8>,
    /// Move that first cut a cell of the pixel; [`Shading::NEVER`] if none.
    pub first_move: Vec<u32>,
    /// Move that first cut a cell of the pixel through; [`Shading::NEVER`] if none.
    pub through_move: Vec<u32>,
}

impl Shading {
    /// Depth of pixels beside the sheet.
    pub const OUTSIDE: u8 = 255;
    /// Stands for no move.
    pub const NEVER: u32 = u32::MAX;
}

impl DepthMap {
    /// The map as a picture with `cells` × `cells` cells to a pixel (at least 1).
    pub fn shading(&self, cells: u32) -> Shading {
        let cells = cells.max(1);
        // The ring around the sheet is left out.
        let (inner_columns, inner_rows) = (self.grid.columns - 2, self.grid.rows - 2);
        let (width, height) = (inner_columns.div_ceil(cells), inner_rows.div_ceil(cells));
        let rows: Vec<Vec<Pixel>> = (0..height)
            .into_par_iter()
            .map(|y| {
                let mut pixels = vec![Pixel::default(); width as usize];
                for row in (1 + y * cells)..(1 + (y + 1) * cells).min(inner_rows + 1) {
                    self.shade_row(row, cells, &mut pixels);
                }
                pixels
            })
            .collect();
        let pixels = || rows.iter().flatten();
        Shading {
            width,
            height,
            corner_mm: self.grid.to_mm(Vec2::new(0.5, 0.5)),
            pixel_mm: self.grid.step_mm * f64::from(cells),
            depth: pixels().map(|pixel| self.shade(pixel.depth)).collect(),
            first_move: pixels().map(|pixel| pixel.first.wrapping_sub(1)).collect(),
            through_move: pixels().map(|pixel| pixel.through.wrapping_sub(1)).collect(),
        }
    }

    fn shade_row(&self, row: u32, cells: u32, pixels: &mut [Pixel]) {
        let (tile_row, inner) = (row as usize / TILE, row as usize % TILE);
        for tile_column in 0..self.tile_columns {
            let tile = &self.tiles[tile_row * self.tile_columns + tile_column];
            let marks = tile.first_row(inner).iter().zip(tile.through_row(inner));
            let columns = (tile_column * TILE) as u32..;
            for (column, (&depth, (&first, &through))) in
                columns.zip(tile.depth_row(inner).iter().zip(marks))
            {
                let place = column.checked_sub(1).map(|column| (column / cells) as usize);
                if depth != OUTSIDE
                    && let Some(pixel) = place.and_then(|place| pixels.get_mut(place))
                {
                    pixel.depth = Some(pixel.depth.map_or(depth, |deepest| deepest.max(depth)));
                    pixel.first = earlier(pixel.first, first);
                    pixel.through = earlier(pixel.through, through);
                }
            }
        }
    }

    fn shade(&self, depth: Option<i16>) -> u8 {
        let Some(depth) = depth else { return Shading::OUTSIDE };
        if depth >= self.through_depth {
            return 254;
        }
        // A cut, however shallow, differs from none.
        let share = f64::from(depth) / f64::from(self.through_depth) * 253.0;
        share.ceil() as u8
    }
}

#[derive(Clone, Copy, Default)]
struct Pixel {
    depth: Option<i16>,
    /// Marks: moves plus 1, 0 for none.
    first: u32,
    through: u32,
}

fn earlier(known: u32, mark: u32) -> u32 {
    match (known, mark) {
        (NEVER, mark) | (mark, NEVER) => mark,
        _ => known.min(mark),
    }
}
