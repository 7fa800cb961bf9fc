//! Sweeps one leg of a tool across the cells of one tile.

use crate::leg::Leg;
use crate::ramp;
use crate::scaled::{Contour, Form, Height};
use crate::span::{ArcBand, Stadium, cells};
use crate::tile::{CellSpan, DEEPEST, Lower, Side, TILE};
use kw_geometry::Vec2;

/// Takes the depths that a leg reaches in spans of a tile's cells.
pub(crate) trait Sink {
    /// All cells of a span at one depth.
    fn level(&mut self, span: CellSpan, side: Side, depth: i16);
    /// One depth for each cell of a span; 0 where the tool does not reach.
    fn each(&mut self, span: CellSpan, side: Side, depths: &[i16]);
}

impl Sink for Lower<'_> {
    fn level(&mut self, span: CellSpan, side: Side, depth: i16) {
        Lower::level(self, span, side, depth);
    }

    fn each(&mut self, span: CellSpan, side: Side, depths: &[i16]) {
        Lower::each(self, span, side, depths);
    }
}

/// Sweeps a leg in a tile's own coordinates.
///
/// `starts_cut` says that all cells under the tool at the leg's start are already cut as the tool
/// stands there, so that they need no visit where the leg goes no deeper.
pub(crate) fn sweep_leg(sink: &mut impl Sink, leg: &Leg, contour: &Contour, starts_cut: bool) {
    let [d0, d1] = leg.depth;
    let rise = (d1.round() - d0.round()).abs();
    let level = (rise < 1.0).then(|| whole_depth(d0.max(d1)));
    if level == Some(0) || whole_depth(leg.deepest()) == 0 {
        return;
    }
    let skips_start = starts_cut && d1 <= d0 + 0.5;
    let band = leg.turn.and_then(|turn| {
        ArcBand::new(leg.from, leg.to, turn.centre, turn.sweep_rad, contour.radius)
    });
    match (band, level, &contour.form) {
        (Some(band), Some(depth), Form::Flat) => arc_level(sink, &band, depth, skips_start),
        (Some(band), None, Form::Flat) => ramp::helix(sink, &band, leg.depth),
        (Some(band), _, Form::Round(round)) => arc_contour(sink, &band, leg.deepest(), round),
        (Some(band), _, Form::Cone(cone)) => arc_contour(sink, &band, leg.deepest(), cone),
        (Some(band), _, Form::Table(table)) => arc_contour(sink, &band, leg.deepest(), table),
        (None, _, form) => {
            let stadium = Stadium::new(leg.from, leg.to, contour.radius);
            match (level, form) {
                (Some(depth), Form::Flat) => line_level(sink, &stadium, depth, skips_start),
                _ if level.is_some() || stadium.length < 1e-6 => {
                    line_contour(sink, &stadium, leg.deepest(), form);
                }
                _ => ramp::line(sink, &stadium, leg.depth, form),
            }
        }
    }
}

/// Whole depth steps that can be stored.
pub(crate) fn whole_depth(depth: f64) -> i16 {
    depth.round().clamp(0.0, f64::from(DEEPEST)) as i16
}

fn line_level(sink: &mut impl Sink, stadium: &Stadium, depth: i16, skips_start: bool) {
    for row in stadium.rows() {
        let y = row as f64;
        let Some(interval) = stadium.interval(y) else { continue };
        let skip = if skips_start {
            crate::span::disc_interval(stadium.a, stadium.radius, y)
        } else {
            None
        };
        cells(interval, skip, stadium.breaks(y), |start, end, side| {
            sink.level(CellSpan { row, start, end }, side, depth);
        });
    }
}

fn arc_level(sink: &mut impl Sink, band: &ArcBand, depth: i16, skips_start: bool) {
    for row in band.rows() {
        let y = row as f64;
        let skip =
            if skips_start { crate::span::disc_interval(band.start, band.radius, y) } else { None };
        for interval in band.intervals(y, !skips_start).iter() {
            cells(interval, skip, band.breaks(y), |start, end, side| {
                sink.level(CellSpan { row, start, end }, side, depth);
            });
        }
    }
}

/// A contour at one depth along a line.
fn line_contour(sink: &mut impl Sink, stadium: &Stadium, depth: f64, form: &Form) {
    match form {
        Form::Flat => line_level(sink, stadium, whole_depth(depth), false),
        Form::Round(round) => line_heights(sink, stadium, depth, round),
        Form::Cone(cone) => line_heights(sink, stadium, depth, cone),
        Form::Table(table) => line_heights(sink, stadium, depth, table),
    }
}

fn line_heights(sink: &mut impl Sink, stadium: &Stadium, depth: f64, height: &impl Height) {
    let (length, depth) = (stadium.length as f32, depth as f32);
    line_rows(sink, stadium, |along, across| {
        let over = along - clamp(along, 0.0, length);
        depth - height.at(across * across + over * over)
    });
}

/// Calls `depth(along, across)` for every cell that the disc reaches, in cells from the start of
/// the path and from its line.
pub(crate) fn line_rows(sink: &mut impl Sink, stadium: &Stadium, depth: impl Fn(f32, f32) -> f32) {
    let mut buffer = [0_i16; TILE];
    let along = stadium.along;
    for row in stadium.rows() {
        let y = row as f64;
        let Some(interval) = stadium.interval(y) else { continue };
        cells(interval, None, stadium.breaks(y), |start, end, side| {
            let first = Vec2::new(start as f64, y) - stadium.a;
            let (u0, v0) = (first.dot(along) as f32, along.cross(first) as f32);
            let (du, dv) = (along.x as f32, -along.y as f32);
            let depths = &mut buffer[..end - start];
            for (index, out) in INDEX.iter().zip(depths.iter_mut()) {
                *out = step(depth(u0 + du * index, v0 + dv * index));
            }
            sink.each(CellSpan { row, start, end }, side, depths);
        });
    }
}

/// A contour at one depth along an arc.
fn arc_contour(sink: &mut impl Sink, band: &ArcBand, depth: f64, height: &impl Height) {
    arc_rows(sink, band, |place| {
        let from_path = if band.in_wedge(place) {
            (place.distance(band.centre) - band.path_radius).abs()
        } else {
            place.distance(band.start).min(place.distance(band.end))
        };
        depth as f32 - height.at((from_path * from_path) as f32)
    });
}

/// Calls `depth(place)` for every cell that the disc reaches.
pub(crate) fn arc_rows(sink: &mut impl Sink, band: &ArcBand, depth: impl Fn(Vec2) -> f32) {
    let mut buffer = [0_i16; TILE];
    for row in band.rows() {
        let y = row as f64;
        for interval in band.intervals(y, true).iter() {
            cells(interval, None, band.breaks(y), |start, end, side| {
                let depths = &mut buffer[..end - start];
                for (column, out) in (start..end).zip(depths.iter_mut()) {
                    *out = step(depth(Vec2::new(column as f64, y)));
                }
                sink.each(CellSpan { row, start, end }, side, depths);
            });
        }
    }
}

pub(crate) fn clamp(x: f32, low: f32, high: f32) -> f32 {
    let x = if x > low { x } else { low };
    if x < high { x } else { high }
}

/// Nearest whole depth step. Adding 2²³ leaves the whole number in the lowest bits: unlike a
/// checked conversion this runs on several cells at once.
fn step(depth: f32) -> i16 {
    let kept = clamp(depth, 0.0, DEEPEST as f32);
    ((kept + 8_388_608.0).to_bits() & 0x7fff) as i16
}

static INDEX: [f32; TILE] = {
    let mut index = [0.0; TILE];
    let mut i = 0;
    while i < TILE {
        index[i] = i as f32;
        i += 1;
    }
    index
};
