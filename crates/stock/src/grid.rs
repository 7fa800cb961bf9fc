//! The cells of a depth map and their place on the table.

use crate::setup::StockSetup;
use kw_geometry::Vec2;

/// A rectangle of square cells; cell (column, row) has its centre at
/// `origin_mm + (column, row) · step_mm`.
///
/// A ring of one cell around the sheet's box lies outside the sheet, so that every border of
/// material runs between two cells.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Grid {
    /// Centre of cell (0, 0), machine coordinates, mm.
    pub origin_mm: Vec2,
    /// Side of a cell, mm.
    pub step_mm: f64,
    /// Cells along X.
    pub columns: u32,
    /// Cells along Y.
    pub rows: u32,
}

/// Why a depth map cannot be made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MapError {
    /// The step is not within 0.05 to 10 mm.
    Step(f64),
    /// The sheet has no outline, or one that is not finite.
    Outline,
    /// The thickness is not within 0.01 to 1000 mm.
    Thickness(f64),
    /// More cells than allowed.
    Cells {
        /// Cells wanted.
        wanted: u64,
        /// Most cells allowed.
        allowed: u64,
        /// Step at which it would fit, mm.
        step_mm: f64,
    },
}

impl std::fmt::Display for MapError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Step(step) => write!(f, "cell size {step} mm is not within 0.05 to 10 mm"),
            Self::Outline => f.write_str("the sheet has no usable outline"),
            Self::Thickness(t) => write!(f, "sheet thickness {t} mm is not within 0.01 to 1000 mm"),
            Self::Cells { wanted, allowed, step_mm } => write!(
                f,
                "{wanted} cells are more than the {allowed} allowed; a cell size of \
                 {step_mm:.2} mm fits"
            ),
        }
    }
}

impl std::error::Error for MapError {}

/// Part of a step by which a sheet may be larger than whole cells without gaining a cell more:
/// keeps rounding in the sheet's size from adding an empty row. Too large would lose material.
const SIZE_SLACK_STEPS: f64 = 1e-6;

impl Grid {
    /// Cells over the sheet's box with a ring around it.
    pub fn over(setup: &StockSetup, step_mm: f64, max_cells: u64) -> Result<Self, MapError> {
        if !(0.05..=10.0).contains(&step_mm) {
            return Err(MapError::Step(step_mm));
        }
        let (min, max) = setup.outline.extent().ok_or(MapError::Outline)?;
        let size = max - min;
        let finite = [min.x, min.y, max.x, max.y].iter().all(|v| v.is_finite());
        if !finite || size.x <= 0.0 || size.y <= 0.0 {
            return Err(MapError::Outline);
        }
        let cells = |length: f64| (length / step_mm - SIZE_SLACK_STEPS).ceil().max(1.0) + 2.0;
        let (columns, rows) = (cells(size.x), cells(size.y));
        let wanted = columns * rows;
        if wanted > max_cells as f64 {
            let step_mm = (size.x * size.y / max_cells as f64).sqrt() * 1.01 + 0.005;
            return Err(MapError::Cells { wanted: wanted as u64, allowed: max_cells, step_mm });
        }
        let origin_mm = min - Vec2::new(step_mm, step_mm) * 0.5;
        Ok(Self { origin_mm, step_mm, columns: columns as u32, rows: rows as u32 })
    }

    /// Centre of a cell, machine coordinates, mm.
    pub fn centre_mm(&self, column: u32, row: u32) -> Vec2 {
        self.origin_mm + Vec2::new(f64::from(column), f64::from(row)) * self.step_mm
    }

    /// A place in cells: cell centres lie at whole numbers.
    pub(crate) fn to_cells(self, place_mm: Vec2) -> Vec2 {
        (place_mm - self.origin_mm) * (1.0 / self.step_mm)
    }

    /// Inverse of [`Self::to_cells`].
    pub(crate) fn to_mm(self, place: Vec2) -> Vec2 {
        self.origin_mm + place * self.step_mm
    }

    /// The cell whose square holds a place; `None` outside the grid.
    pub fn cell_at(&self, place_mm: Vec2) -> Option<(u32, u32)> {
        let place = self.to_cells(place_mm);
        let index = |v: f64, count: u32| {
            let v = (v + 0.5).floor();
            (v >= 0.0 && v < f64::from(count)).then_some(v as u32)
        };
        Some((index(place.x, self.columns)?, index(place.y, self.rows)?))
    }

    /// Area of a cell, mm².
    pub fn cell_area_mm2(&self) -> f64 {
        self.step_mm * self.step_mm
    }
}
