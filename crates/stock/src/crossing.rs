//! Where exactly, between two cells, the border of what is cut through lies.
//!
//! Every through-cutting move is crossed with all rows and columns of cells a second time; where a
//! stretch of a row begins or ends between two cells, the place is kept to 1/30000 of a cell. At a
//! border of material the place nearest to the material is the border itself.

use crate::band::ArcBand;
use crate::bins::{Binner, Tiling, Wanted};
use crate::leg::{Leg, Turn};
use crate::map::DepthMap;
use crate::rig::{Rig, RigTool};
use crate::span::{EDGE_SLACK, Interval, Stadium, ceil, floor};
use crate::tile::TILE;
use kw_geometry::Vec2;
use kw_nc::toolpath::Toolpath;
use rayon::prelude::*;

/// No place known.
const NONE: u16 = u16::MAX;
/// Places run from −0.5 to 1.5 cells past the first of the two cells: the edge of a thin blade may
/// lie beyond the cell that its kerf was widened to.
const SCALE: f64 = 30_000.0;

/// Places between neighbouring cells, by tile; tiles without through cuts hold none.
pub(crate) struct Crossings {
    tiles: Vec<Option<Box<Places>>>,
    tile_columns: usize,
}

/// Places of a tile.
struct Places {
    /// Between (column − 1, row) and (column, row).
    along_x: Vec<u16>,
    /// Between (column, row − 1) and (column, row).
    along_y: Vec<u16>,
}

impl Crossings {
    /// Crosses all moves before `end`.
    pub fn of(path: &Toolpath, rig: &Rig, map: &DepthMap, end: usize) -> Self {
        let through = f64::from(map.through_depth) - 0.5;
        let wanted = Wanted { least_depth: through, margin: 1.5 };
        let binner = Binner { path, rig, wanted, tiling: Tiling::of(map) };
        let mut tiles: Vec<Option<Box<Places>>> = map.tiles.iter().map(|_| None).collect();
        let tile_columns = map.tile_columns;
        binner.batches(0..end, |bins| {
            tiles.par_iter_mut().enumerate().with_max_len(1).for_each(|(index, places)| {
                let entries = bins.of_tile(index);
                if entries.is_empty() {
                    return;
                }
                let places = places.get_or_insert_with(|| Box::new(Places::new()));
                let corner = corner_of(index, tile_columns);
                let mut legs = Vec::new();
                for &entry in entries {
                    let tool = rig.legs(path, entry as usize, &mut legs);
                    let Some(tool) = tool else { continue };
                    let mut known = rig.starts_cut(path, entry as usize);
                    for leg in &legs {
                        let level = leg.depth[0] == leg.depth[1];
                        if let Some(part) = at_through(leg, through, tool) {
                            let part = part.relative_to(corner);
                            places.cross(&part, tool, through, known && level);
                        }
                        known = true;
                    }
                }
            });
        });
        Self { tiles, tile_columns }
    }

    /// Place between a cell and its neighbour before it along X (`axis` 0) or Y (1), in cells past
    /// that neighbour's centre.
    pub fn place(&self, column: u32, row: u32, axis: usize) -> Option<f64> {
        let (column, row) = (column as usize, row as usize);
        let index = row / TILE * self.tile_columns + column / TILE;
        let places = self.tiles.get(index)?.as_ref()?;
        let values = if axis == 0 { &places.along_x } else { &places.along_y };
        let value = values[row % TILE * TILE + column % TILE];
        (value != NONE).then(|| f64::from(value) / SCALE - 0.5)
    }
}

fn corner_of(index: usize, tile_columns: usize) -> Vec2 {
    let (column, row) = (index % tile_columns, index / tile_columns);
    Vec2::new((column * TILE) as f64, (row * TILE) as f64)
}

/// The part of a leg in which its tool cuts through. Contoured tools count only where they are
/// level: their border on a ramp is left to the middle between cells.
fn at_through(leg: &Leg, through: f64, tool: &RigTool) -> Option<Leg> {
    let [d0, d1] = leg.depth;
    let is_level = (d0 - d1).abs() < 1.0;
    if is_level || !tool.contour.is_flat() {
        return (is_level && d0.max(d1) >= through).then_some(*leg);
    }
    if d0.max(d1) < through {
        return None;
    }
    let reached = ((through - d0) / (d1 - d0)).clamp(0.0, 1.0);
    let (from, to) = if d1 > d0 { (reached, 1.0) } else { (0.0, reached) };
    Some(part_of(leg, from, to))
}

fn part_of(leg: &Leg, from: f64, to: f64) -> Leg {
    let depth = [from, to].map(|share| leg.depth[0] + (leg.depth[1] - leg.depth[0]) * share);
    match leg.turn {
        None => {
            let at = |share: f64| leg.from + (leg.to - leg.from) * share;
            Leg { from: at(from), to: at(to), depth, turn: None }
        }
        Some(turn) => {
            let spoke = leg.from - turn.centre;
            let at = |share: f64| turn.centre + spoke.rotated(turn.sweep_rad * share);
            let part = Turn { sweep_rad: turn.sweep_rad * (to - from), ..turn };
            let start = if from > 0.0 { at(from) } else { leg.from };
            let end = if to < 1.0 { at(to) } else { leg.to };
            let is_long = part.sweep_rad.abs() > 1e-9;
            Leg { from: start, to: end, depth, turn: is_long.then_some(part) }
        }
    }
}

impl Places {
    fn new() -> Self {
        let none = || vec![NONE; TILE * TILE];
        Self { along_x: none(), along_y: none() }
    }

    /// Notes where a leg's border crosses rows and columns. `start_known` says that the border
    /// around the tool at the leg's start was noted with the leg before.
    fn cross(&mut self, leg: &Leg, tool: &RigTool, through: f64, start_known: bool) {
        let radius = if tool.contour.is_flat() {
            tool.contour.radius
        } else {
            tool.contour.radius_at(leg.deepest() - through)
        };
        if radius <= 0.0 {
            return;
        }
        let radii = [radius, tool.true_radius.min(radius)];
        each_border(leg, radii, start_known, |row, border| {
            border.note(&mut self.along_x[row * TILE..(row + 1) * TILE], 1);
        });
        each_border(&leg.transposed(), radii, start_known, |column, border| {
            border.note(&mut self.along_y[column..], TILE);
        });
    }
}

/// Both ends of a stretch of a row; an end that is noted already is left out.
struct Border {
    /// Cells from here to there are cut.
    cut: Interval,
    /// Places to be noted.
    begins: Option<f64>,
    ends: Option<f64>,
}

impl Border {
    /// Notes the places in a line of cells whose neighbours lie `stride` apart.
    #[inline]
    fn note(&self, values: &mut [u16], stride: usize) {
        let (first, last) = (ceil(self.cut.0), floor(self.cut.1));
        if first > last {
            return;
        }
        if let (Some(at), Some(kept)) = (self.begins, cell(values, first, stride)) {
            *kept = place(at, first).min(*kept);
        }
        if let (Some(at), Some(kept)) = (self.ends, cell(values, last + 1, stride)) {
            let place = place(at, last + 1);
            *kept = if *kept == NONE { place } else { place.max(*kept) };
        }
    }
}

#[inline]
fn cell(values: &mut [u16], index: i32, stride: usize) -> Option<&mut u16> {
    let index = usize::try_from(index).ok().filter(|&index| index < TILE)?;
    values.get_mut(index * stride)
}

/// A place before the centre of a cell as it is kept.
#[inline]
fn place(at: f64, cell: i32) -> u16 {
    let share = (at - f64::from(cell) + 1.5) * SCALE;
    (share + 0.5).clamp(0.0, 2.0 * SCALE) as u16
}

/// Calls `each` with the borders in all rows, for the radius that decides which cells are cut and
/// for the true one.
fn each_border(leg: &Leg, radii: [f64; 2], start_known: bool, mut each: impl FnMut(usize, Border)) {
    let [counted, true_one] = radii;
    let band = |radius: f64| {
        let turn = leg.turn?;
        ArcBand::new(leg.from, leg.to, turn.centre, turn.sweep_rad, radius)
    };
    if let (Some(counted), Some(thin)) = (band(counted), band(true_one)) {
        for row in counted.rows() {
            let found = counted.intervals(row as f64, !start_known);
            let thin = thin.intervals(row as f64, true);
            for cut in found.iter() {
                // Stretches of a blade's two widths are paired where they meet.
                let meets = |t: &Interval| t.0 <= cut.1 && t.1 >= cut.0;
                let edge = thin.iter().find(meets).unwrap_or(cut);
                let edge = if counted.radius > thin_limit(true_one) { edge } else { cut };
                each(row, Border { cut, begins: Some(edge.0), ends: Some(edge.1) });
            }
        }
        return;
    }
    let wide = Stadium::new(leg.from, leg.to, counted);
    let slabs = wide.slabs();
    let thin = (counted > true_one).then(|| Stadium::new(leg.from, leg.to, true_one).slabs());
    for row in wide.rows() {
        let (cut, start) = slabs.interval(row as f64);
        let edge = thin.map_or(cut, |thin| thin.interval(row as f64).0);
        let edge = if edge.0 <= edge.1 { edge } else { cut };
        let known = |is_start: bool| start_known && is_start;
        each(
            row,
            Border {
                cut,
                begins: (!known(cut.0 >= start.0)).then_some(edge.0),
                ends: (!known(cut.1 <= start.1)).then_some(edge.1),
            },
        );
    }
}

/// Radius of a swept area from which a wider one differs.
fn thin_limit(radius: f64) -> f64 {
    radius + 2.0 * EDGE_SLACK
}
