//! Sweeps one leg of a tool across the cells of one tile.

use crate::band::ArcBand;
use crate::leg::Leg;
use crate::ramp;
use crate::scaled::{Contour, Form, Height};
use crate::span::{RowTable, Stadium, by_side, cells, disc_interval, parts};
use crate::tile::{BLOCK, CellSpan, DEEPEST, Lower, Side, TILE};
use kw_geometry::Vec2;

/// Takes the depths that a leg reaches at a tile's cells.
pub(crate) trait Sink {
    /// All cells of a span at one depth.
    fn level(&mut self, span: CellSpan, side: Side, depth: i16);
    /// One depth for each cell of a block, 0 where the tool does not reach; `left` is −1 for cells
    /// to the left of the travel, else 0; `at` is the index of the first cell in the tile.
    fn block(&mut self, at: usize, depths: &[i16; BLOCK], left: &[i16; BLOCK]);
}

impl Sink for Lower<'_> {
    fn level(&mut self, span: CellSpan, side: Side, depth: i16) {
        Lower::level(self, span, side, depth);
    }

    #[inline]
    fn block(&mut self, at: usize, depths: &[i16; BLOCK], left: &[i16; BLOCK]) {
        Lower::block(self, at, depths, left);
    }
}

/// Sweeps a leg in a tile's own coordinates.
///
/// `starts_cut` says that all cells under the tool at the leg's start are already cut as the tool
/// stands there, so that they need no visit where the leg goes no deeper.
pub(crate) fn sweep_leg(
    sink: &mut impl Sink,
    table: &mut RowTable,
    leg: &Leg,
    contour: &Contour,
    starts_cut: bool,
) {
    let [d0, d1] = leg.depth.map(whole);
    if d0.max(d1) <= 0.0 {
        return;
    }
    let level = (d0 == d1).then(|| whole_depth(d0));
    let skips_start = starts_cut && d1 <= d0;
    let band = leg.turn.and_then(|turn| {
        ArcBand::new(leg.from, leg.to, turn.centre, turn.sweep_rad, contour.radius)
    });
    match (band, level, &contour.form) {
        (Some(band), Some(depth), Form::Flat) => arc_level(sink, &band, depth, skips_start),
        (Some(band), None, Form::Flat) => ramp::helix(sink, &band, leg.depth),
        (Some(band), _, Form::Round(round)) => arc_contour(sink, &band, leg.deepest(), round),
        (Some(band), _, Form::Cone(cone)) => arc_contour(sink, &band, leg.deepest(), cone),
        (Some(band), _, Form::Table(heights)) => arc_contour(sink, &band, leg.deepest(), heights),
        (None, _, form) => {
            let stadium = Stadium::new(leg.from, leg.to, contour.radius);
            stadium.slabs().rows(stadium.rows(), table);
            let line = Line { stadium, table };
            match (level, form) {
                (Some(depth), Form::Flat) => line_level(sink, &line, depth, skips_start),
                _ if level.is_some() || stadium.length < 1e-6 => {
                    line_contour(sink, &line, leg.deepest(), form);
                }
                _ => ramp::line(sink, &line, leg.depth, form),
            }
        }
    }
}

/// A straight leg and its rows.
pub(crate) struct Line<'a> {
    pub stadium: Stadium,
    pub table: &'a RowTable,
}

/// Nearest whole number for depths of any size, without a call to the platform's library.
fn whole(depth: f64) -> f64 {
    const LARGE: f64 = 6_755_399_441_055_744.0;
    (depth + LARGE) - LARGE
}

/// Whole depth steps that can be stored.
pub(crate) fn whole_depth(depth: f64) -> i16 {
    whole(depth).clamp(0.0, f64::from(DEEPEST)) as i16
}

fn line_level(sink: &mut impl Sink, line: &Line<'_>, depth: i16, skips_start: bool) {
    let Line { stadium, table } = line;
    for row in stadium.rows() {
        let range = (table.start[row] as usize, table.end[row] as usize);
        let skip = if skips_start {
            (table.disc_start[row] as usize, table.disc_end[row] as usize)
        } else {
            (0, 0)
        };
        parts(range, skip, |from, until| {
            by_side((from, until), stadium.breaks(row as f64), |start, end, side| {
                sink.level(CellSpan { row, start, end }, side, depth);
            });
        });
    }
}

fn arc_level(sink: &mut impl Sink, band: &ArcBand, depth: i16, skips_start: bool) {
    for row in band.rows() {
        let y = row as f64;
        let skip = if skips_start { disc_interval(band.start, band.radius, y) } else { None };
        for interval in band.intervals(y, !skips_start).iter() {
            cells(interval, skip, band.breaks(y), |start, end, side| {
                sink.level(CellSpan { row, start, end }, side, depth);
            });
        }
    }
}

/// A contour at one depth along a line.
fn line_contour(sink: &mut impl Sink, line: &Line<'_>, depth: f64, form: &Form) {
    match form {
        Form::Flat => line_level(sink, line, whole_depth(depth), false),
        Form::Round(round) => line_heights(sink, line, depth, round),
        Form::Cone(cone) => line_heights(sink, line, depth, cone),
        Form::Table(heights) => line_heights(sink, line, depth, heights),
    }
}

fn line_heights(sink: &mut impl Sink, line: &Line<'_>, depth: f64, height: &impl Height) {
    let (length, depth) = (line.stadium.length as f32, depth as f32);
    line_blocks(sink, line, |along, across| {
        let over = along - clamp(along, 0.0, length);
        depth - height.at(across * across + over * over)
    });
}

/// Calls `depth(along, across)` for every cell that the disc reaches and some beside it, in cells
/// from the start of the path and from its line.
#[inline]
pub(crate) fn line_blocks(sink: &mut impl Sink, line: &Line<'_>, depth: impl Fn(f32, f32) -> f32) {
    let Stadium { a, along, .. } = line.stadium;
    let (du, dv) = (along.x as f32, -along.y as f32);
    for row in line.stadium.rows() {
        let (start, end) = (line.table.start[row], line.table.end[row]);
        if start >= end {
            continue;
        }
        for column in (start as usize / BLOCK * BLOCK..end as usize).step_by(BLOCK) {
            let first = Vec2::new(column as f64, row as f64) - a;
            let (u0, v0) = (first.dot(along) as f32, along.cross(first) as f32);
            let (mut depths, mut left) = ([0_i16; BLOCK], [0_i16; BLOCK]);
            for index in 0..BLOCK {
                let (u, v) = (u0 + du * OFFSET[index], v0 + dv * OFFSET[index]);
                let cell = column as i32 + index as i32;
                let inside = i32::from(cell >= start) & i32::from(cell < end);
                depths[index] = (step(depth(u, v)) & -inside) as i16;
                left[index] = -i16::from(v > 0.0);
            }
            sink.block(row * TILE + column, &depths, &left);
        }
    }
}

/// A contour at one depth along an arc.
fn arc_contour(sink: &mut impl Sink, band: &ArcBand, depth: f64, height: &impl Height) {
    arc_blocks(sink, band, |place| {
        let from_path = if band.in_wedge(place) {
            (place.distance(band.centre) - band.path_radius).abs()
        } else {
            place.distance(band.start).min(place.distance(band.end))
        };
        depth as f32 - height.at((from_path * from_path) as f32)
    });
}

/// Calls `depth(place)` for every cell that the disc reaches.
pub(crate) fn arc_blocks(sink: &mut impl Sink, band: &ArcBand, depth: impl Fn(Vec2) -> f32) {
    for row in band.rows() {
        let y = row as f64;
        for interval in band.intervals(y, true).iter() {
            cells(interval, None, band.breaks(y), |start, end, side| {
                let left = [if side == Side::Left { -1 } else { 0 }; BLOCK];
                for column in (start / BLOCK * BLOCK..end).step_by(BLOCK) {
                    let mut depths = [0_i16; BLOCK];
                    let range = start.max(column)..end.min(column + BLOCK);
                    for (out, cell) in depths[range.start - column..].iter_mut().zip(range) {
                        *out = step(depth(Vec2::new(cell as f64, y))) as i16;
                    }
                    sink.block(row * TILE + column, &depths, &left);
                }
            });
        }
    }
}

#[inline]
pub(crate) fn clamp(x: f32, low: f32, high: f32) -> f32 {
    let x = if x > low { x } else { low };
    if x < high { x } else { high }
}

/// Nearest whole depth step within what a cell can hold. Adding 2²³ leaves the whole number in the
/// lowest bits: unlike a checked conversion this runs on several cells at once.
#[inline]
fn step(depth: f32) -> i32 {
    let kept = clamp(depth, 0.0, DEEPEST as f32);
    ((kept + 8_388_608.0).to_bits() & 0x7fff) as i32
}

const OFFSET: [f32; BLOCK] = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0];
