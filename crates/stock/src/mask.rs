//! Which cells lie inside the sheet's outline.

use crate::grid::Grid;
use crate::tile::{OUTSIDE, TILE, Tile};
use kw_geometry::{Polygon, Vec2};

/// Tiles of the uncut sheet: 0 inside the outline (even-odd rule), `OUTSIDE` elsewhere.
pub(crate) fn mask_tiles(grid: &Grid, outline: &Polygon) -> Vec<Tile> {
    let points: Vec<Vec2> = outline.points.iter().map(|&p| grid.to_cells(p)).collect();
    let rows = inside_intervals(&points, grid.rows);
    let tile_columns = (grid.columns as usize).div_ceil(TILE);
    let tile_rows = (grid.rows as usize).div_ceil(TILE);
    let mut tiles = Vec::with_capacity(tile_columns * tile_rows);
    for tile_row in 0..tile_rows {
        for tile_column in 0..tile_columns {
            tiles.push(mask_tile(&rows, tile_column * TILE, tile_row * TILE));
        }
    }
    tiles
}

fn mask_tile(rows: &[Vec<(usize, usize)>], column: usize, row: usize) -> Tile {
    let covers = |&(start, end): &(usize, usize)| start <= column && end >= column + TILE;
    let all_inside = (row..row + TILE)
        .all(|y| rows.get(y).is_some_and(|intervals| intervals.iter().any(covers)));
    if all_inside {
        return Tile::default();
    }
    let mut depth = vec![OUTSIDE; TILE * TILE];
    for (inner, intervals) in rows.iter().skip(row).take(TILE).enumerate() {
        for &(start, end) in intervals {
            let start = start.clamp(column, column + TILE) - column;
            let end = end.clamp(column, column + TILE) - column;
            depth[inner * TILE + start..inner * TILE + end].fill(0);
        }
    }
    Tile { depth, ..Tile::default() }
}

/// For each row the ranges of columns whose centres lie inside.
fn inside_intervals(points: &[Vec2], rows: u32) -> Vec<Vec<(usize, usize)>> {
    let crossings = row_crossings(points, rows);
    let pairs = |crossings: Vec<f64>| {
        let ranges = crossings.chunks_exact(2).map(|pair| {
            let start = pair[0].ceil().max(0.0) as usize;
            (start, (pair[1].ceil().max(0.0) as usize).max(start))
        });
        ranges.filter(|(start, end)| start < end).collect()
    };
    crossings.into_iter().map(pairs).collect()
}

/// For each row the places, in cells and rising, where the polygon's border crosses it.
pub(crate) fn row_crossings(points: &[Vec2], rows: u32) -> Vec<Vec<f64>> {
    let mut crossings = vec![Vec::new(); rows as usize];
    for (index, &a) in points.iter().enumerate() {
        let b = points[(index + 1) % points.len()];
        let (low, high) = (a.y.min(b.y), a.y.max(b.y));
        let first = low.ceil().max(0.0) as usize;
        let end = (high.ceil().max(0.0) as usize).min(rows as usize);
        for (row, row_crossings) in crossings.iter_mut().enumerate().take(end).skip(first) {
            let share = (row as f64 - a.y) / (b.y - a.y);
            row_crossings.push(a.x + (b.x - a.x) * share);
        }
    }
    for row in &mut crossings {
        row.sort_by(f64::total_cmp);
    }
    crossings
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn intervals_follow_the_even_odd_rule() {
        // A square with a notch from above, in cells.
        let corners = [(0.5, 0.5), (9.5, 0.5), (9.5, 6.5), (6.5, 6.5), (6.5, 3.5), (3.5, 3.5)];
        let mut points: Vec<Vec2> = corners.iter().map(|&(x, y)| Vec2::new(x, y)).collect();
        points.extend([Vec2::new(3.5, 6.5), Vec2::new(0.5, 6.5)]);
        let rows = inside_intervals(&points, 8);
        assert_eq!(rows[0], []);
        assert_eq!(rows[1], [(1, 10)]);
        assert_eq!(rows[5], [(1, 4), (7, 10)]);
        assert_eq!(rows[7], []);
    }
}
