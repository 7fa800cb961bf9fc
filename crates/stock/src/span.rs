//! Where a row of cells crosses the area that a disc sweeps along a line or an arc.
//!
//! All coordinates in cells. Every area is widened by [`EDGE_SLACK`], so that a cell centre that
//! lies on the border counts as inside whichever way the border was computed.

use crate::tile::{Side, TILE};
use kw_geometry::Vec2;

/// Widening of every swept area, cells. Must exceed rounding (about 1e-11 cells on a sheet) so
/// that the same border met by two moves holds the same cells; far below what anyone measures.
pub(crate) const EDGE_SLACK: f64 = 1e-7;

/// A stretch of a row, low end first.
pub(crate) type Interval = (f64, f64);

/// The area swept by a disc along a straight line.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Stadium {
    pub a: Vec2,
    pub b: Vec2,
    /// Unit vector from a to b; (1, 0) for a point.
    pub along: Vec2,
    pub length: f64,
    pub radius: f64,
}

impl Stadium {
    pub fn new(a: Vec2, b: Vec2, radius: f64) -> Self {
        let length = a.distance(b);
        let along = if length > 1e-9 { (b - a) * (1.0 / length) } else { Vec2::new(1.0, 0.0) };
        Self { a, b, along, length, radius: radius + EDGE_SLACK }
    }

    /// Rows of a tile that it may cross.
    pub fn rows(&self) -> std::ops::Range<usize> {
        let low = self.a.y.min(self.b.y) - self.radius;
        let high = self.a.y.max(self.b.y) + self.radius;
        first_cell(low)..end_cell(high)
    }

    /// What rows need, computed once.
    pub fn slabs(&self) -> Slabs {
        let away_from_zero = |v: f64| if v.abs() < FLAT { FLAT.copysign(v) } else { v };
        let (tx, ty) = (away_from_zero(self.along.x), away_from_zero(self.along.y));
        let reach = self.length / tx;
        Slabs {
            a: self.a,
            b: self.b,
            square: self.radius * self.radius,
            across: tx / ty,
            half_across: (self.radius / ty).abs(),
            along: -ty / tx,
            along_low: reach.min(0.0),
            along_high: reach.max(0.0),
        }
    }

    /// Where the path's line crosses a row, and the side of what lies before that.
    pub fn breaks(&self, y: f64) -> Breaks {
        let (tx, ty) = (self.along.x, self.along.y);
        let dy = y - self.a.y;
        if ty.abs() <= FLAT {
            let first = if tx * dy > 0.0 { Side::Left } else { Side::Right };
            return Breaks { at: [f64::INFINITY; 2], first };
        }
        let first = if ty > 0.0 { Side::Left } else { Side::Right };
        Breaks { at: [self.a.x + tx * dy / ty, f64::INFINITY], first }
    }
}

/// A stadium as two discs and the crossing of two slabs: one along its sides, one along its ends.
/// At a row dy above a, the slabs hold x − a.x within `across·dy ± half_across` and within
/// `along·dy + along_low..along_high`.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Slabs {
    a: Vec2,
    b: Vec2,
    square: f64,
    across: f64,
    half_across: f64,
    along: f64,
    along_low: f64,
    along_high: f64,
}

impl Slabs {
    /// The stretch of a row inside the stadium and inside the disc at a. Free of branches, so that
    /// several rows are computed at once.
    #[inline]
    pub fn interval(&self, y: f64) -> (Interval, Interval) {
        let (dy, dy_b) = (y - self.a.y, y - self.b.y);
        let (disc_a, disc_b) = (half_width(self.square, dy), half_width(self.square, dy_b));
        let (a_low, a_high) = (self.a.x - disc_a, self.a.x + disc_a);
        let (mut low, mut high) = (a_low, a_high);
        low = less(low, self.b.x - disc_b);
        high = more(high, self.b.x + disc_b);
        let (across, along) = (self.across * dy, self.along * dy);
        let band_low = more(across - self.half_across, along + self.along_low);
        let band_high = less(across + self.half_across, along + self.along_high);
        let meets = band_low <= band_high;
        low = if meets { less(low, band_low + self.a.x) } else { low };
        high = if meets { more(high, band_high + self.a.x) } else { high };
        ((low, high), (a_low, a_high))
    }

    /// Cells of all rows of a range, in blocks of [`LANES`] rows.
    pub fn rows(&self, rows: std::ops::Range<usize>, out: &mut RowTable) {
        let first = rows.start / LANES * LANES;
        for start in (first..rows.end.min(TILE)).step_by(LANES) {
            let block = start..start + LANES;
            let (low, high) = (&mut out.start[block.clone()], &mut out.end[block.clone()]);
            let discs = out.disc_start[block.clone()].iter_mut().zip(&mut out.disc_end[block]);
            let base = start as f64;
            for ((lane, (low, high)), (disc_low, disc_high)) in
                LANE.iter().zip(low.iter_mut().zip(high)).zip(discs)
            {
                let (whole, disc) = self.interval(base + lane);
                *low = first_whole(whole.0);
                *high = end_whole(whole.1);
                *disc_low = first_whole(disc.0);
                *disc_high = end_whole(disc.1);
            }
        }
    }
}

/// Rows computed together.
const LANES: usize = 4;
const LANE: [f64; LANES] = [0.0, 1.0, 2.0, 3.0];

/// For rows of a tile the cells inside a stadium and inside the disc at its start; empty where the
/// start is not below the end.
pub(crate) struct RowTable {
    pub start: [i32; TILE],
    pub end: [i32; TILE],
    pub disc_start: [i32; TILE],
    pub disc_end: [i32; TILE],
}

impl RowTable {
    pub fn new() -> Self {
        let empty = [0; TILE];
        Self { start: empty, end: empty, disc_start: empty, disc_end: empty }
    }
}

#[inline]
fn less(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}

#[inline]
fn more(a: f64, b: f64) -> f64 {
    if b > a { b } else { a }
}

/// Half the width of a disc at a distance from its centre; minus infinity outside it.
#[inline]
fn half_width(square: f64, dy: f64) -> f64 {
    let rest = square - dy * dy;
    let half = if rest > 0.0 { rest } else { 0.0 }.sqrt();
    if rest >= 0.0 { half } else { f64::NEG_INFINITY }
}

/// Component of a unit vector below which a direction counts as parallel to the other axis: small
/// enough that rows on the very border of a straight slot keep their whole length.
pub(crate) const FLAT: f64 = 1e-13;

/// The stretch of a row inside a disc.
pub(crate) fn disc_interval(centre: Vec2, radius: f64, y: f64) -> Option<Interval> {
    let dy = y - centre.y;
    let square = radius * radius - dy * dy;
    if square < 0.0 {
        return None;
    }
    let half = square.sqrt();
    Some((centre.x - half, centre.x + half))
}

/// Places where a row crosses the path itself.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Breaks {
    /// Rising; infinite if unused.
    pub at: [f64; 2],
    /// Side of what lies before the first; it changes at each.
    pub first: Side,
}

/// First whole number not below `x`, kept within a tile.
pub(crate) fn first_cell(x: f64) -> usize {
    first_whole(x) as usize
}

/// One past the last whole number not above `x`, kept within a tile.
pub(crate) fn end_cell(x: f64) -> usize {
    end_whole(x) as usize
}

#[inline]
fn first_whole(x: f64) -> i32 {
    nearest(less(more(x, 0.0), TILE as f64) + (0.5 - TIE))
}

#[inline]
fn end_whole(x: f64) -> i32 {
    nearest(less(more(x, -1.0), TILE as f64 - 1.0) + (0.5 + TIE))
}

/// Least whole number not below `x`, and greatest not above it, for |x| < 2³¹.
#[inline]
pub(crate) fn ceil(x: f64) -> i32 {
    nearest(x + (0.5 - TIE))
}

#[inline]
pub(crate) fn floor(x: f64) -> i32 {
    nearest(x - (0.5 - TIE))
}

/// Keeps whole numbers from being halfway between two: far below [`EDGE_SLACK`].
const TIE: f64 = 1e-9;

/// Nearest whole number, for |x| < 2³¹: adding 1.5·2⁵² leaves it in the lowest bits, which unlike
/// a checked conversion runs on several rows at once.
#[inline]
fn nearest(x: f64) -> i32 {
    (x + 6_755_399_441_055_744.0).to_bits() as i32
}

/// Cells of a row stretch without those in `skip`, split by side.
pub(crate) fn cells(
    interval: Interval,
    skip: Option<Interval>,
    breaks: Breaks,
    mut each: impl FnMut(usize, usize, Side),
) {
    let (start, end) = (first_cell(interval.0), end_cell(interval.1));
    let (skip_start, skip_end) =
        skip.map_or((end, end), |(low, high)| (first_cell(low), end_cell(high)));
    parts((start, end), (skip_start, skip_end), |from, until| {
        by_side((from, until), breaks, &mut each);
    });
}

/// The cells of a range without those of another.
pub(crate) fn parts(
    (start, end): (usize, usize),
    (skip_start, skip_end): (usize, usize),
    mut each: impl FnMut(usize, usize),
) {
    if skip_start >= skip_end {
        if start < end {
            each(start, end);
        }
        return;
    }
    if start < skip_start.min(end) {
        each(start, skip_start.min(end));
    }
    if start.max(skip_end) < end {
        each(start.max(skip_end), end);
    }
}

/// Splits a range of cells where the path crosses the row.
pub(crate) fn by_side(
    (start, end): (usize, usize),
    breaks: Breaks,
    mut each: impl FnMut(usize, usize, Side),
) {
    if breaks.at[0] >= end as f64 {
        return each(start, end, breaks.first);
    }
    let mut from = start;
    let mut side = breaks.first;
    for at in breaks.at {
        let until = end_cell(at).min(end);
        if until > from {
            each(from, until, side);
            from = until;
        }
        side = side.other();
    }
    if end > from {
        each(from, end, side);
    }
}
