//! Where exactly, between two cells, the border of what is cut through lies.
//!
//! Every through-cutting move is crossed with all rows and columns of cells a second time; where a
//! stretch of a row begins or ends between two cells, the place is kept to 1/30000 of a cell. At a
//! border of material the place nearest to the material is the border itself.

use crate::bins::{Binner, Tiling, Wanted};
use crate::leg::{Leg, Turn};
use crate::map::DepthMap;
use crate::rig::{Rig, RigTool};
use crate::span::{ArcBand, Interval, Stadium};
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

/// Whether a stretch of cut cells begins or ends at a place.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Edge {
    Begins,
    Ends,
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
                    for leg in legs.iter().filter_map(|leg| at_through(leg, through, tool)) {
                        places.cross(&leg.relative_to(corner), tool, through);
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

    /// Notes where a leg's border crosses rows and columns.
    fn cross(&mut self, leg: &Leg, tool: &RigTool, through: f64) {
        let radius = if tool.contour.is_flat() {
            tool.contour.radius
        } else {
            tool.contour.radius_at(leg.deepest() - through)
        };
        if radius <= 0.0 {
            return;
        }
        let radii = [radius, tool.true_radius.min(radius)];
        each_interval(leg, radii, |row, counted, true_one| {
            note(&mut self.along_x, counted, true_one, |column| row * TILE + column);
        });
        each_interval(&leg.transposed(), radii, |column, counted, true_one| {
            note(&mut self.along_y, counted, true_one, |row| row * TILE + column);
        });
    }
}

/// Calls `each` with the stretches of all rows, for the radius that decides which cells are cut
/// and for the true one.
fn each_interval(leg: &Leg, radii: [f64; 2], mut each: impl FnMut(usize, Interval, Interval)) {
    let [counted, true_one] = radii;
    let band = |radius: f64| {
        let turn = leg.turn?;
        ArcBand::new(leg.from, leg.to, turn.centre, turn.sweep_rad, radius)
    };
    if let (Some(counted), Some(thin)) = (band(counted), band(true_one)) {
        for row in counted.rows() {
            let found = counted.intervals(row as f64, true);
            let thin = thin.intervals(row as f64, true);
            for interval in found.iter() {
                // Stretches of a blade's two widths are paired where they meet.
                let meets = |t: &Interval| t.0 <= interval.1 && t.1 >= interval.0;
                each(row, interval, thin.iter().find(meets).unwrap_or(interval));
            }
        }
        return;
    }
    let (wide, thin) =
        (Stadium::new(leg.from, leg.to, counted), Stadium::new(leg.from, leg.to, true_one));
    let (wide_slabs, thin_slabs) = (wide.slabs(), thin.slabs());
    for row in wide.rows() {
        let interval = wide_slabs.interval(row as f64).0;
        let thin = if counted > true_one { thin_slabs.interval(row as f64).0 } else { interval };
        if interval.0 <= interval.1 {
            each(row, interval, if thin.0 <= thin.1 { thin } else { interval });
        }
    }
}

fn note(values: &mut [u16], counted: Interval, true_one: Interval, index: impl Fn(usize) -> usize) {
    let first = counted.0.ceil();
    if first > counted.1 {
        return;
    }
    let mut put = |cell: f64, at: f64, edge: Edge| {
        if !(0.0..TILE as f64).contains(&cell) {
            return;
        }
        let place = ((at - (cell - 1.0) + 0.5) * SCALE).round().clamp(0.0, 2.0 * SCALE) as u16;
        let kept = &mut values[index(cell as usize)];
        *kept = match edge {
            Edge::Begins => place.min(*kept),
            Edge::Ends if *kept == NONE => place,
            Edge::Ends => place.max(*kept),
        };
    };
    put(first, true_one.0, Edge::Begins);
    put(counted.1.floor() + 1.0, true_one.1, Edge::Ends);
}
