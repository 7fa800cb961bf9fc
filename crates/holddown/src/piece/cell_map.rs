//! Footprint from a map of cells, as a depth map of the sheet gives it.

use super::shape::{Builder, PieceError, PieceShape, ShapeOptions};
use crate::plane::moments::Moments;
use core::f64::consts::SQRT_2;
use kw_geometry::{Polygon, Vec2};

/// Most cells of a map.
const MOST_CELLS: usize = 1 << 26;

/// Cells of a square grid with the share of each that the piece fills.
#[derive(Clone, Debug, PartialEq)]
pub struct CellMap {
    /// Corner of the first cell with the smallest coordinates, mm.
    pub origin: Vec2,
    /// Side of a cell, mm, above 0.
    pub step_mm: f64,
    /// Cells along X.
    pub columns: usize,
    /// Cells along Y.
    pub rows: usize,
    /// Filled share of each cell, 0 to 1, row by row.
    pub filled: Vec<f32>,
}

impl CellMap {
    fn check(&self) -> Result<(), PieceError> {
        let count = self.columns.saturating_mul(self.rows);
        if count > MOST_CELLS {
            return Err(PieceError::TooLarge { count, most: MOST_CELLS });
        }
        let shares = self.filled.iter().all(|share| (0.0..=1.0).contains(share));
        let step = self.step_mm > 0.0 && self.step_mm.is_finite();
        if self.filled.len() != count || !shares || !step {
            return Err(PieceError::BadMap {
                columns: self.columns,
                rows: self.rows,
                cells: self.filled.len(),
                step_mm: self.step_mm,
            });
        }
        for value in [self.origin.x, self.origin.y] {
            if !value.is_finite() {
                return Err(PieceError::BadCoordinate { value });
            }
        }
        Ok(())
    }

    fn share(&self, column: usize, row: usize) -> f64 {
        f64::from(self.filled[row * self.columns + column])
    }

    /// Whether a cell counts as piece; outside the map nothing does.
    fn is_piece(&self, column: i64, row: i64) -> bool {
        let inside =
            column >= 0 && row >= 0 && column < self.columns as i64 && row < self.rows as i64;
        inside && self.share(column as usize, row as usize) >= 0.5
    }

    /// Border length, mm, from the borders met on lines along four directions (Cauchy and Crofton),
    /// scaled so that borders along the axes and diagonals come out exact and others up to 8 % long.
    fn perimeter_mm(&self) -> f64 {
        let mut straight = 0_u64;
        let mut diagonal = 0_u64;
        for row in -1..self.rows as i64 {
            for column in -1..self.columns as i64 {
                let here = self.is_piece(column, row);
                let right = self.is_piece(column + 1, row);
                let up = self.is_piece(column, row + 1);
                let across = self.is_piece(column + 1, row + 1);
                straight += u64::from(here != right) + u64::from(here != up);
                diagonal += u64::from(here != across) + u64::from(right != up);
            }
        }
        let met = straight as f64 + diagonal as f64 / SQRT_2;
        // The mean over directions would be π/8 · step · met, which is π (1 + √2)/8 of a border along an
        // axis.
        self.step_mm * met / (1.0 + SQRT_2)
    }
}

pub(super) fn shape(
    map: &CellMap,
    zones: &[Polygon],
    options: ShapeOptions,
) -> Result<PieceShape, PieceError> {
    map.check()?;
    let filled: f64 = map.filled.iter().map(|&share| f64::from(share)).sum();
    let block = ((filled / options.cells as f64).sqrt().ceil() as usize).max(1);
    let size = Vec2::new(map.columns as f64, map.rows as f64) * map.step_mm;
    let origin = map.origin + size * 0.5;
    let zones: Vec<ZoneBox> =
        zones.iter().enumerate().filter_map(|(i, z)| ZoneBox::new(i, z)).collect();
    let mut builder = Builder::new();
    for block_row in (0..map.rows).step_by(block) {
        for block_column in (0..map.columns).step_by(block) {
            let mut shares: Vec<Share> = Vec::new();
            for row in block_row..(block_row + block).min(map.rows) {
                for column in block_column..(block_column + block).min(map.columns) {
                    add_map_cell(&mut shares, map, (column, row), &zones, origin);
                }
            }
            for share in shares {
                let corners = share.corners(map, origin);
                builder.add(share.zone, share.moments, corners);
            }
        }
    }
    builder.finish(origin, map.perimeter_mm())
}

/// What one zone has of a block of map cells.
struct Share {
    zone: Option<usize>,
    moments: Moments,
    /// Row with its first and last column.
    spans: Vec<(usize, usize, usize)>,
}

impl Share {
    fn corners(&self, map: &CellMap, origin: Vec2) -> Vec<Vec2> {
        let at = |column: usize, row: usize| {
            map.origin + Vec2::new(column as f64, row as f64) * map.step_mm - origin
        };
        let of_span = |&(row, first, last): &(usize, usize, usize)| {
            [at(first, row), at(last + 1, row), at(last + 1, row + 1), at(first, row + 1)]
        };
        self.spans.iter().flat_map(of_span).collect()
    }
}

fn add_map_cell(
    shares: &mut Vec<Share>,
    map: &CellMap,
    (column, row): (usize, usize),
    zones: &[ZoneBox],
    origin: Vec2,
) {
    let filled = map.share(column, row);
    if filled <= 0.0 {
        return;
    }
    let centre = map.origin + Vec2::new(column as f64 + 0.5, row as f64 + 0.5) * map.step_mm;
    let zone = zones.iter().find(|zone| zone.contains(centre)).map(|zone| zone.index);
    let at = shares.iter().position(|share| share.zone == zone).unwrap_or_else(|| {
        shares.push(Share { zone, moments: Moments::default(), spans: Vec::new() });
        shares.len() - 1
    });
    let share = &mut shares[at];
    share.moments += Moments::of_square(centre - origin, map.step_mm, filled);
    match share.spans.last_mut() {
        Some((of, _, last)) if *of == row => *last = column,
        _ => share.spans.push((row, column, column)),
    }
}

/// A zone with its box, for quick refusal.
struct ZoneBox<'a> {
    index: usize,
    polygon: &'a Polygon,
    low: Vec2,
    high: Vec2,
}

impl<'a> ZoneBox<'a> {
    fn new(index: usize, polygon: &'a Polygon) -> Option<Self> {
        let (low, high) = polygon.extent()?;
        Some(Self { index, polygon, low, high })
    }

    fn contains(&self, p: Vec2) -> bool {
        p.x >= self.low.x
            && p.x <= self.high.x
            && p.y >= self.low.y
            && p.y <= self.high.y
            && self.polygon.contains(p)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn map(columns: usize, rows: usize, inside: impl Fn(f64, f64) -> bool) -> CellMap {
        let filled = (0..rows * columns)
            .map(|i| {
                let (x, y) = ((i % columns) as f64 + 0.5, (i / columns) as f64 + 0.5);
                if inside(x, y) { 1.0 } else { 0.0 }
            })
            .collect();
        CellMap { origin: Vec2::new(10.0, 20.0), step_mm: 1.0, columns, rows, filled }
    }

    #[test]
    fn a_rectangle_of_cells_is_that_rectangle() {
        let map = map(120, 80, |x, y| x > 10.0 && x < 110.0 && y > 20.0 && y < 70.0);
        let shape = PieceShape::from_cells(&map, &[], ShapeOptions::default()).unwrap();
        assert!((shape.area_mm2 - 5000.0).abs() < 1e-6);
        assert!((shape.perimeter_mm / 300.0 - 1.0).abs() < 0.01, "{}", shape.perimeter_mm);
        assert!(shape.centre().distance(Vec2::new(70.0, 65.0)) < 1e-6);
        assert!(shape.cell_count() < 120);
        assert_eq!(shape.parts[0].rim.len(), 4);
    }

    #[test]
    fn perimeters_of_round_and_slanted_pieces_are_not_low() {
        let disc = map(100, 100, |x, y| (x - 50.0).powi(2) + (y - 50.0).powi(2) < 1600.0);
        let exact = kw_base::math::TAU * 40.0;
        let got = disc.perimeter_mm();
        assert!(got > exact && got < 1.08 * exact, "{got} {exact}");
        let slanted = map(100, 100, |x, y| {
            let (u, v) = (
                0.9238795 * (x - 50.0) + 0.3826834 * (y - 50.0),
                0.9238795 * (y - 50.0) - 0.3826834 * (x - 50.0),
            );
            u.abs() < 30.0 && v.abs() < 20.0
        });
        assert!(slanted.perimeter_mm() > 200.0 && slanted.perimeter_mm() < 217.0);
    }

    #[test]
    fn zones_split_by_cell_centre() {
        let zones = [
            Polygon::rectangle(Vec2::new(0.0, 0.0), Vec2::new(60.0, 200.0)),
            Polygon::rectangle(Vec2::new(60.0, 0.0), Vec2::new(90.0, 200.0)),
        ];
        let shape =
            PieceShape::from_cells(&map(100, 10, |_, _| true), &zones, ShapeOptions::default())
                .unwrap();
        let area = |zone| shape.zones().filter(|z| z.0 == zone).map(|z| z.1).sum::<f64>();
        assert_eq!(
            [area(Some(0)), area(Some(1)), area(None)].map(f64::round),
            [500.0, 300.0, 200.0]
        );
    }

    #[test]
    fn bad_maps_are_refused() {
        let mut bad = map(3, 3, |_, _| true);
        bad.filled.pop();
        assert!(matches!(
            shape(&bad, &[], ShapeOptions::default()),
            Err(PieceError::BadMap { .. })
        ));
        let empty = map(3, 3, |_, _| false);
        assert!(matches!(
            shape(&empty, &[], ShapeOptions::default()),
            Err(PieceError::NoArea { .. })
        ));
        let mut step = map(3, 3, |_, _| true);
        step.step_mm = f64::NAN;
        assert!(matches!(
            shape(&step, &[], ShapeOptions::default()),
            Err(PieceError::BadMap { .. })
        ));
        let huge = CellMap { columns: usize::MAX, ..map(3, 3, |_, _| true) };
        assert!(matches!(
            shape(&huge, &[], ShapeOptions::default()),
            Err(PieceError::TooLarge { .. })
        ));
    }
}
