//! The footprint of a piece, cut into cells by a coarse grid and by the zones under it.

use super::cell_map::{self, CellMap};
use super::polygon;
use crate::board::retention::Footprint;
use crate::plane::hull::hull;
use crate::plane::moments::Moments;
use kw_geometry::{Polygon, Vec2};

/// How finely a footprint is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShapeOptions {
    /// About how many cells, 16 to 10 000. Each cell knows its own area, centre and spread, so that 100
    /// cells give the capacity against twisting within 0.1 %.
    pub cells: usize,
}

impl Default for ShapeOptions {
    fn default() -> Self {
        Self { cells: 100 }
    }
}

const CELLS_RANGE: (usize, usize) = (16, 10_000);
/// Most corners of a piece's outlines together.
pub const MOST_CORNERS: usize = 200_000;
/// Parts of a cell below this share of the cell are dropped: rounding along shared borders.
pub(crate) const SLIVER: f64 = 1e-9;

/// Why a piece has no footprint.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum PieceError {
    /// Outlines without area.
    #[error(
        "piece has an area of {area_mm2} mm²; it must be above 0: check that its outline is closed and its holes lie inside"
    )]
    NoArea {
        /// Area of the outline less its holes, mm².
        area_mm2: f64,
    },
    /// A coordinate that is no number, or beyond a kilometre.
    #[error("piece has the coordinate {value} mm; coordinates must lie within ±1 000 000 mm")]
    BadCoordinate {
        /// The coordinate.
        value: f64,
    },
    /// Too many corners or cells.
    #[error(
        "piece has {count} corners or map cells; at most {most} are read: simplify its outline or coarsen its map"
    )]
    TooLarge {
        /// Corners or cells given.
        count: usize,
        /// Most taken.
        most: usize,
    },
    /// A cell map whose size does not fit its cells.
    #[error(
        "cell map of {columns} × {rows} cells of {step_mm} mm has {cells} values; one value from 0 to 1 a cell and a step above 0 are needed"
    )]
    BadMap {
        /// Columns stated.
        columns: usize,
        /// Rows stated.
        rows: usize,
        /// Values given.
        cells: usize,
        /// Step, mm.
        step_mm: f64,
    },
}

/// A part of the footprint: small, with its own centre and spread.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cell {
    /// Index into [`PieceShape::parts`].
    pub(crate) part: usize,
    pub(crate) area_mm2: f64,
    /// Centre, mm, from the shape's origin.
    pub(crate) centre: Vec2,
    /// Mean square distance from the centre along any one direction, mm².
    pub(crate) spread_mm2: f64,
}

/// The part of a footprint on one zone, or on none.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ZonePart {
    pub(crate) zone: Option<usize>,
    pub(crate) moments: Moments,
    /// Corners of its convex hull, mm, from the shape's origin.
    pub(crate) rim: Vec<Vec2>,
}

/// A piece's footprint, prepared once and used at every event.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceShape {
    /// Where local coordinates start, mm.
    pub(crate) origin: Vec2,
    pub(crate) cells: Vec<Cell>,
    pub(crate) parts: Vec<ZonePart>,
    pub(crate) area_mm2: f64,
    pub(crate) perimeter_mm: f64,
}

impl PieceShape {
    /// From an outline less its holes (mm, either direction; through-holes and pockets that break
    /// through), and the zones of the table in the same coordinates. Zones should not overlap.
    ///
    /// # Errors
    /// [`PieceError`] if there is no usable area.
    pub fn from_outline(
        outline: &Polygon,
        holes: &[Polygon],
        zones: &[Polygon],
        options: ShapeOptions,
    ) -> Result<Self, PieceError> {
        polygon::shape(outline, holes, zones, clamped(options))
    }

    /// From a map of cells that the piece fills, and the zones of the table in the same coordinates.
    ///
    /// A map cell belongs to the zone under its centre. The perimeter is estimated from the number of
    /// borders met along four directions, at most 8 % high and hardly ever low.
    ///
    /// # Errors
    /// [`PieceError`] if there is no usable area.
    pub fn from_cells(
        map: &CellMap,
        zones: &[Polygon],
        options: ShapeOptions,
    ) -> Result<Self, PieceError> {
        cell_map::shape(map, zones, clamped(options))
    }

    /// Area, mm².
    pub fn area_mm2(&self) -> f64 {
        self.area_mm2
    }

    /// Border length, holes included, mm.
    pub fn perimeter_mm(&self) -> f64 {
        self.perimeter_mm
    }

    /// Perimeter and area for the loss estimate.
    pub fn footprint(&self) -> Footprint {
        Footprint { perimeter_m: self.perimeter_mm * 1e-3, area_m2: self.area_mm2 * 1e-6 }
    }

    /// Centre of area, mm.
    pub fn centre(&self) -> Vec2 {
        let sum = self.parts.iter().fold(Moments::default(), |sum, part| sum + part.moments);
        self.origin + sum.centre()
    }

    /// Zones under the piece with the area on each, mm²; `None` for area beside all zones.
    pub fn zones(&self) -> impl Iterator<Item = (Option<usize>, f64)> + '_ {
        self.parts.iter().map(|part| (part.zone, part.moments.area))
    }

    /// Number of cells.
    pub fn cell_count(&self) -> usize {
        self.cells.len()
    }
}

fn clamped(options: ShapeOptions) -> ShapeOptions {
    ShapeOptions { cells: options.cells.clamp(CELLS_RANGE.0, CELLS_RANGE.1) }
}

/// Collects cells and corners by zone.
pub(crate) struct Builder {
    cells: Vec<Cell>,
    parts: Vec<ZonePart>,
}

impl Builder {
    pub(crate) fn new() -> Self {
        Self { cells: Vec::new(), parts: Vec::new() }
    }

    /// Adds a cell on a zone with corners that may lie on its border.
    pub(crate) fn add(
        &mut self,
        zone: Option<usize>,
        moments: Moments,
        corners: impl IntoIterator<Item = Vec2>,
    ) {
        let part = self.part(zone);
        let [xx, yy, _] = moments.spread();
        self.cells.push(Cell {
            part,
            area_mm2: moments.area,
            centre: moments.centre(),
            spread_mm2: (0.5 * (xx + yy)).max(0.0),
        });
        self.parts[part].moments += moments;
        self.parts[part].rim.extend(corners);
    }

    fn part(&mut self, zone: Option<usize>) -> usize {
        if let Some(found) = self.parts.iter().position(|part| part.zone == zone) {
            return found;
        }
        self.parts.push(ZonePart { zone, moments: Moments::default(), rim: Vec::new() });
        self.parts.len() - 1
    }

    pub(crate) fn finish(
        mut self,
        origin: Vec2,
        perimeter_mm: f64,
    ) -> Result<PieceShape, PieceError> {
        let area_mm2: f64 = self.cells.iter().map(|cell| cell.area_mm2).sum();
        if area_mm2.is_nan() || area_mm2 <= 0.0 {
            return Err(PieceError::NoArea { area_mm2 });
        }
        for part in &mut self.parts {
            part.rim = hull(std::mem::take(&mut part.rim));
        }
        Ok(PieceShape { origin, cells: self.cells, parts: self.parts, area_mm2, perimeter_mm })
    }
}
